"""Moves by table: what every finger, hand and string costs, counted once for all pairs of states.

Each pair of finger states, hand places and pitches (``solver.states``) is counted once, with
the scoring room's own functions; adding up by look-up is what makes a whole layer's moves cheap.

A hand term must count no more than the ms that the hand and its most pressed finger take together,
a pair term no more than ``MOST_PAIRS``: by that it is known beforehand whether 32 bits hold a cost.

Public: MoveTables, MOVE_TERMS.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from scoring.choice import Ints, Shapes
from scoring.move import FingerWay, HandWay
from scoring.terms import FINGER_TERMS, HAND_TERMS, PAIR_TERMS, VOICE_TERMS
from scoring.weights import Weights
from solver.arrays import Cost, Moves, Rows, fits_short
from solver.states import BLOCK, FINGERS, HAND, VOICES, States

MOVE_TERMS = tuple(
    term.about.name
    for terms in (FINGER_TERMS, HAND_TERMS, VOICE_TERMS, PAIR_TERMS)
    for term in terms
)
"""Names of the terms that price a move."""

MOST_PAIRS = 64
"""What a pair term may count at most."""

ANCHOR, SHORT_ANCHOR = 1 << 44, 1 << 24
"""Added to a finger's cost where it stays on its fret, so that one sum tells both."""

Read = Callable[[int, int, Moves], Moves]
"""Table number, by which numbers, where to → the entries wanted, put there."""


