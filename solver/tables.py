"""Moves by table: what every finger, hand and string can do, counted once for all pairs of states.

A tune's shapes are made of few distinct finger states (a fret, the strings it covers, how far from
the hand), hand places and sets of pitches. Counting each pair of them once, with the scoring room's
own functions, and adding up by look-up is what makes a whole layer's moves cheap. Look-ups are done
a few rows at a time, to stay within the processor's cache.

A hand term must count no more than the ms that the hand and its most pressed finger take together,
a pair term no more than ``MOST_PAIRS``: by that it is known beforehand whether 32 bits hold a cost.

Public: MoveTables, MOVE_TERMS.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from fretboard.hand import Hand
from scoring.choice import Ints, Shapes
from scoring.difficulty import stretch_difficulty
from scoring.move import FingerState, FingerWay, HandWay, finger_states, shift_ms, tightest_gap
from scoring.terms import FINGER_TERMS, HAND_TERMS, PAIR_TERMS, VOICE_TERMS
from scoring.weights import Weights
from solver.arrays import Cost, Moves, Rows, distinct, fits_short

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

BLOCK = 1 << 15
"""How many moves are added up at a time."""

MARK_MOVES, MARK_LAID, MARK_STAYS = 1, 8, 64
"""What one finger does, so that one sum over the five tells how many move, lay anew, stay."""

NEVER = -1 << 24
"""ms of a finger that does not move: below nothing, whatever the hand adds."""

FINGERS = range(5)
HAND, VOICES = 5, 6
"""What a layer's shapes are numbered by: each finger's state, the hand's, the pitches."""

Read = Callable[[int, int, Moves], Moves]
"""Table number, by which numbers, where to → the entries wanted, put there."""


Needs = list[tuple[int, list[tuple[int, Ints]]]]
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
        """For each length of time that a finger may have: (finger, ms that it needs from every
        state that leaves it just that time to every other, NEVER where it does not move)."""
        key = (ms, damped)
        if key not in self._needs:
            frees = [way.free(ms, damped)[:, 0] for way in self.ways]
            self._needs[key] = []
            for free in np.unique(np.concatenate(frees)).tolist():
                there = [
                    way.moves & (own == free)[:, None]
                    for way, own in zip(self.ways, frees, strict=True)
                ]
                tables = [
                    (finger, np.where(moves, self.ways[finger].ms, np.int32(NEVER)))
                    for finger, moves in enumerate(there)
                    if moves.any()
                ]
                self._needs[key].append((free, tables))
        return self._needs[key]

    @cached_property
    def doings(self) -> list[Ints]:
        """What each finger does, of the marks, (states, states)."""
        return [
            np.where(way.moves, MARK_MOVES, 0).astype(np.int32)
            + np.where(way.lays, MARK_LAID, 0).astype(np.int32)
            + np.where(way.stays, MARK_STAYS, 0).astype(np.int32)
            for way in self.ways
        ]

    def stretch(self, shapes: Shapes) -> Ints:
        """(n,): percent of the greatest stretch, of some of the layers' shapes."""
        if id(shapes) not in self._stretch:
            self._stretch[id(shapes)] = stretch_difficulty(shapes)
        return self._stretch[id(shapes)]

    def reader(
        self, before: Shapes, after: Shapes, pairs: tuple[Rows, Rows] | None = None
    ) -> Spread:
        """What spreads a table of states, with the number that it is read by, over all moves:
        (shapes before, shapes after), or (pairs,) for (tails, heads) only."""
        old, new = self.coded[id(before)], self.coded[id(after)]

        def read(table: Moves, by: int) -> Moves:
            if pairs is not None:
                return np.asarray(table[old.before[by][pairs[0]], new.after[by][pairs[1]]])
            some, code = old.present[by]
            return np.take(np.take(table[some], new.after[by], axis=1), code, axis=0)

        return read

    def doing(self, read: Spread) -> Ints:
        """What the fingers do together, in marks, spread over the moves."""
        total = read(self.doings[0], 0)
        for finger, table in enumerate(self.doings[1:], 1):
            total += read(table, finger)
        return total


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
