"""States: what fingers, hand and strings are like in some layers' shapes, numbered.

A tune's shapes are made of few distinct finger states (a fret, the strings it covers, how far from
the hand), hand places and sets of pitches. Whatever no weight touches is counted once for each pair
of them, with the scoring room's own functions, and spread over moves by look-up, a few rows at a
time, to stay within the processor's cache.

Public: States, Coded, Needs, Spread, BLOCK, FINGERS, HAND, VOICES, MARK_MOVES, MARK_LAID,
MARK_STAYS, NEVER.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fretboard.hand import Hand
from scoring.choice import Ints, Shapes
from scoring.difficulty import percent, stretch_difficulty
from scoring.move import FingerState, FingerWay, finger_states, shift_ms, tightest_gap
from solver.arrays import Moves, Rows, distinct

BLOCK = 1 << 15
"""How many moves are added up at a time."""

MARK_MOVES, MARK_LAID, MARK_STAYS = 1, 8, 64
"""What one finger does, so that one sum over the five tells how many move, lay anew, stay."""

NEVER = -1 << 14
"""ms of a finger that does not move: below nothing, whatever the hand adds; fits 16 bits."""

FINGERS = range(5)
HAND, VOICES = 5, 6
"""What a layer's shapes are numbered by: each finger's state, the hand's, the pitches."""

Needs = tuple[list[int], list[NDArray[np.int16]]]
"""See ``States.needs``."""

Spread = Callable[[Moves, int], Moves]
"""A table of states, the number that it is read by → its entries, spread over moves."""


@dataclass(frozen=True)
class Coded:
    """A layer's shapes by state number, as they leave and as they arrive; (n,) for each finger,
    the hand, and the pitches above the bass."""

    before: tuple[Rows, ...]
    after: tuple[Rows, ...]

    @cached_property
    def present(self) -> list[tuple[Rows, Rows]]:
        """Of ``before``: the numbers that occur, and each shape's among those."""
        pairs = [np.unique(codes, return_inverse=True) for codes in self.before]
        return [(some, code.reshape(-1)) for some, code in pairs]


