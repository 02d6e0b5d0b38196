"""Tones of chords that are not heard: one rule for pages, advice, and tab that was handed in.

A chord is strummed where its completeness is judged, and wherever two strings are struck together;
a bass note alone is no chord that could lack anything. Bar by bar: a tone is missed in a bar in
which the chord is strummed, where no string has the tone in that bar, nor had it earlier since the
chord began.

Public: Heard, MissingTone, missing_tones, missing_in, CHORDAL, THIRDS.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from scoring.moment import Moment, Strokes
from solver.result import Arrangement

CHORDAL = ("song", "solo")
"""Textures in which chords are played."""

THIRDS = ("third", "second", "fourth")
"""What makes a chord what it is: its third, or what is suspended in its place."""


@dataclass(frozen=True)
class Heard:
    """moment: what is asked there; struck: a string each; pitches: the pitch classes that sound."""

    moment: Moment
    struck: Strokes
    pitches: frozenset[int]

    @property
    def strummed(self) -> bool:
        return sum(self.struck) > 1 or (self.moment.judged and any(self.struck))


@dataclass(frozen=True)
class MissingTone:
    """at: where the chord begins, or goes on in its bar, an index of what was asked; degree: the
    tone that is not heard."""

    at: int
    degree: str


def missing_tones(rows: Sequence[Heard]) -> Iterator[MissingTone]:
    """Every tone that is missed, but roots and fifths."""
    known: frozenset[int] = frozenset()
    stays = _stays(rows)
    for _, part in groupby(range(len(rows)), key=lambda at: (stays[at], rows[at].moment.bar)):
        here = list(part)
        first = here[0]
        if first == 0 or stays[first] != stays[first - 1]:
            known = frozenset()
        known = known.union(*(rows[at].pitches for at in here))
        chord = rows[first].moment.chord
        if chord is None or not any(rows[at].strummed for at in here):
            continue
        for degree, pitch in chord.degrees.items():
            if degree not in ("root", "fifth") and pitch not in known:
                yield MissingTone(first, degree)


def missing_in(made: Arrangement) -> Iterator[MissingTone]:
    """The same of an arrangement, moment by moment; nothing where it plays no chords."""
    if made.style.texture not in CHORDAL:
        return
    rows = []
    for moment, choice in zip(made.moments, made.choices, strict=True):
        pitches = (
            made.instrument.pitch(course, fret) % 12
            for course, fret in enumerate(choice.grip.frets)
            if fret >= 0
        )
        rows.append(Heard(moment, choice.struck, frozenset(pitches)))
    yield from missing_tones(rows)


def _stays(rows: Sequence[Heard]) -> list[int]:
    """For each row the number of the chord's stay: one more wherever a chord begins."""
    out: list[int] = []
    for at, row in enumerate(rows):
        if not at:
            out.append(0)
            continue
        begins = row.moment.change and row.moment is not rows[at - 1].moment
        fresh = begins or row.moment.chord != rows[at - 1].moment.chord
        out.append(out[-1] + fresh)
    return out
