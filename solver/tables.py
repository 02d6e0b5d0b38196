"""Moves by table: what every finger, hand and string can do, counted once for all pairs of states.

A tune's shapes are made of few distinct finger states (a fret, the strings it covers, how far from
the hand) and hand places. Counting each pair of them once, with the scoring room's own functions,
and adding up by look-up is what makes a whole layer's moves cheap.

Public: MoveTables.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scoring.choice import Ints, Shapes
from scoring.move import (
    NOWHERE,
    FingerState,
    FingerWay,
    HandWay,
    finger_states,
    shift_ms,
    tightest_gap,
)
from scoring.terms import FINGER_TERMS, HAND_TERMS, PAIR_TERMS, VOICE_TERMS
from scoring.weights import Weights
from solver.arrays import Cost, Rows

LookUp = Callable[[NDArray[Any], Rows, Rows], NDArray[Any]]
"""table, state numbers before, state numbers after → the entries wanted."""

ANCHOR = np.int64(1) << 44
"""Added to a finger's cost where it stays on its fret, so that one sum tells both."""


@dataclass(frozen=True)
class Coded:
    """A layer's shapes by state number: fingers (n, 5); before, after: (n,) the hand as it leaves
    and arrives; pitches (n, upper courses), one more than MIDI so that silence is 0."""

    fingers: Rows
    before: Rows
    after: Rows
    pitches: Rows


