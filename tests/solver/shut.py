"""``Shut``, a family that the multipliers know nothing of: it shuts nodes out in the model alone,
so that the way to the answer is as long as one likes.

Public: Shut, shut.
"""

from dataclasses import dataclass

import numpy as np

import solver.proof as proving
from solver.family import Values
from solver.laid_out import lay_out
from solver.links import Charges
from solver.model import Draft, Linear
from solver.question import Question
from solver.ways import Prices, Way, Ways


@dataclass(frozen=True)
class Shut:
    """Keeps ways out of some nodes (moment, layer's node)."""

    ways: Ways
    nodes: frozenset[tuple[int, int]]

    @property
    def size(self) -> int:
        return 0

    def resume(self, before: "Shut", values: Values) -> Values:
        return values

    def prices(self, values: Values) -> Prices:
        return Prices.none(self.ways)

    def given(self, values: Values) -> int:
        return 0

    def slope(self, values: Values, way: Way) -> np.ndarray:
        return np.zeros(0)

    def lawful(self, values: Values) -> Values:
        return values

    def owed(self, way: Way) -> int | None:
        through = set(enumerate(self.ways.layer_nodes(way)))
        return 0 if self.nodes.isdisjoint(through) else None

    def guess(self, values: Values) -> None:
        return None

    def surcharge(self, values: Values) -> None:
        return None

    def add(self, draft: Draft, values: Values) -> Linear:
        for (_, (moment, position)), step in draft.step.items():
            if (moment, int(self.ways.nodes[moment][position])) in self.nodes:
                draft.model.add(step == 0)
        return 0

    def carried(self, values: Values) -> Values:
        return values

    def carry(self, values: Values) -> list[None]:
        return [None] * len(self.ways.nodes)

    def charges(self, values: Values) -> list[Charges]:
        return [()] * len(self.ways.tail)


def shut(monkeypatch, nodes: set[tuple[int, int]]) -> None:
    """Whatever is laid out from now on keeps out of those nodes."""

    def with_it(ways: Ways, question: Question):
        ways, families = lay_out(ways, question)
        return ways, [*families, Shut(ways, frozenset(nodes))]

    monkeypatch.setattr(proving, "lay_out", with_it)
    monkeypatch.setattr(proving, "first_answer", lambda *_: None)  # it would lay out by itself
