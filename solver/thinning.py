"""Thinning out: a first answer with few shapes, found by leaving shapes out one by one.

The shapes that the multipliers value most, twice as many as may be used, make a graph of their
own, small enough to hold every way of some seconds more. In it the shape is left out whose loss
costs least, until few enough are left; then others are tried in each one's place. What comes of
it is an answer to beat, no proof.

Public: thinned.
"""

from collections.abc import Callable, Sequence

import numpy as np

from solver.arrays import FAR
from solver.ascent import asked, charged
from solver.constraints.few_shapes import FewShapesFamily
from solver.family import Family, Values
from solver.laid_out import lay_out
from solver.passes import TooWide, explore, outlook
from solver.question import Question
from solver.ways import Prices, Way, Ways

WIDTH = 4_000
"""How far above its cheapest way (ms) the small graph is explored."""

MOST_STEPS = 300_000

Shapes = frozenset[int]


def thinned(
    question: Question,
    families: Sequence[Family],
    values: Sequence[Values],
    way: Way,
    others: Shapes,
) -> tuple[int, tuple[int, ...]] | None:
    """(ms, layer nodes) of an answer, or None where this finds none; way: the cheapest charged one,
    whose shapes are tried too; others: more shapes to try."""
    few = next((f for f in families if isinstance(f, FewShapesFamily)), None)
    if few is None or few.wish.most is None:
        return None
    own = next(v for f, v in zip(families, values, strict=True) if f is few)
    wanted = few.dearest(own, 2 * few.wish.most) | others
    wanted |= {int(seen[p]) for seen, p in zip(few.seen, way.positions, strict=True)} - {-1}
    ways = _ways_of(question, few, wanted)
    if ways is None:
        return None
    ways, new = lay_out(ways, question)
    if not len(ways.first):
        return None
    prices = _charges(new, families, values, ways)
    small = next(f for f in new if isinstance(f, FewShapesFamily))
    best = _left_out(ways, prices, small, wanted)
    if best is None:
        return None
    cost = asked(new, ways, best)
    return None if cost is None else (cost, ways.layer_nodes(best))


def _ways_of(question: Question, few: FewShapesFamily, wanted: Shapes) -> Ways | None:
    """All ways through wanted shapes alone that are not much dearer than their cheapest."""
    there = np.zeros(len(few.shapes) + 1, np.bool_)
    there[[*wanted, len(few.shapes)]] = True
    layers = question.graph.layers
    masks = [
        there[numbers[layer.shape]] for numbers, layer in zip(few.numbers, layers, strict=True)
    ]
    costs = question.costs.allowed(masks)
    ahead = outlook(question.graph, costs)
    for width in (WIDTH, WIDTH // 4, WIDTH // 16):
        if ahead.bound >= FAR:
            return None
        try:
            explored = explore(question.graph, costs, ahead, ahead.bound + width, MOST_STEPS)
        except TooWide:
            continue
        return Ways.of(layers, explored)
    return None


def _charges(
    new: Sequence[Family], old: Sequence[Family], values: Sequence[Values], ways: Ways
) -> Prices:
    """What the other conditions charge in the small graph."""
    rest = [
        (family, family.resume(before, own))
        for family, before, own in zip(new, old, values, strict=True)
        if not isinstance(family, FewShapesFamily)
    ]
    return charged([family for family, _ in rest], [own for _, own in rest], ways)


def _left_out(ways: Ways, prices: Prices, few: FewShapesFamily, wanted: Shapes) -> Way | None:
    """The cheapest way that leaving out and trying in place comes to."""
    cost_of = _pricer(ways, prices, few)
    most = few.wish.most or 0
    kept = wanted
    while len(kept) > most:
        used = _used(ways, prices, few, kept)
        if used is None:
            return None
        if len(used) < len(kept):
            kept = used
            continue
        kept = min((kept - {shape} for shape in sorted(kept)), key=cost_of)
        if cost_of(kept) >= FAR:
            return None
    for _ in range(3):
        before = cost_of(kept)
        for shape in sorted(kept):
            options = [kept - {shape} | {other} for other in sorted(wanted - kept)]
            kept = min([kept, *options], key=cost_of)
        if cost_of(kept) >= before:
            break
    if cost_of(kept) >= FAR:
        return None
    narrow = _narrow(prices, few, kept)
    return ways.cheapest(narrow, ways.onward(narrow))[1]


def _used(ways: Ways, prices: Prices, few: FewShapesFamily, kept: Shapes) -> Shapes | None:
    """The shapes that the cheapest way through ``kept`` takes; None where there is no way."""
    narrow = _narrow(prices, few, kept)
    on = ways.onward(narrow)
    if on[0].min() >= FAR:
        return None
    _, way = ways.cheapest(narrow, on)
    taken = {int(seen[p]) for seen, p in zip(few.seen, way.positions, strict=True)}
    return frozenset(taken - {-1})


def _pricer(ways: Ways, prices: Prices, few: FewShapesFamily) -> Callable[[Shapes], int]:
    known: dict[Shapes, int] = {}

    def cost_of(kept: Shapes) -> int:
        if kept not in known:
            on = ways.onward(_narrow(prices, few, kept))
            known[kept] = int((ways.first + on[0]).min())
        return known[kept]

    return cost_of


def _narrow(prices: Prices, few: FewShapesFamily, kept: Shapes) -> Prices:
    there = np.zeros(len(few.shapes) + 1, np.bool_)
    there[[*kept, len(few.shapes)]] = True
    nodes = [
        np.where(there[seen], own, FAR) for seen, own in zip(few.seen, prices.nodes, strict=True)
    ]
    return Prices(nodes, prices.steps)
