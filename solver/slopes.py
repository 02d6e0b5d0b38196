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
from solver.cheapest import one_cheapest
from solver.constraints.few_shapes import FewShapesFamily
from solver.question import Question
from solver.ways import SCALE

TURNS = 12

BEGIN = 6
"""How often a shape is thought to be used before anything is known."""

ROOM = 200_000
"""Steps of equally cheap ways that are looked at."""

MOST = 1_000_000
"""A charge (ms) that is as good as forbidding."""

FEES = tuple(50 << turn for turn in range(9))
"""Prices (ms) put on every shape, in turn, until they are few enough."""


@dataclass(frozen=True)
class Met:
    """A way: cost: ms of its work and its shapes' own prices, no other condition looked at; nodes:
    the layers' own; shapes: the numbers of those it uses."""

    cost: int
    nodes: tuple[int, ...]
    shapes: frozenset[int]


def spread_prices(
    question: Question, few: FewShapesFamily, going: Callable[[], bool] = lambda: True
) -> Met | None:
    """The best way met that has no more shapes than may be; None where none was. Where the shapes'
    own prices alone do not lead to few enough, as where they have none, more is put on all shapes,
    each time twice the last, until they do; going: asked before each whether there is time."""
    most = few.wish.most
    own = few.fees // SCALE
    best: Met | None = None
    for more in FEES if few.wish.price is None else (0, *FEES):
        if not going():
            break
        met = list(_spread(question, few, own + more))
        enough = [each for each in met if _few_enough(few, each)]
        best = min([*enough, *([best] if best else [])], default=None, key=lambda met: met.cost)
        if enough and (most is None or len(met[-1].shapes) < most):
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
        found = one_cheapest(question.graph, question.costs.priced(extra), ROOM)
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
