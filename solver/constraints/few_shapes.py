"""Few shapes: a step may only lead to a shape that is used, and so many may be used, each at its
price.

Public: FewShapesFamily, numbered.
"""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from solver.arrays import FAR, Cost, Rows, distinct
from solver.conditions.few_shapes import FewShapes, LearnedShape
from solver.family import Values, taken_over
from solver.layers import Layer
from solver.links import Charges
from solver.model import Draft, Linear
from solver.ways import SCALE, Prices, Way, Ways


class FewShapesFamily:
    """A node is charged for its shape at its moment; the shapes that may be used give back what
    they were charged in all, the dearest first, less their own price.

    There is a multiplier for each (moment, shape) that occurs in the bundle; the hand with no
    finger down is no shape.
    """

    def __init__(self, ways: Ways, wish: FewShapes) -> None:
        self.ways, self.wish = ways, wish
        self.numbers, self.shapes = numbered(ways.layers)
        fee = 0 if wish.price is None else wish.price * SCALE
        self.fees = np.array([0 if wish.knows(s) else fee for s in self.shapes], np.int64)
        self.seen = [self.numbers[m][ways.shape(m)] for m in range(len(ways.layers))]
        keys = [_keys(m, seen[seen >= 0], len(self.shapes)) for m, seen in enumerate(self.seen)]
        self.keys: Rows = np.unique(np.concatenate(keys))
        self.size = len(self.keys)
        self.shape_of = self.keys % max(1, len(self.shapes))
        self.slots = [self._slots(m, seen) for m, seen in enumerate(self.seen)]

    def resume(self, before: "FewShapesFamily", values: Values) -> Values:
        """The values that another bundle's family had for the same moments and shapes."""
        return taken_over(before.keys, values, self.keys)

    def prices(self, values: Values) -> Prices:
        prices = Prices.none(self.ways)
        open_too = np.append(values, 0)
        prices.nodes = [open_too[slots] for slots in self.slots]
        return prices

    def given(self, values: Values) -> int:
        back = self._back(values)
        return -int(back[self._used(back)].sum())

    def slope(self, values: Values, way: Way) -> NDArray[np.float64]:
        used = np.zeros(len(self.shapes), np.bool_)
        used[self._used(self._back(values))] = True
        slope = np.where(used[self.shape_of], -1.0, 0.0)
        for slots, position in zip(self.slots, way.positions, strict=True):
            if slots[position] >= 0:
                slope[slots[position]] += 1
        slope[(values <= 0) & (slope < 0)] = 0
        return slope

    def lawful(self, values: Values) -> Values:
        return np.maximum(values, 0)

    def owed(self, way: Way) -> int | None:
        used = {int(seen[p]) for seen, p in zip(self.seen, way.positions, strict=True)} - {-1}
        if self.wish.most is not None and len(used) > self.wish.most:
            return None
        return sum(int(self.fees[shape]) for shape in used) // SCALE

    def guess(self, values: Values) -> list[NDArray[np.bool_]]:
        """Nodes of the shapes that the multipliers would use, and of none."""
        used = np.zeros(len(self.shapes) + 1, np.bool_)
        used[[*self._used(self._back(values)), len(self.shapes)]] = True
        return [used[seen] for seen in self.seen]

    def surcharge(self, values: Values) -> list[Cost]:
        """A shape that is not worth using takes another's place, or is used at a loss."""
        back = self._back(values)
        used = self._used(back)
        full = self.wish.most is not None and len(used) == self.wish.most
        least = int(back[used].min()) if full and len(used) else 0
        extra = np.append(np.maximum(0, least - back), 0)
        extra[used] = 0
        if full and not len(used):
            extra[:-1] = FAR
        return [extra[seen] for seen in self.seen]

    def add(self, draft: Draft, values: Values) -> Linear:
        used: dict[int, cp_model.IntVar] = {}
        terms: list[Linear] = [-self.given(values)]
        for moment, positions in draft.entering.items():
            taken: dict[int, list[cp_model.IntVar]] = defaultdict(list)
            for position, steps in positions.items():
                slot = int(self.slots[moment][position])
                if slot >= 0:
                    taken[slot] += steps
            for slot, steps in taken.items():
                shape = int(self.shape_of[slot])
                if shape not in used:
                    used[shape] = draft.model.new_bool_var("")
                draft.model.add(sum(steps) <= used[shape])
                terms.append(-int(values[slot]) * sum(steps))
        terms += [int(self.fees[shape]) * variable for shape, variable in used.items()]
        if self.wish.most is not None:
            draft.model.add(sum(used.values()) <= self.wish.most)
        return sum(terms)

    def carried(self, values: Values) -> Values:
        return values // SCALE * SCALE

    def charges(self, values: Values) -> list[Charges]:
        return [()] * (len(self.ways.layers) - 1)

    def carry(self, values: Values) -> list[Cost | None]:
        """As charged in the bundle; shapes that it does not have are charged what they may be
        without giving more back than those that are used already."""
        count, layers = len(self.shapes), self.ways.layers
        table = np.zeros((len(layers), count + 1), np.int64)
        table[self.keys // max(1, count), self.shape_of] = values // SCALE
        new = np.ones(count + 1, np.bool_)
        new[[*self.shape_of, count]] = False
        back = self._back(values)
        used = self._used(back)
        if self.wish.most is not None and len(used) == self.wish.most and len(used):
            room = int(back[used].min()) // SCALE
            there = np.zeros((len(layers), count + 1), np.bool_)
            for moment, numbers in enumerate(self.numbers):
                there[moment, numbers] = True
            often = np.maximum(there.sum(axis=0), 1)
            table += np.where(new & there, room // often, 0)
        return [
            table[moment][self.numbers[moment][layer.shape]] for moment, layer in enumerate(layers)
        ]

    def dearest(self, values: Values, count: int) -> frozenset[int]:
        """The shapes that would give back most."""
        back = self._back(values)
        order = np.argsort(-back, kind="stable")[:count]
        return frozenset(order[back[order] > 0].tolist())

    def _slots(self, moment: int, seen: Rows) -> Rows:
        """(nodes,): each node's multiplier, -1 where no finger is down."""
        keys = _keys(moment, seen, len(self.shapes))
        return np.where(seen >= 0, np.searchsorted(self.keys, keys), -1)

    def _back(self, values: Values) -> Cost:
        """(shapes,): what each would give back if it were used."""
        total = np.bincount(self.shape_of, values.astype(np.float64), len(self.shapes))
        return np.asarray(total.astype(np.int64) - self.fees)

    def _used(self, back: Cost) -> Rows:
        """The shapes worth using, as many as may be."""
        order = np.argsort(-back, kind="stable")[: self.wish.most]
        return order[back[order] > 0]


def _keys(moment: int, shapes: Rows, count: int) -> Rows:
    return moment * max(1, count) + shapes


def numbered(layers: Sequence[Layer]) -> tuple[list[Rows], list[LearnedShape]]:
    """(per moment (shapes of its layer,) the number of the shape a pupil learns, -1 for none;
    those shapes, in order)."""
    different = {id(layer): layer for layer in layers}
    rows = {key: _stopped(layer) for key, layer in different.items()}
    table, number = distinct(np.concatenate(list(rows.values())))
    courses = table.shape[1] // 2
    down = (table[:, courses:] >= 0).any(axis=1)
    names = np.where(down, np.cumsum(down) - 1, -1)[number]
    ends = np.cumsum([len(row) for row in rows.values()])[:-1]
    own = dict(zip(rows, np.split(names.astype(np.intp), ends), strict=True))
    shapes = [
        LearnedShape(_named(row[:courses]), _named(row[courses:])) for row in table[down].tolist()
    ]
    return [own[id(layer)] for layer in layers], shapes


def _stopped(layer: Layer) -> Rows:
    """(shapes, 2 · courses): frets, then fingers, of the strings stopped, -1 for others."""
    fingers = layer.shapes.fingers
    return np.concatenate([np.where(fingers >= 0, layer.shapes.frets, -1), fingers], axis=1)


def _named(row: list[int]) -> tuple[int | None, ...]:
    return tuple(None if value < 0 else value for value in row)