@dataclass(frozen=True, eq=False)
class MoveTables:
    """What the moves between some layers' shapes cost under ``weights``."""

    weights: Weights
    states: States

    @classmethod
    def of(cls, shapes: Sequence[Shapes], weights: Weights) -> "MoveTables":
        return cls(weights, States(shapes))

    def updated(self, weights: Weights) -> "MoveTables":
        """The same states under other weights."""
        return MoveTables(weights, self.states)

    @cached_property
    def key(self) -> tuple[int, ...]:
        """The weights that move costs depend on."""
        return tuple(self.weights[name] for name in MOVE_TERMS)

    def most(self, ms: int, damped: bool) -> int:
        """No move costs more ms, counted from 0 either way."""
        taken = int(self.states.hand_ms.max()) + self.states.pressed(ms, damped)
        hand = taken * sum(self.weights[term.about.name] for term in HAND_TERMS)
        pairs = MOST_PAIRS * sum(self.weights[term.about.name] for term in PAIR_TERMS)
        return self._most_of_tables + hand + pairs

    def all_pairs(self, before: Shapes, after: Shapes, ms: int, damped: bool) -> Moves:
        """(shapes before, shapes after): ms that every move costs."""
        old, new = self.states.coded[id(before)], self.states.coded[id(after)]
        kind = self._kind(ms, damped)
        wide = [
            np.take(entries[old.present[by][0]], new.after[by], axis=1)
            for entries, by in self._tables(ms, damped, kind)
        ]
        out = np.empty((len(before), len(after)), kind)
        step = max(1, BLOCK // max(1, len(after)))
        for start in range(0, len(before), step):
            rows = slice(start, min(start + step, len(before)))
            at = [codes[rows] for _, codes in old.present]
            self._add_up(_rows_of(wide, at), out[rows])
            if self._whole_counts:
                tail, head = np.indices(out[rows].shape).reshape(2, -1)
                whole = self._whole(before, after, tail + start, head)
                out[rows] += whole.reshape(-1, len(after)).astype(kind)
        return out

    def some_pairs(
        self,
        before: Shapes,
        after: Shapes,
        tail: Rows,
        head: Ints,
        ms: int,
        damped: bool,
    ) -> Moves:
        """(pairs,): the same for the moves from shapes ``tail`` to shapes ``head`` only."""
        old, new = self.states.coded[id(before)], self.states.coded[id(after)]
        tables = self._tables(ms, damped, self._kind(ms, damped))
        widths = {by: entries.shape[1] for entries, by in tables}
        rows = [old.before[by] * widths[by] for by in range(7)]
        total = np.empty(len(tail), tables[0][0].dtype)
        for start in range(0, len(tail), BLOCK):
            part = slice(start, start + BLOCK)
            heads = head[part].astype(np.intp)
            at = [np.take(row, tail[part]) for row in rows]
            for each, codes in zip(at, new.after, strict=True):
                each += np.take(codes, heads)
            self._add_up(_entries_of(tables, at), total[part])
        if self._whole_counts:
            total += self._whole(before, after, tail, head).astype(total.dtype)
        return total

    def _kind(self, ms: int, damped: bool) -> type[np.signedinteger]:
        """The bits that hold every move's cost, and an anchor's mark besides."""
        short = fits_short(self.most(ms, damped)) and self._most_of_fingers < SHORT_ANCHOR
        return np.int32 if short else np.int64

    def _tables(
        self, ms: int, damped: bool, kind: type[np.signedinteger]
    ) -> list[tuple[Moves, int]]:
        """What ``_add_up`` reads, each with the numbers that it is read by."""
        costs = self._short_costs if kind is np.int32 else self._long_costs
        presses = self.states.pressures(ms, damped)
        entries = [*costs[:-1], *presses, self.states.hand_ms, costs[-1]]
        return list(zip(entries, (*FINGERS, *FINGERS, HAND, VOICES), strict=True))

    def _add_up(self, read: Read, total: Moves) -> None:
        """Puts the moves' costs but for pair terms into ``total``."""
        pressure, free = (np.empty(total.shape, np.int32) for _ in range(2))
        more, press = np.empty_like(total), np.empty_like(pressure)
        read(0, 0, total)
        read(5, 0, pressure)
        for finger in FINGERS[1:]:
            total += read(finger, finger, more)
            np.maximum(pressure, read(5 + finger, finger, press), out=pressure)
        read(10, HAND, free)
        anchor = total.dtype.type(SHORT_ANCHOR if total.dtype == np.int32 else ANCHOR)
        free *= total < anchor
        total &= anchor - total.dtype.type(1)
        total += read(11, VOICES, more)
        hand = HandWay(free, pressure)
        for term in HAND_TERMS:
            weight = self.weights[term.about.name]
            if weight:
                amount = term.amount(hand)
                total += amount if weight == 1 else amount * total.dtype.type(weight)

    @cached_property
    def _short_costs(self) -> list[Moves]:
        return self._marked(np.int32, SHORT_ANCHOR)

    @cached_property
    def _long_costs(self) -> list[Moves]:
        return self._marked(np.int64, ANCHOR)

    def _marked(self, kind: type[np.signedinteger], anchor: int) -> list[Moves]:
        """Each finger's costs, marked where it stays, and those of the pitches."""
        fingers = [
            cost.astype(kind) + np.where(way.stays, kind(anchor), kind(0))
            for cost, way in zip(self._fingers, self.states.ways, strict=True)
        ]
        return [*fingers, self._voices.astype(kind)]

    @cached_property
    def _most_of_tables(self) -> int:
        return self._most_of_fingers + int(self._voices.max())

    @cached_property
    def _most_of_fingers(self) -> int:
        return sum(int(each.max()) for each in self._fingers)

    @cached_property
    def _fingers(self) -> list[Cost]:
        """Each finger's costs, (states, states)."""
        return [self._finger_cost(way) for way in self.states.ways]

    @property
    def _whole_counts(self) -> bool:
        return any(self.weights[term.about.name] for term in PAIR_TERMS)

    def _whole(self, before: Shapes, after: Shapes, tail: Rows, head: Rows | Ints) -> Cost:
        """(pairs,): ms of the terms that look at two whole shapes."""
        total = np.zeros(len(tail), np.int64)
        for term in PAIR_TERMS:
            weight = self.weights[term.about.name]
            if weight and len(tail):
                amount = term.amount(before.take(tail), after.take(head.astype(np.intp)))
                assert amount.max() <= MOST_PAIRS, f"{term.about.name} counts more than foreseen"
                total += amount * np.int64(weight)
        return total

    def _finger_cost(self, way: FingerWay) -> Cost:
        total = np.zeros(way.stays.shape, np.int64)
        for term in FINGER_TERMS:
            total += term.amount(way) * np.int64(self.weights[term.about.name])
        return total

    @cached_property
    def _voices(self) -> Cost:
        """(pitch sets before, pitch sets after): ms of all strings above the bass."""
        pitches = np.arange(-1, 128, dtype=np.int32)
        before, after = np.broadcast_arrays(pitches[:, None], pitches[None, :])
        one = np.zeros(before.shape, np.int64)
        for term in VOICE_TERMS:
            one += term.amount(before, after) * np.int64(self.weights[term.about.name])
        sets = self.states.pitches + 1
        total = np.zeros((len(sets), len(sets)), np.int64)
        for voice in sets.T:
            total += np.take(one[voice], voice, axis=1)
        return total


def _rows_of(wide: list[Moves], at: list[Rows]) -> Read:
    """Reads whole rows: of each table those of the numbers ``at``."""

    def read(table: int, by: int, out: Moves) -> Moves:
        np.take(wide[table], at[by], axis=0, out=out, mode="clip")
        return out

    return read


def _entries_of(tables: list[tuple[Moves, int]], at: list[Rows]) -> Read:
    """Reads single entries: of each table those at the places ``at``, counted row by row."""

    def read(table: int, by: int, out: Moves) -> Moves:
        np.take(tables[table][0], at[by], out=out, mode="clip")
        return out

    return read
