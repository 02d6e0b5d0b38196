"""What a condition family must give so that the search can price, hold and prove it.

A family is a condition over the whole tune, laid out over one bundle of ways. It has multipliers:
whole numbers, ``values``, in ``SCALE``-ths of a ms, by which it charges ways for what they do
towards breaking it. For lawful values, and every way that keeps the condition, the charges and
``given(values)`` add up to no more than what the way owes; so the cheapest charged way plus
``given`` never exceeds what any answer costs.

Public: Family, Values, taken_over.
"""

from collections.abc import Sequence
from typing import Protocol, Self

import numpy as np
from numpy.typing import NDArray

from scoring.choice import Bools
from solver.arrays import Cost, Rows
from solver.links import Charges
from solver.model import Draft, Linear
from solver.ways import Prices, Way

Values = NDArray[np.int64]


class Family(Protocol):
    """One condition over one bundle of ways; every method is pure but for ``add``."""

    @property
    def size(self) -> int:
        """How many multipliers there are."""

    def resume(self, before: Self, values: Values) -> Values:
        """Where to begin from what the same condition's family learned over another bundle."""

    def prices(self, values: Values) -> Prices:
        """What they add to the nodes and steps of the bundle."""

    def given(self, values: Values) -> int:
        """What is added to the cheapest charged way to make it a bound (scaled)."""

    def slope(self, values: Values, way: Way) -> NDArray[np.float64]:
        """(size,): a direction in which the bound rises, judged from its cheapest way."""

    def lawful(self, values: Values) -> Values:
        """The nearest values that the bound allows (signs, ceilings)."""

    def owed(self, way: Way) -> int | None:
        """ms that the way owes for what has a price; None where it breaks the condition."""

    def guess(self, values: Values) -> Sequence[Bools] | None:
        """Per moment (nodes,), which nodes a way that keeps the condition might keep to; None
        where there is nothing to guess."""

    def surcharge(self, values: Values) -> Sequence[Cost] | None:
        """Per moment (nodes,), scaled: what every answer through a node costs beyond the cheapest
        charged way through it; None for nothing."""

    def add(self, draft: Draft, values: Values) -> Linear:
        """Adds variables and constraints; the scaled sum that makes reduced costs the true
        ones again: what is owed, less the charges, less ``given``."""

    def carried(self, values: Values) -> Values:
        """The values, as whole ms, as ``carry`` and ``charges`` take them to the whole graph."""

    def carry(self, values: Values) -> Sequence[Cost | None]:
        """Whole ms that carried values add to every node of each moment's layer."""

    def charges(self, values: Values) -> Sequence[Charges]:
        """What carried values charge for the steps from each moment but the last."""


def taken_over(before: Rows, values: Values, now: Rows) -> Values:
    """(now,): the value of each key among ascending keys ``before``, 0 for new ones."""
    place = np.minimum(np.searchsorted(before, now), max(0, len(before) - 1))
    if not len(before):
        return np.zeros(len(now), np.int64)
    return np.where(before[place] == now, values[place], 0)
