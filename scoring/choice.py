"""The choice: what is done at one moment, and whole passages of choices as arrays.

``Choice`` is the value that arrangements are made of. ``Shapes`` holds many hand shapes as numpy
arrays, and ``Stands`` adds what the music has become by then, so that each cost term is written
once and serves a whole layer of the graph as well as a finished arrangement.

Array conventions: rows are shapes; columns are courses (bass first) or fingers (thumb first);
lengths are tenths of a millimetre; pitches are MIDI numbers, -1 where a string is silent.

Public: Choice, Shapes, Stands, stands, sounding_bits, remembered, row_sum, NO_ROLE, ROLE_CODE,
Ints, Bools.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.moment import ROLES, Moment, Strokes
from tune.chord import Chord

Ints = NDArray[np.int32]
Bools = NDArray[np.bool_]

NO_ROLE = -1
ROLE_CODE = {role: code for code, role in enumerate(ROLES)}


def row_sum(values: NDArray[Any]) -> Ints:
    """(n,): the sum of each row of an (n, k) array."""
    return np.asarray(values.sum(axis=1), np.int32)


@dataclass(frozen=True)
class Choice:
    """One moment's answer: the grip, the strings struck, and the bass note's role if it is new.

    role is None where the bass string is not struck.
    """

    grip: Grip
    struck: Strokes
    role: str | None


@dataclass(frozen=True)
class Shapes:
    """n hand shapes with what is struck: frets, fingers, struck are (n, courses); place (n,).
    distances, soundings: what was asked for before: distances between two fingers
    (``scoring.terms.holding``), and which tones of a chord sound."""

    frets: Ints
    fingers: Ints
    struck: Bools
    place: Ints
    instrument: Instrument
    hand: Hand
    distances: dict[tuple[int, int], Ints] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )
    soundings: dict[Chord, Ints] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    @classmethod
    def of(
        cls, rows: Sequence[tuple[Grip, Strokes]], instrument: Instrument, hand: Hand
    ) -> "Shapes":
        courses = len(instrument.courses)
        return cls(
            np.array([grip.frets for grip, _ in rows], np.int32).reshape(-1, courses),
            np.array([grip.fingers for grip, _ in rows], np.int32).reshape(-1, courses),
            np.array([struck for _, struck in rows], np.bool_).reshape(-1, courses),
            np.array([grip.place for grip, _ in rows], np.int32),
            instrument,
            hand,
        )

    def __len__(self) -> int:
        return len(self.place)

    def take(self, rows: NDArray[np.intp]) -> "Shapes":
        """The shapes of those rows."""
        taken = Shapes(
            self.frets[rows], self.fingers[rows], self.struck[rows], self.place[rows],
            self.instrument, self.hand,
        )  # fmt: skip
        taken.distances.update((pair, known[rows]) for pair, known in self.distances.items())
        return taken

    def row(self, index: int) -> tuple[Grip, Strokes]:
        grip = Grip(
            tuple(int(x) for x in self.frets[index]),
            tuple(int(x) for x in self.fingers[index]),
            int(self.place[index]),
        )
        return grip, tuple(bool(x) for x in self.struck[index])

    @cached_property
    def pitch(self) -> Ints:
        """(n, courses): sounding pitches."""
        opens = np.array(self.instrument.tuning, np.int32)
        return np.where(self.frets >= 0, opens + self.frets, np.int32(-1))

    @cached_property
    def finger_fret(self) -> Ints:
        """(n, 5): the fret each finger stops, -1 for a finger that is up."""
        out = np.full((len(self), 5), -1, np.int32)
        for course in range(self.frets.shape[1]):
            rows = np.flatnonzero(self.fingers[:, course] >= 0)
            out[rows, self.fingers[rows, course]] = self.frets[rows, course]
        return out

    @cached_property
    def finger_along(self) -> Ints:
        """(n, 5): how far from the nut each finger is; a finger that is up hovers, relaxed."""
        table = np.array([self.instrument.along(fret) for fret in range(64)], np.int32)
        hover = 10 * self.place[:, None] + np.array(
            [self.hand.offset(finger) for finger in range(5)], np.int32
        )
        return np.where(self.finger_fret >= 0, table[self.finger_fret], hover).astype(np.int32)

    @cached_property
    def finger_gap(self) -> Ints:
        """(n, 5): room behind the fret that a finger lands in (the tightest, when barring)."""
        out = np.full((len(self), 5), np.iinfo(np.int32).max, np.int32)
        for course in range(self.frets.shape[1]):
            rows = np.flatnonzero(self.fingers[:, course] >= 0)
            frets = self.frets[rows, course]
            known = {int(f): self.instrument.gap(course, int(f)) for f in np.unique(frets)}
            gaps = np.array([known[int(f)] for f in frets], np.int32)
            fingers = self.fingers[rows, course]
            out[rows, fingers] = np.minimum(out[rows, fingers], gaps)
        return out

    @cached_property
    def finger_courses(self) -> Ints:
        """(n, 5): a bit for every course the finger stops (bass is bit 0)."""
        out = np.zeros((len(self), 5), np.int32)
        for course in range(self.frets.shape[1]):
            rows = np.flatnonzero(self.fingers[:, course] >= 0)
            out[rows, self.fingers[rows, course]] |= 1 << course
        return out


@dataclass(frozen=True)
class Stands:
    """Shapes at one moment with what has come of the music so far; every array is (n,).

    role: code of the bass note struck, -1 for none (``ROLE_CODE``); line: the pitch of the bass
    line now (the last bass note struck, sounding or not), -1 before the first and in a rest in
    which the bass is silent; heard: a bit for each degree worth remembering (all but the fifth)
    that has sounded since the chord began, this moment included.
    """

    shapes: Shapes
    role: Ints
    line: Ints
    heard: Ints

    def take(self, rows: NDArray[np.intp]) -> "Stands":
        """The stands of those rows."""
        return Stands(self.shapes.take(rows), self.role[rows], self.line[rows], self.heard[rows])


def sounding_bits(shapes: Shapes, chord: Chord | None) -> Ints:
    """(n,): a bit for each degree of the chord that sounds in the shape."""
    if chord is None:
        return np.zeros(len(shapes), np.int32)
    if chord not in shapes.soundings:
        shapes.soundings[chord] = _sounding_bits(shapes, chord)
    return shapes.soundings[chord]


def _sounding_bits(shapes: Shapes, chord: Chord) -> Ints:
    bits = np.zeros(len(shapes), np.int32)
    classes = np.where(shapes.pitch >= 0, shapes.pitch % 12, -1)
    for bit, pc in enumerate(chord.degrees.values()):
        bits |= np.where((classes == pc).any(axis=1), 1 << bit, 0).astype(np.int32)
    return bits


def remembered(chord: Chord | None) -> int:
    """A bit for each degree whose having been heard matters: all but the fifth, which is the
    least missed."""
    names = chord.degrees if chord else ()
    return sum(1 << bit for bit, name in enumerate(names) if name != "fifth")


def stands(
    choices: Sequence[Choice], moments: Sequence[Moment], instrument: Instrument, hand: Hand
) -> Stands:
    """One row a moment, the bass line and the heard tones followed along."""
    pairs = list(zip(choices, moments, strict=True))
    shapes = Shapes.of([(choice.grip, choice.struck) for choice, _ in pairs], instrument, hand)
    sounding = np.zeros(len(pairs), np.int32)
    for chord in {moment.chord for moment in moments}:
        rows = np.array([i for i, m in enumerate(moments) if m.chord == chord], np.intp)
        sounding[rows] = sounding_bits(shapes.take(rows), chord) & remembered(chord)
    lines, heards = [], []
    line, heard = -1, 0
    bass = shapes.pitch[:, 0].tolist()
    for (choice, moment), pitch, tones in zip(pairs, bass, sounding.tolist(), strict=True):
        if choice.struck[0]:
            line = pitch
        elif moment.chord is None and pitch < 0:
            line = -1
        heard = tones if moment.change else heard | tones
        lines.append(line)
        heards.append(heard)
    roles = [NO_ROLE if c.role is None else ROLE_CODE[c.role] for c in choices]
    return Stands(shapes, *(np.array(column, np.int32) for column in (roles, lines, heards)))
