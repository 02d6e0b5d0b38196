"""Moves by table: what every finger, hand and string costs, counted once for all pairs of states.

Each pair of finger states, hand places and pitches (``solver.states``) is counted once, with
the scoring room's own functions; adding up by look-up is what makes a whole layer's moves cheap.

A hand term must count no more than the ms that the hand and its most pressed finger take together,
a pair term no more than ``MOST_PAIRS``: by that it is known beforehand whether 32 bits hold a cost.

Public: MoveTables, FingerCosts, VoiceCosts, MOVE_TERMS.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from scoring.choice import Ints, Shapes
from scoring.move import FingerWay, HandWay
from scoring.terms import FINGER_TERMS, HAND_TERMS, PAIR_TERMS, VOICE_TERMS
from scoring.weights import Weights
from solver.arrays import Cost, Moves, Rows, fits_short
from solver.hand_states import FINGERS, HAND, HandStates, Table
from solver.held import HeldShapes
from solver.states import BLOCK, VOICES, States

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


class FingerCosts:
    """What each finger's ways cost under ``weights``."""

    def __init__(self, hands: HandStates, weights: Weights) -> None:
        self.weights = weights
        self._mosts = [0] * len(FINGERS)
        self._long = [Table(hands, each, self._counted(each, ANCHOR)) for each in FINGERS]
        self._short = [Table(hands, each, self._counted(each, SHORT_ANCHOR)) for each in FINGERS]

    @property
    def long(self) -> list[Cost]:
        """(states, states) of each finger: ms, marked by ANCHOR where it stays."""
        return [table.values for table in self._long]

    @property
    def short(self) -> list[Moves]:
        """The same in 32 bits, marked by SHORT_ANCHOR; only where ``most`` is below that."""
        return [table.values for table in self._short]

    @property
    def most(self) -> int:
        """All fingers together cost no more."""
        for table in self._short:
            table.grow()
        return sum(self._mosts)

    def _counted(self, finger: int, anchor: int) -> Callable[[FingerWay], Cost]:
        bits = np.int32 if anchor == SHORT_ANCHOR else np.int64

        def count(way: FingerWay) -> Cost:
            total = np.zeros(way.stays.shape, np.int64)
            for term in FINGER_TERMS:
                weight = self.weights[term.about.name]
                if weight:
                    total += term.amount(way) * np.int64(weight)
            self._mosts[finger] = max(self._mosts[finger], int(total.max(initial=0)))
            marked: Cost = np.minimum(total, anchor - 1) + np.where(way.anchors, anchor, 0)
            return marked.astype(bits)

        return count


class VoiceCosts:
    """What all strings above the bass cost under ``weights`` from one set of pitches to another."""

    def __init__(self, states: States, weights: Weights) -> None:
        self.states, self.weights = states, weights
        self._kept = np.zeros((0, 0), np.int64)

    @property
    def each(self) -> Cost:
        """(sets before, sets after): ms; made anew where there are more sets."""
        sets = self.states.pitches
        if len(self._kept) != len(sets):
            self._kept = np.zeros((len(sets), len(sets)), np.int64)
            for voice in sets.T + 1:
                self._kept += np.take(self._single[voice], voice, axis=1)
        return self._kept

    @cached_property
    def _single(self) -> Cost:
        """(pitches + 1, pitches + 1): ms of one string, -1 where it is silent."""
        pitches = np.arange(-1, 128, dtype=np.int32)
        before, after = np.broadcast_arrays(pitches[:, None], pitches[None, :])
        total = np.zeros(before.shape, np.int64)
        for term in VOICE_TERMS:
            total += term.amount(before, after) * np.int64(self.weights[term.about.name])
        return total


