"""Quotas: what is counted on the chosen steps stays within its limits.

Public: QuotaFamily, Whole.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from solver.arrays import Cost, Rows
from solver.charges import Charge
from solver.family import Values
from solver.links import Charges
from solver.model import Draft, Linear
from solver.ways import SCALE, Prices, Way, Ways


@dataclass(frozen=True)
class Whole:
    """How the whole graph counts the same, or no more of it: part: what the steps are charged for,
    one with no name for nothing, None where the graph cannot count it; where: per moment, whether
    it counts there; nodes: per moment (nodes of its layer,); shares: where a bar counts once, among
    how many moments its charge is shared out, else empty."""

    part: Charge | None
    where: tuple[bool, ...]
    nodes: tuple[Rows | None, ...]
    shares: tuple[int, ...] = ()


@dataclass(frozen=True)
class QuotaFamily:
    """nodes, steps: what a node of each moment, or a step from it, counts; least, most: limits.

    The two multipliers charge what is counted above ``most`` and below ``least``.
    """

    ways: Ways
    nodes: tuple[Rows | None, ...]
    steps: tuple[Rows | None, ...]
    least: int | None
    most: int | None
    whole: "Whole"

    @property
    def size(self) -> int:
        return 2

    def resume(self, before: "QuotaFamily", values: Values) -> Values:
        return values

    def prices(self, values: Values) -> Prices:
        prices = Prices.none(self.ways)
        charge = int(values[0] - values[1])
        for moment, counts in enumerate(self.nodes):
            if counts is not None:
                prices.nodes[moment] = charge * counts
        for moment, counts in enumerate(self.steps):
            if counts is not None:
                prices.steps[moment] = charge * counts
        return prices

    def given(self, values: Values) -> int:
        return int(values[1]) * (self.least or 0) - int(values[0]) * (self.most or 0)

    def slope(self, values: Values, way: Way) -> NDArray[np.float64]:
        count = self.count(way)
        over = 0.0 if self.most is None else float(count - self.most)
        under = 0.0 if self.least is None else float(self.least - count)
        slope = np.array([over, under])
        slope[(values <= 0) & (slope < 0)] = 0
        return slope

    def lawful(self, values: Values) -> Values:
        limited = np.array([self.most is not None, self.least is not None])
        return np.where(limited, np.maximum(values, 0), 0)

    def owed(self, way: Way) -> int | None:
        count = self.count(way)
        low, high = self.least or 0, count if self.most is None else self.most
        return 0 if low <= count <= high else None

    def count(self, way: Way) -> int:
        """What a way counts in all."""
        pairs = list(zip(self.nodes, way.positions, strict=True))
        pairs += list(zip(self.steps, way.steps, strict=True))
        return sum(int(counts[at]) for counts, at in pairs if counts is not None)

    def guess(self, values: Values) -> None:
        return None

    def surcharge(self, values: Values) -> None:
        return None

    def add(self, draft: Draft, values: Values) -> Linear:
        counted: list[Linear] = []
        for moment, number, step in draft.numbered():
            counts = self.steps[moment - 1] if moment else None
            if counts is not None and counts[number]:
                counted.append(int(counts[number]) * step)
        for moment, counts in enumerate(self.nodes):
            if counts is not None:
                for position, steps in draft.entering[moment].items():
                    if counts[position]:
                        counted.append(int(counts[position]) * sum(steps))
        total = sum(counted)
        owed: Linear = 0
        if self.most is not None:
            draft.model.add(total <= self.most)
            owed += int(values[0]) * (self.most - total)
        if self.least is not None:
            draft.model.add(total >= self.least)
            owed += int(values[1]) * (total - self.least)
        return owed

    def carried(self, values: Values) -> Values:
        whole = values // SCALE * SCALE
        if self.whole.part is None or (self.whole.shares and whole[1] > whole[0]):
            return np.zeros_like(values)
        return whole

    def carry(self, values: Values) -> list[Cost | None]:
        charge = int(values[0] - values[1]) // SCALE
        return [
            None if counts is None else charge // share * counts
            for counts, share in zip(self.whole.nodes, self._shares, strict=True)
        ]

    def charges(self, values: Values) -> list[Charges]:
        charge = int(values[0] - values[1]) // SCALE
        out: list[Charges] = []
        for where, share in zip(self.whole.where[1:], self._shares[1:], strict=True):
            price = charge // share
            if where and price and self.whole.part is not None and self.whole.part.what:
                out.append((replace(self.whole.part, price=price),))
            else:
                out.append(())
        return out

    @property
    def _shares(self) -> tuple[int, ...]:
        return self.whole.shares or (1,) * len(self.nodes)
