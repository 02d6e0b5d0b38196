"""Slope scaling: a first answer where each different shape has a price of its own.

A shape's price is spread over the moments that use it, so that a shape used often is cheap each
time and one used once is dear; the cheapest way under these charges uses fewer shapes, is counted,
and the charges are spread anew. D. Kim and P. Pardalos 1999 for the method (fixed-charge networks;
from memory). What comes of it is an answer to beat, no proof.

Public: spread_prices, Met.
"""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from solver.arrays import Rows
from solver.constraints.few_shapes import FewShapesFamily
from solver.passes import Costs, TooWide, explore, outlook
from solver.question import Question
from solver.ways import SCALE

TURNS = 12

BEGIN = 6
"""How often a shape is thought to be used before anything is known."""

ROOM = 200_000

MOST = 1_000_000
"""A charge (ms) that is as good as forbidding."""

FEES = tuple(50 << turn for turn in range(9))
"""Prices (ms) for every shape, in turn, where only their number counts."""


@dataclass(frozen=True)
class Met:
    """A way: cost: ms asked; nodes: the layers' own; shapes: the numbers of those it uses."""

    cost: int
    nodes: tuple[int, ...]
    shapes: frozenset[int]


def spread_prices(
    question: Question, few: FewShapesFamily, going: Callable[[], bool] = lambda: True
) -> Met | None:
    """The best way met that has no more shapes than may be; None where none was. Where only their
    number counts, prices are put on all shapes, each twice the last, until few enough are used;
    going: asked before each whether there is time for it."""
    if few.wish.price is not None:
        met = list(_spread(question, few, few.fees // SCALE))
        return min(
            (each for each in met if _few_enough(few, each)), default=None, key=lambda met: met.cost
        )
    best: Met | None = None
    for fee in FEES:
        if not going():
            break
        met = list(_spread(question, few, np.full(len(few.shapes), fee, np.int64)))
        enough = [each for each in met if _few_enough(few, each)]
        best = min([*enough, *([best] if best else [])], default=None, key=lambda met: met.cost)
        if enough and len(met[-1].shapes) < (few.wish.most or 0):
            break
    return best


def _spread(question: Question, few: FewShapesFamily, prices: Rows) -> Iterator[Met]:
    """The ways met while the prices are spread anew, as long as they become better."""
    fees = np.append(prices, 0)
    often = np.full(len(fees), BEGIN, np.int64)
    best: int | None = None
    for _ in range(TURNS):
        charge = np.minimum(fees // np.maximum(often, 1), MOST)
        layers = zip(question.graph.layers, few.numbers, strict=True)
        extra = [charge[numbers[layer.shape]] for layer, numbers in layers]
        found = _cheapest(question, question.costs.priced(extra))
        if found is None:
            return
        nodes, work = found
        seen = Counter(_shapes(question, few, nodes))
        total = work + sum(int(fees[shape]) for shape in seen)
        if best is not None and total >= best:
            return
        best = total
        asked = work + sum(int(few.fees[s]) // SCALE for s in seen if s >= 0)
        yield Met(asked, nodes, frozenset(seen) - {-1})
        often = np.array([seen[shape] for shape in range(len(fees))], np.int64)


def _few_enough(few: FewShapesFamily, met: Met) -> bool:
    return few.wish.most is None or len(met.shapes) <= few.wish.most


def _shapes(question: Question, few: FewShapesFamily, nodes: tuple[int, ...]) -> list[int]:
    """The number of each moment's shape, -1 for none."""
    layers = question.graph.layers
    return [
        int(numbers[layer.shape[node]])
        for layer, numbers, node in zip(layers, few.numbers, nodes, strict=True)
    ]


def _cheapest(question: Question, costs: Costs) -> tuple[tuple[int, ...], int] | None:
    """(layers' nodes, true ms) of one of the cheapest ways."""
    ahead = outlook(question.graph, costs)
    try:
        explored = explore(question.graph, costs, ahead, ahead.bound, ROOM)
    except TooWide:
        return None
    if not len(explored.nodes[0]):
        return None
    at, nodes = 0, [int(explored.nodes[0][0])]
    work = int(explored.first[0])
    steps: zip[tuple[Rows, Rows, Rows]] = zip(
        explored.tail, explored.head, explored.true, strict=True
    )
    for index, (tail, head, true) in enumerate(steps):
        step = int(np.flatnonzero(tail == at)[0])
        at = int(head[step])
        work += int(true[step])
        nodes.append(int(explored.nodes[index + 1][at]))
    return tuple(nodes), work