@dataclass(frozen=True, eq=False)
class MoveTables:
    """What the moves between some layers' shapes cost under ``weights``."""

    weights: Weights
    states: States
    fingers: FingerCosts
    voices: VoiceCosts
    _mosts: dict[tuple[int, bool], tuple[int, int]] = field(default_factory=dict)

    @classmethod
    def of(
        cls, states: States, weights: Weights, before: "MoveTables | None" = None
    ) -> "MoveTables":
        """before: tables of the same hands in another tuning under the same weights, of which is
        kept what no tuning touches."""
        if before is not None and (before.weights, before.states.hands) != (weights, states.hands):
            raise ValueError("tables under other weights, or of other hands, do not serve")
        fingers = FingerCosts(states.hands, weights) if before is None else before.fingers
        return cls(weights, states, fingers, VoiceCosts(states, weights))

    def updated(self, weights: Weights) -> "MoveTables":
        """The same states under other weights."""
        return MoveTables.of(self.states, weights)

    @cached_property
    def key(self) -> tuple[int, ...]:
        """The weights that move costs depend on."""
        return tuple(self.weights[name] for name in MOVE_TERMS)

    def most(self, ms: int, damped: bool) -> int:
        """No move costs more ms, counted from 0 either way."""
        size = self.states.size
        if self._mosts.get((ms, damped), (-1, 0))[0] != size:
            self._mosts[ms, damped] = size, self._most(ms, damped)
        return self._mosts[ms, damped][1]

    def _most(self, ms: int, damped: bool) -> int:
        taken = int(self.states.hands.ms.max()) + self.states.hands.pressed(ms, damped)
        hand = taken * sum(self.weights[term.about.name] for term in HAND_TERMS)
        pairs = MOST_PAIRS * sum(self.weights[term.about.name] for term in PAIR_TERMS)
        return self.fingers.most + int(self.voices.each.max()) + hand + pairs

    def all_pairs(self, before: HeldShapes, after: HeldShapes, ms: int, damped: bool) -> Moves:
        """(shapes before, shapes after): ms that every move costs."""
        old, new = before.coded, after.coded
        bits = self._bits(ms, damped)
        wide = [
            np.take(entries[old.present[by][0]], new.after[by], axis=1)
            for entries, by in self._tables(ms, damped, bits)
        ]
        out = np.empty((len(before), len(after)), bits)
        step = max(1, BLOCK // max(1, len(after)))
        for start in range(0, len(before), step):
            rows = slice(start, min(start + step, len(before)))
            at = [codes[rows] for _, codes in old.present]
            self._add_up(_rows_of(wide, at), out[rows])
            if self._whole_counts:
                tail, head = np.indices(out[rows].shape).reshape(2, -1)
                whole = self._whole(before.shapes, after.shapes, tail + start, head)
                out[rows] += whole.reshape(-1, len(after)).astype(bits)
        return out

    def some_pairs(
        self,
        before: HeldShapes,
        after: HeldShapes,
        tail: Rows,
        head: Ints,
        ms: int,
        damped: bool,
    ) -> Moves:
        """(pairs,): the same for the moves from shapes ``tail`` to shapes ``head`` only."""
        old, new = before.coded, after.coded
        tables = self._tables(ms, damped, self._bits(ms, damped))
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
            total += self._whole(before.shapes, after.shapes, tail, head).astype(total.dtype)
        return total

    def _bits(self, ms: int, damped: bool) -> type[np.signedinteger]:
        """The bits that hold every move's cost, and an anchor's mark besides."""
        short = fits_short(self.most(ms, damped)) and self.fingers.most < SHORT_ANCHOR
        return np.int32 if short else np.int64

    def _tables(
        self, ms: int, damped: bool, bits: type[np.signedinteger]
    ) -> list[tuple[Moves, int]]:
        """What ``_add_up`` reads, each with the numbers that it is read by."""
        hands, short = self.states.hands, bits is np.int32
        costs = self.fingers.short if short else self.fingers.long
        voices = self.voices.each.astype(bits)
        presses = [table.values for table in hands.pressures(ms, damped)]
        entries = [*costs, *presses, hands.ms, voices]
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
                if amount.max() > MOST_PAIRS:
                    raise ValueError(f"{term.about.name} counts more than foreseen")
                total += amount * np.int64(weight)
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
