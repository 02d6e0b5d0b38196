"""Why limits leave no way through, in one sentence: the bar, and the limits that stand against it.

The limits are dropped one by one as long as there is no way without them; those that remain clash.

Public: refuse_limits.
"""

from collections.abc import Sequence
from typing import NoReturn

from solver.arrays import FAR
from solver.conditions.limits import Limits
from solver.errors import NotPlayable
from solver.floors import floored
from solver.graph import ChoiceGraph
from solver.limiting import limited
from solver.passes import Costs, furthest, outlook
from solver.recalled import Recalled
from solver.refusal import bar_named, refuse_link
from tune.tune import Tune


def refuse_limits(
    graph: ChoiceGraph, costs: Costs, limits: Limits, tune: Tune, reached: int | None = None
) -> NoReturn:
    """Raises NotPlayable; costs: without the limits, everything else that is asked applied;
    reached: the last moment that a way within the limits leads to, where it is known."""
    recalled = Recalled()
    if reached is None:
        reached = furthest(graph, limited(costs, graph, limits))
    moment = graph.moments[min(reached + 1, len(graph.moments) - 1)]
    kept = list(limits.parts)
    for group in _groups(kept, moment.bar):
        without = [part for part in kept if part not in group]
        if not _possible(graph, costs, without, recalled):
            kept = without
    if not kept:  # nor is there a way without any
        refuse_link(graph.moments, furthest(graph, costs), tune)
    floor = next((p.bars[0].bar for p in kept if p.floors), None)
    if floor is not None and reached == len(graph.moments) - 1:
        moment = next(m for m in graph.moments if m.bar == floor)
    names = [
        f"'{part if not part.bars or part.bars[0].bar != moment.bar else _here(part)}'"
        for part in kept
    ]
    listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    tail = "" if len(names) == 1 else ", though it can with any one of them left out"
    raise NotPlayable(
        f"{bar_named(moment, tune)}: {moment.chord or 'the rest'} cannot be played with {listed}"
        f"{tail}",
        moment.bar,
        str(moment.chord or ""),
    )


def _groups(parts: Sequence[Limits], bar: int) -> list[list[Limits]]:
    """What is tried to be dropped, in turn: other bars' limits together, then those that lie
    nearest one by one, then everything else one by one."""
    of_bars = [part for part in parts if part.bars]
    own = [part for part in parts if not part.bars]
    far = [part for part in of_bars if part.bars[0].bar != bar]
    far.sort(key=lambda part: -abs(part.bars[0].bar - bar))
    halves = [far] if len(far) > 1 else []
    size = len(far)
    while size > 1:  # halves first, so that many bars that do not matter are dropped at once
        size = (size + 1) // 2
        halves += [far[start : start + size] for start in range(0, len(far), size)]
    halves += [[part] for part in far] if not halves else []
    return [*halves, *([part] for part in of_bars if part not in far), *([part] for part in own)]


def _here(part: Limits) -> str:
    return f"{part.bars[0].words} in this bar"


def _possible(
    graph: ChoiceGraph, costs: Costs, parts: Sequence[Limits], recalled: Recalled
) -> bool:
    """Whether there is a way within those limits alone."""
    limits = Limits.joined(parts)
    left = costs if limits is None else limited(costs, graph, limits, recalled)
    if limits is None or not limits.floors:
        return bool(outlook(graph, left, recalled).bound < FAR)
    return bool(floored(graph, left, limits.floors, recalled)[0].bound < FAR)