@dataclass
class MoveTables:
    """All states that occur in some layers' shapes, numbered; costs under ``weights``.

    Tables are made when first asked for and kept.
    """

    shapes: Sequence[Shapes]
    weights: Weights
    _coded: dict[int, Coded] = field(default_factory=dict)
    _pressures: dict[tuple[int, bool], list[Ints]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.hand = self.shapes[0].hand
        self.spacing = round(10 * self.shapes[0].instrument.spacing_mm)
        sizes = np.cumsum([0] + [len(shapes) for shapes in self.shapes])
        states = np.concatenate([_columns(shapes) for shapes in self.shapes])
        fingers = [states[:, finger] for finger in range(5)]
        self._states, codes = _numbered(fingers)
        places = np.concatenate([shapes.place for shapes in self.shapes])
        gaps = np.concatenate([tightest_gap(shapes) for shapes in self.shapes])
        self._places, before = np.unique(places, return_inverse=True)
        arrivals = np.stack([places, gaps], axis=1)
        self._arrivals, after = np.unique(arrivals, axis=0, return_inverse=True)
        for shapes, start, end in zip(self.shapes, sizes, sizes[1:], strict=False):
            self._coded[id(shapes)] = Coded(
                np.stack([code[start:end] for code in codes], axis=1),
                before.reshape(-1)[start:end],
                after.reshape(-1)[start:end],
                (shapes.pitch[:, 1:] + 1).astype(np.intp),
            )
        self._ways = [self._way(states) for states in self._states]
        self._finger_costs = [self._finger_cost(way) for way in self._ways]
        self._hand_ms = self._hand_table()
        self._voice_costs = self._voice_table()

    def all_pairs(self, before: Shapes, after: Shapes, ms: int, damped: bool) -> Cost:
        """(shapes before, shapes after): ms that every move costs."""
        old, new = self._coded[id(before)], self._coded[id(after)]
        total = self._add_up(_matrix, old, new, ms, damped)
        if any(self.weights[term.about.name] for term in PAIR_TERMS):
            tail, head = np.indices(total.shape).reshape(2, -1)
            total += self._whole(before, after, tail, head).reshape(total.shape)
        return total

    def some_pairs(
        self, before: Shapes, after: Shapes, tail: Rows, head: Ints, ms: int, damped: bool
    ) -> Cost:
        """(pairs,): ms that the moves from shapes ``tail`` to shapes ``head`` cost."""
        old, new = self._coded[id(before)], self._coded[id(after)]
        total = self._add_up(_pairs(tail, head), old, new, ms, damped)
        return total + self._whole(before, after, tail, head)

    def _whole(self, before: Shapes, after: Shapes, tail: Rows, head: Rows | Ints) -> Cost:
        """(pairs,): ms of the terms that look at two whole shapes."""
        total = np.zeros(len(tail), np.int64)
        for term in PAIR_TERMS:
            weight = self.weights[term.about.name]
            if weight:
                amount = term.amount(before.take(tail), after.take(head.astype(np.intp)))
                total += amount * np.int64(weight)
        return total

    def _add_up(self, read: LookUp, old: Coded, new: Coded, ms: int, damped: bool) -> Cost:
        """The moves' cost but for pair terms, in the shape that ``read`` gives."""
        presses = self._pressure(ms, damped)
        free = read(self._hand_ms, old.before, new.after)
        total = np.zeros(free.shape, np.int64)
        pressure = np.full(free.shape, NOWHERE, np.int32)
        for finger in range(5):
            codes = old.fingers[:, finger], new.fingers[:, finger]
            total += read(self._finger_costs[finger], *codes)
            np.maximum(pressure, read(presses[finger], *codes), out=pressure)
        anchored = total >= ANCHOR
        total %= ANCHOR
        for voice in range(old.pitches.shape[1]):
            total += read(self._voice_costs, old.pitches[:, voice], new.pitches[:, voice])
        hand = HandWay(np.where(anchored, np.int32(0), free), pressure)
        for term in HAND_TERMS:
            total += term.amount(hand) * np.int64(self.weights[term.about.name])
        return total

    def _way(self, states: FingerState) -> FingerWay:
        """(k, k): one finger from every state of its to every other."""
        return FingerWay(
            FingerState(*(column[:, None] for column in _fields(states))),
            FingerState(*(column[None, :] for column in _fields(states))),
            self.hand,
            self.spacing,
        )

    def _finger_cost(self, way: FingerWay) -> Cost:
        count = way.stays.shape[0]
        total = np.zeros((count, count), np.int64)
        for term in FINGER_TERMS:
            total += term.amount(way) * np.int64(self.weights[term.about.name])
        return total + np.where(way.stays, ANCHOR, np.int64(0))

    def _pressure(self, ms: int, damped: bool) -> list[Ints]:
        key = (ms, damped)
        if key not in self._pressures:
            self._pressures[key] = [way.pressure(ms, damped) for way in self._ways]
        return self._pressures[key]

    def _hand_table(self) -> Ints:
        after, gap = self._arrivals[:, 0], self._arrivals[:, 1]
        return shift_ms(self._places[:, None], after[None, :], gap[None, :], self.hand)

    def _voice_table(self) -> Cost:
        pitches = np.arange(-1, 128, dtype=np.int32)
        before, after = np.broadcast_arrays(pitches[:, None], pitches[None, :])
        total = np.zeros(before.shape, np.int64)
        for term in VOICE_TERMS:
            total += term.amount(before, after) * np.int64(self.weights[term.about.name])
        return total


def _matrix(table: NDArray[Any], before: Rows, after: Rows) -> NDArray[Any]:
    """(shapes before, shapes after): the entries for every two shapes."""
    return table[before][:, after]


def _pairs(tail: Rows, head: Ints) -> LookUp:
    """Reads the entries of the pairs (tail[i], head[i]) only."""
    return lambda table, before, after: table[before[tail], after[head]]


def _fields(states: FingerState) -> tuple[Ints, Ints, Ints, Ints]:
    return states.fret, states.courses, states.along, states.gap


def _columns(shapes: Shapes) -> Ints:
    """(n, 5, 4): the four fields of each finger's state."""
    return np.stack(_fields(finger_states(shapes)), axis=2)


def _numbered(fingers: list[Ints]) -> tuple[list[FingerState], list[Rows]]:
    """Each finger's distinct states, and every row's number among them."""
    states, codes = [], []
    for rows in fingers:
        distinct, code = np.unique(rows, axis=0, return_inverse=True)
        states.append(FingerState(*(distinct[:, column] for column in range(4))))
        codes.append(code.reshape(-1).astype(np.intp))
    return states, codes
