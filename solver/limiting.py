"""Limits at work: which nodes of each layer they leave, and which moves they forbid.

Nothing here reaches over the tune: what is left is searched as it always is. That a bar is to be
hard enough is asked in ``solver.floors``.

Public: limited, node_masks, step_bans.
"""

from collections.abc import Sequence
from dataclasses import replace

from scoring.choice import Bools
from scoring.difficulty import MOST, stretch_difficulty
from scoring.moment import Moment
from solver.bans import Ban
from solver.conditions.limits import Limits
from solver.errors import ConditionError
from solver.graph import ChoiceGraph
from solver.keeping import shapes_left
from solver.links import Bans
from solver.passes import Costs
from solver.recalled import Recalled


def limited(
    costs: Costs, graph: ChoiceGraph, limits: Limits, recalled: Recalled | None = None
) -> Costs:
    """The costs without the nodes and the moves that the limits rule out.

    Raises ConditionError for a bar that is not played.
    """
    recalled = Recalled() if recalled is None else recalled
    bans = step_bans(graph.moments, limits)
    links = tuple(recalled.banned(*each) for each in zip(costs.links, bans, strict=True))
    return replace(costs, links=links).allowed(node_masks(graph, limits))


def node_masks(graph: ChoiceGraph, limits: Limits) -> tuple[Bools | None, ...]:
    """(nodes,) a layer: which hold the limits that a moment holds by itself; None for all. The
    first moment is reached for free: only what it is to hold it counts in its rating."""
    made: dict[int, Bools | None] = {}
    out: list[Bools | None] = []
    if limits.of_shapes is None:
        made = dict.fromkeys(map(id, graph.layers))
    for layer in graph.layers:
        if id(layer) not in made:
            left = shapes_left(layer.shapes, limits)[layer.shape]
            made[id(layer)] = None if left.all() else left
        out.append(made[id(layer)])
    most = _most(limits).get(graph.moments[0].bar)
    if most is not None:
        first = graph.layers[0]
        easy = (stretch_difficulty(first.shapes) <= most)[first.shape]
        out[0] = easy if out[0] is None else out[0] & easy
    return tuple(out)


def step_bans(moments: Sequence[Moment], limits: Limits) -> tuple[Bans, ...]:
    """For each link the bans on its moves, which belong to the moments that they arrive at."""
    bars = {moment.bar for moment in moments}
    strange = next((limit.bar for limit in limits.bars if limit.bar not in bars), None)
    if strange is not None:
        raise ConditionError(
            f"limits: nothing is struck in played bar {strange}; the tune has {max(bars)} bars as "
            "played"
        )
    hurried = () if limits.time is None else (Ban("hurried", limits.time),)
    most = _most(limits)
    return tuple(
        (*hurried, Ban("hard", most[moment.bar])) if most.get(moment.bar, MOST) < MOST else hurried
        for moment in moments[1:]
    )


def _most(limits: Limits) -> dict[int, int]:
    return {limit.bar: limit.most for limit in limits.bars if limit.most < MOST}