class States:
    """All states that occur in some layers' shapes, numbered, and what no weight touches:
    ways: each finger from every state to every other; hand_ms (places, arrivals): of its shift;
    pitches (sets, upper courses); coded: id of the shapes → their numbers; known: id of the
    shapes → one number for all that are the same row by row."""

    def __init__(self, shapes: Sequence[Shapes]) -> None:
        self.shapes = tuple(shapes)
        hand = shapes[0].hand
        spacing = round(10 * shapes[0].instrument.spacing_mm)
        columns = np.concatenate([_columns(each) for each in shapes])
        states, codes = _numbered([columns[:, finger] for finger in FINGERS])
        self.ways = [_way(each, hand, spacing) for each in states]
        places = np.concatenate([each.place for each in shapes])
        gaps = np.concatenate([tightest_gap(each) for each in shapes])
        leaves, before = np.unique(places, return_inverse=True)
        arrives, after = distinct(np.stack([places, gaps], axis=1))
        self.pitches, voices = distinct(np.concatenate([each.pitch[:, 1:] for each in shapes]))
        self.hand_ms = shift_ms(leaves[:, None], arrives[None, :, 0], arrives[None, :, 1], hand)
        self._pressures: dict[tuple[int, bool], list[Ints]] = {}
        self._pressed: dict[tuple[int, bool], int] = {}
        self._needs: dict[tuple[int, bool], Needs] = {}
        self._shares: dict[int, NDArray[np.int16]] = {}
        self._stretch: dict[int, Ints] = {}
        self.coded: dict[int, Coded] = {}
        contents = {each: i for i, each in enumerate(dict.fromkeys(map(_content, shapes)))}
        self.known = {id(each): contents[_content(each)] for each in shapes}
        ends = np.cumsum([len(each) for each in shapes])
        for each, end in zip(shapes, ends, strict=True):
            rows = slice(end - len(each), end)
            fingers = tuple(code[rows] for code in codes)
            self.coded[id(each)] = Coded(
                (*fingers, before.reshape(-1)[rows], voices[rows]),
                (*fingers, after[rows], voices[rows]),
            )

    def pressures(self, ms: int, damped: bool) -> list[Ints]:
        """Each finger's pressure, (states, states)."""
        key = (ms, damped)
        if key not in self._pressures:
            self._pressures[key] = [way.pressure(ms, damped) for way in self.ways]
        return self._pressures[key]

    def pressed(self, ms: int, damped: bool) -> int:
        """The greatest pressure that occurs, 0 at least."""
        key = (ms, damped)
        if key not in self._pressed:
            self._pressed[key] = max(0, *(int(p.max()) for p in self.pressures(ms, damped)))
        return self._pressed[key]

    def needs(self, ms: int, damped: bool) -> Needs:
        """(The lengths of time that a finger may have; for each finger (states, states, lengths)
        the ms that it needs from a state that leaves it just that time, else, and where it does not
        move, NEVER)."""
        key = (ms, damped)
        if key not in self._needs:
            assert max(int(way.ms.max()) for way in self.ways) < -NEVER, "needs must fit 16 bits"
            frees = [way.free(ms, damped)[:, 0] for way in self.ways]
            lengths = np.unique(np.concatenate(frees))
            tables = []
            for way, own in zip(self.ways, frees, strict=True):
                there = way.moves[:, :, None] & (own[:, None, None] == lengths)
                tables.append(np.where(there, way.ms[:, :, None], NEVER).astype(np.int16))
            self._needs[key] = lengths.tolist(), tables
        return self._needs[key]

    def shares(self, free: int) -> NDArray[np.int16]:
        """(ms + 1,): the percent of so much time that each ms is, as far as any move takes."""
        if free not in self._shares:
            longest = int(self.hand_ms.max()) + max(int(way.ms.max()) for way in self.ways)
            takes = np.arange(longest + 1, dtype=np.int32)
            self._shares[free] = percent(takes, np.full_like(takes, free)).astype(np.int16)
        return self._shares[free]

    @cached_property
    def doings(self) -> list[NDArray[np.int16]]:
        """What each finger does, of the marks, (states, states)."""
        return [
            np.where(way.moves, MARK_MOVES, 0).astype(np.int16)
            + np.where(way.lays, MARK_LAID, 0).astype(np.int16)
            + np.where(way.stays, MARK_STAYS, 0).astype(np.int16)
            for way in self.ways
        ]

    def stretch(self, shapes: Shapes) -> Ints:
        """(n,): percent of the greatest stretch, of some of the layers' shapes."""
        if id(shapes) not in self._stretch:
            self._stretch[id(shapes)] = stretch_difficulty(shapes)
        return self._stretch[id(shapes)]

    def blocks(
        self, before: Shapes, after: Shapes, pairs: tuple[Rows, Rows] | None = None
    ) -> Iterator[tuple[slice, Spread]]:
        """A few moves at a time, (rows, shapes after), or (pairs,) of (tails, heads): which, and
        what spreads a table of states, with the number that it is read by, over those."""
        old, new = self.coded[id(before)], self.coded[id(after)]
        if pairs is not None:
            for start in range(0, len(pairs[0]), BLOCK):
                part = slice(start, start + BLOCK)
                tail, head = pairs[0][part], pairs[1][part]
                at: dict[int, Rows] = {}
                yield part, partial(_at, at, old.before, new.after, tail, head)
            return
        wide: dict[tuple[int, int], Moves] = {}
        step = max(1, BLOCK // max(1, len(after)))
        for start in range(0, len(before), step):
            rows = slice(start, start + step)
            yield rows, partial(_rows_at, wide, old.present, new.after, rows)

    def doing(self, read: Spread) -> NDArray[Any]:
        """What the fingers do together, in marks, spread over the moves."""
        total = read(self.doings[0], 0)
        for finger, table in enumerate(self.doings[1:], 1):
            total += read(table, finger)
        return total


def _at(
    at: dict[int, Rows],
    before: Sequence[Rows],
    after: Sequence[Rows],
    tail: Rows,
    head: Rows,
    table: Moves,
    by: int,
) -> Moves:
    """The table's entries for single moves; at: where those of tables that were read before are,
    counted row by row, the same all the time."""
    if by not in at:
        at[by] = before[by][tail] * table.shape[1] + after[by][head]
    return np.take(table.reshape(-1, *table.shape[2:]), at[by], axis=0, mode="clip")


def _rows_at(
    wide: dict[tuple[int, int], Moves],
    present: Sequence[tuple[Rows, Rows]],
    after: Sequence[Rows],
    rows: slice,
    table: Moves,
    by: int,
) -> Moves:
    """The table's entries for whole rows of moves; wide: tables that were spread over all columns
    before, the same ones all the time."""
    some, code = present[by]
    if (id(table), by) not in wide:
        wide[id(table), by] = np.take(table[some], after[by], axis=1)
    return np.take(wide[id(table), by], code[rows], axis=0, mode="clip")


def _way(states: FingerState, hand: Hand, spacing: int) -> FingerWay:
    """(k, k): one finger from every state of its to every other."""
    fields = _fields(states)
    return FingerWay(
        FingerState(*(column[:, None] for column in fields)),
        FingerState(*(column[None, :] for column in fields)),
        hand,
        spacing,
    )


def _content(shapes: Shapes) -> bytes:
    """What tells shapes apart."""
    fields = shapes.frets, shapes.fingers, shapes.struck, shapes.place
    return b"".join(each.tobytes() for each in fields)


def _fields(states: FingerState) -> tuple[Ints, Ints, Ints, Ints]:
    return states.fret, states.courses, states.along, states.gap


def _columns(shapes: Shapes) -> Ints:
    """(n, 5, 4): the four fields of each finger's state."""
    return np.stack(_fields(finger_states(shapes)), axis=2)


def _numbered(fingers: list[Ints]) -> tuple[list[FingerState], list[Rows]]:
    """Each finger's distinct states, and every row's number among them."""
    states, codes = [], []
    for rows in fingers:
        different, code = distinct(rows)
        states.append(FingerState(*(different[:, column] for column in range(4))))
        codes.append(code)
    return states, codes
