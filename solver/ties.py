"""A first answer that keeps hard ties: bar after bar is fixed, in order of first appearance, to
hands that it has in the cheapest way so far, wherever it comes again. What comes of it is an answer
to beat, no proof.

Public: fixed_bar_by_bar.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence

import numpy as np

from scoring.choice import Bools
from solver.arrays import FAR, Rows
from solver.cheapest import one_cheapest
from solver.conditions.alike import classes_of
from solver.constraints.alike import class_hands
from solver.passes import Costs, outlook
from solver.question import Question

MOST_PATTERNS = 3
"""How many hands are tried for a bar."""

ROOM = 20_000

Masks = list[Bools | None]


def fixed_bar_by_bar(question: Question) -> tuple[int, ...] | None:
    """The layers' nodes of a way that keeps the hard ties, None where this finds none."""
    ties = _Ties(question)
    costs = question.costs
    way = _nodes(question, costs)
    for group in ties.by_bar():
        if way is None:
            return None
        fixed = _fixed(question, costs, ties, group, way)
        if fixed is None:  # with nothing left to ring from before, bars are alike more easily
            quiet = costs.allowed(ties.quiet(question, group))
            way = _nodes(question, quiet)
            fixed = None if way is None else _fixed(question, quiet, ties, group, way)
        if fixed is None:
            return None
        costs = fixed
        way = _nodes(question, costs)
    return way


def _fixed(
    question: Question,
    costs: Costs,
    ties: "_Ties",
    group: Sequence[Sequence[int]],
    way: Sequence[int],
) -> Costs | None:
    """The costs with a bar fixed to the hands that leave the cheapest way, each time that it
    comes; None where none of those tried leaves one."""
    best: tuple[int, Costs] | None = None
    for pattern in ties.patterns(group, way):
        masks: Masks = [None] * len(question.moments)
        for members, hands in zip(group, pattern, strict=True):
            for moment in members:
                masks[moment] = ties.hands[moment] == hands
        narrower = costs.allowed(masks)
        bound = outlook(question.graph, narrower).bound
        if bound < FAR and (best is None or bound < best[0]):
            best = bound, narrower
    return None if best is None else best[1]


class _Ties:
    """members: class → its moments, of those that come again; hands: per moment (nodes of its
    layer,) a number for the hands, the same in every layer."""

    def __init__(self, question: Question) -> None:
        alike, layers = question.conditions.alike, question.graph.layers
        assert alike is not None
        classes = classes_of(question.tune, question.moments, alike.what)
        hands = class_hands(layers, classes)
        groups: dict[int, list[int]] = defaultdict(list)
        for moment, number in enumerate(classes):
            groups[number].append(moment)
        self.members = {n: group for n, group in groups.items() if len(group) > 1}
        self.hands: list[Rows] = [
            own[layer.shape] for own, layer in zip(hands, layers, strict=True)
        ]
        self.bars = [moment.bar for moment in question.moments]

    def by_bar(self) -> list[list[list[int]]]:
        """The classes, as members, of each bar in which they first appear."""
        bars: dict[int, list[list[int]]] = defaultdict(list)
        for members in self.members.values():
            bars[self.bars[members[0]]].append(members)
        return list(bars.values())

    def quiet(self, question: Question, group: Sequence[Sequence[int]]) -> Masks:
        """Masks under which strings not struck are silent at the bar's first moment."""
        masks: Masks = [None] * len(question.moments)
        for moment in group[0]:
            layer = question.graph.layers[moment]
            silent = np.asarray((layer.shapes.struck | (layer.shapes.frets < 0)).all(axis=1))
            masks[moment] = np.asarray(silent[layer.shape], np.bool_)
        return masks

    def patterns(
        self, group: Sequence[Sequence[int]], way: Sequence[int]
    ) -> Iterator[tuple[int, ...]]:
        """What the hands of a bar's classes are on the way, each time that it comes; the most
        frequent first."""
        times = min(len(members) for members in group)
        seen = Counter(
            tuple(int(self.hands[members[time]][way[members[time]]]) for members in group)
            for time in range(times)
        )
        for pattern, _ in seen.most_common(MOST_PATTERNS):
            yield pattern


def _nodes(question: Question, costs: Costs) -> tuple[int, ...] | None:
    """The layers' nodes of one of the cheapest ways."""
    found = one_cheapest(question.graph, costs, ROOM)
    return None if found is None else found[0]
