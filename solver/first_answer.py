"""A first answer: a way that keeps every condition, to be beaten, found before there is any proof.

Multipliers that only raise the bound seldom make the cheapest charged way keep the conditions. Many
times as steep, they often do: the whole graph is gone through once for each steepness. Prices of
shapes are spread besides (``solver.slopes``), shapes thinned out (``solver.thinning``), and where
nothing else is met, hard ties are fixed bar by bar (``solver.ties``).

Public: first_answer.
"""

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from solver.arrays import FAR
from solver.ascent import asked
from solver.constraints.few_shapes import FewShapesFamily
from solver.family import Family, Values
from solver.laid_out import lay_out
from solver.passes import Costs, TooWide, explore, outlook
from solver.question import Question
from solver.slopes import spread_prices
from solver.sums import charged_costs
from solver.thinning import thinned
from solver.ties import fixed_bar_by_bar
from solver.ways import SCALE, Prices, Way, Ways

STEEPNESS = (2, 8, 64)

LEAST = 4 * SCALE
"""A multiplier that is learned at all counts as this much at least when it is made steep."""

ROOM = 20_000
"""Steps of equally cheap ways that are looked at."""

First = tuple[int, tuple[int, ...]]
"""(ms, layer nodes)."""


def first_answer(
    question: Question,
    families: Sequence[Family],
    values: Sequence[Values],
    way: Way,
    going: Callable[[], bool] = lambda: True,
) -> First | None:
    """The cheapest of what is found, None for nothing; way: the cheapest charged one; going: asked
    now and then whether there is time for more."""
    found = list(_steep(question, families, values))
    few = next((f for f in families if isinstance(f, FewShapesFamily)), None)
    if few is not None:
        spread = spread_prices(question, few, going)
        others = frozenset() if spread is None else spread.shapes
        met = None if spread is None else _judged(question, spread.nodes)
        thin = thinned(question, families, values, way, others) if going() else None
        found += [each for each in (met, thin) if each is not None]
    alike = question.conditions.alike
    if not found and alike is not None and alike.price is None and going():
        nodes = fixed_bar_by_bar(question)
        judged = None if nodes is None else _judged(question, nodes)
        if judged is not None:
            found.append(judged)
    return min(found, default=None)


def _judged(question: Question, nodes: Sequence[int]) -> First | None:
    """What a way costs, None where it breaks a condition."""
    only = [
        np.arange(len(layer)) == n for layer, n in zip(question.graph.layers, nodes, strict=True)
    ]
    return _cheapest_asked(question, question.costs.allowed(only))


def _cheapest_asked(question: Question, costs: Costs) -> First | None:
    """The truly cheapest of the ways that are cheapest under ``costs``, by all that is asked; None
    where it breaks a condition, where there is none, or too many."""
    ahead = outlook(question.graph, costs)
    if ahead.bound >= FAR:
        return None
    try:
        explored = explore(question.graph, costs, ahead, ahead.bound, ROOM)
    except TooWide:
        return None
    ways, families = lay_out(Ways.of(question.graph.layers, explored), question)
    if not len(ways.first):
        return None
    prices = Prices.none(ways)
    way = ways.cheapest(prices, ways.onward(prices))[1]
    cost = asked(families, ways, way)
    return None if cost is None else (cost, ways.layer_nodes(way))


def _steep(
    question: Question, families: Sequence[Family], values: Sequence[Values]
) -> Iterator[First]:
    for factor in STEEPNESS:
        steep = [
            family.carried(family.lawful(np.where(own > 0, np.maximum(own, LEAST), own) * factor))
            for family, own in zip(families, values, strict=True)
        ]
        found = _cheapest_asked(question, charged_costs(question, families, steep))
        if found is not None:
            yield found
