"""Repeats alike: moments of one class get the hands that the class's first moment has, or each
bar that differs owes a price.

Public: AlikeFamily, class_hands.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from scoring.moment import Moment
from solver.arrays import Cost, Rows, distinct
from solver.family import Values, taken_over
from solver.layers import Layer
from solver.links import Charges
from solver.model import Draft, Linear
from solver.ways import SCALE, Prices, Way, Ways


@dataclass(frozen=True)
class Tie:
    """moment must have the hands of the moment ``first``; slots: where its multipliers lie;
    here, there: (nodes,) the hands of each node of the two, numbered from 0."""

    moment: int
    first: int
    slots: slice
    here: Rows
    there: Rows


class AlikeFamily:
    """A tied moment is charged by the hands (frets, fingers, strokes) that it has, and its class's
    first moment the opposite, so that equal hands cost nothing. In the class of the tune's first
    moment only strings that are struck count.

    There is a multiplier for each tied moment and each hands that it or the first has in the
    bundle. price: ms for each differing bar, None where none may differ.
    """

    def __init__(
        self,
        ways: Ways,
        moments: Sequence[Moment],
        classes: Sequence[int],
        price: int | None,
    ) -> None:
        self.ways, self.moments, self.price = ways, moments, price
        self.whole = class_hands(ways.layers, classes)
        self.ties: list[Tie] = []
        keys: list[Rows] = []
        first: dict[int, int] = {}
        begins = 0
        for moment, number in enumerate(classes):
            if first.setdefault(number, moment) == moment:
                continue
            pair = [self.whole[m][ways.shape(m)] for m in (moment, first[number])]
            hands, numbers = np.unique(np.concatenate(pair), return_inverse=True)
            here, there = np.split(numbers.reshape(-1), [len(pair[0])])
            slots = slice(begins, begins + len(hands))
            self.ties.append(Tie(moment, first[number], slots, here, there))
            keys.append(moment << 32 | hands)
            begins = slots.stop
        self.keys: Rows = np.concatenate([*keys, np.zeros(0, np.intp)]).astype(np.intp)
        self.size = begins

    @cached_property
    def _bars(self) -> list[list[Tie]]:
        """The ties of each bar."""
        bars: dict[int, list[Tie]] = defaultdict(list)
        for tie in self.ties:
            bars[self.moments[tie.moment].bar].append(tie)
        return list(bars.values())

    def resume(self, before: "AlikeFamily", values: Values) -> Values:
        """The values that another bundle's family had for the same moments and hands."""
        return taken_over(before.keys, values, self.keys)

    def prices(self, values: Values) -> Prices:
        prices = Prices.none(self.ways)
        for tie in self.ties:
            own = values[tie.slots]
            prices.nodes[tie.moment] += own[tie.here]
            prices.nodes[tie.first] -= own[tie.there]
        return prices

    def given(self, values: Values) -> int:
        return 0

    def slope(self, values: Values, way: Way) -> NDArray[np.float64]:
        slope = np.zeros(self.size)
        for tie in self.ties:
            here, there = _met(tie, way)
            if here != there:
                slope[tie.slots.start + here] += 1
                slope[tie.slots.start + there] -= 1
        return slope

    def lawful(self, values: Values) -> Values:
        return self._within_price(values, 1)

    def _within_price(self, values: Values, unit: int) -> Values:
        """The values, as multiples of ``unit``, such that what a bar's ties can charge, one hand
        against another, or against one that the bundle does not have, stays within its price."""
        out = values if unit == 1 else np.fix(values / unit).astype(np.int64) * unit
        if self.price is None:
            return out
        out = out.copy()
        for bar in self._bars:
            spans = [out[tie.slots] for tie in bar]
            total = sum(int(span.max(initial=0) - span.min(initial=0)) for span in spans)
            if total > self.price * SCALE:
                room = max(0, self.price * SCALE - 2 * unit * len(bar))
                for span in spans:
                    span[:] = np.fix(span * (room / total) / unit).astype(np.int64) * unit
        return out

    def owed(self, way: Way) -> int | None:
        differing = sum(any(len({*_met(tie, way)}) > 1 for tie in bar) for bar in self._bars)
        if self.price is None:
            return None if differing else 0
        return self.price * differing

    def guess(self, values: Values) -> None:
        return None

    def surcharge(self, values: Values) -> None:
        return None

    def add(self, draft: Draft, values: Values) -> Linear:
        owed: list[Linear] = []
        for bar in self._bars:
            differs = None if self.price is None else draft.model.new_bool_var("")
            if differs is not None and self.price is not None:
                owed.append(self.price * SCALE * differs)
            for tie in bar:
                ours = _taken(draft, tie.moment, tie.here)
                theirs = _taken(draft, tie.first, tie.there)
                for hands in sorted({*ours, *theirs}):
                    own, other = sum(ours.get(hands, ())), sum(theirs.get(hands, ()))
                    if differs is None:
                        draft.model.add(own == other)
                        continue
                    draft.model.add(own - other <= differs)
                    owed.append(-int(values[tie.slots.start + hands]) * (own - other))
        return sum(owed)

    def carried(self, values: Values) -> Values:
        return self._within_price(values, SCALE)

    def charges(self, values: Values) -> list[Charges]:
        return [()] * (len(self.ways.layers) - 1)

    def carry(self, values: Values) -> list[Cost | None]:
        out: list[Cost | None] = [None] * len(self.moments)
        for tie in self.ties:
            hands = self.keys[tie.slots] & (1 << 32) - 1
            for moment, sign in ((tie.moment, 1), (tie.first, -1)):
                shapes = taken_over(hands, values[tie.slots] // SCALE, self.whole[moment])
                charge = sign * shapes[self.ways.layers[moment].shape]
                before = out[moment]
                out[moment] = charge if before is None else before + charge
        return out

    def allowed(self) -> list[NDArray[np.bool_] | None]:
        """Per moment (nodes of the bundle,): False where a tied moment has hands that another of
        its class cannot have."""
        masks: list[NDArray[np.bool_] | None] = [None] * len(self.moments)
        for tie in self.ties:
            both = np.intersect1d(tie.here, tie.there)
            for moment, hands in ((tie.moment, tie.here), (tie.first, tie.there)):
                shared, before = np.isin(hands, both), masks[moment]
                masks[moment] = shared if before is None else before & shared
        return masks


def _met(tie: Tie, way: Way) -> tuple[int, int]:
    """The hands of the tied moment and of the first on a way."""
    return int(tie.here[way.positions[tie.moment]]), int(tie.there[way.positions[tie.first]])


def _taken(draft: Draft, moment: int, hands: Rows) -> dict[int, list[Linear]]:
    """hands → the kept steps that lead to them at a moment."""
    taken: dict[int, list[Linear]] = defaultdict(list)
    for position, steps in draft.entering[moment].items():
        taken[int(hands[position])] += steps
    return taken


def class_hands(layers: Sequence[Layer], classes: Sequence[int]) -> list[Rows]:
    """Per moment (shapes of its layer,): a number for the hands by which its class is compared; in
    the class of the tune's first moment only strings that are struck count."""
    every, begun = _hands_of(layers), _hands_of(layers, struck_only=True)
    return [begun[m] if number == 0 else every[m] for m, number in enumerate(classes)]


def _hands_of(layers: Sequence[Layer], struck_only: bool = False) -> list[Rows]:
    """Per moment (shapes of its layer,): a number for its hands, the same in every layer."""
    different = {id(layer): layer.shapes for layer in layers}
    rows = []
    for shapes in different.values():
        seen = shapes.struck | (not struck_only)
        columns = [np.where(seen, part, -1) for part in (shapes.frets, shapes.fingers)]
        rows.append(np.concatenate([*columns, shapes.struck], axis=1))
    _, number = distinct(np.concatenate(rows))
    ends = np.cumsum([len(row) for row in rows])[:-1]
    own = dict(zip(different, np.split(number, ends), strict=True))
    return [own[id(layer)] for layer in layers]
