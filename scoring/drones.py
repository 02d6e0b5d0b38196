"""Where open strings clash with the melody, and how badly: what ``drone-clash`` counts, in places.

Public: DroneClash, drone_clashes.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.moment import Moment
from scoring.terms.melody import SEVERITY

_WITHIN: Mapping[int, str] = MappingProxyType(
    {1: "semitone", 2: "whole tone", 6: "tritone", 10: "minor seventh", 11: "major seventh"}
)
_BEYOND: Mapping[int, str] = MappingProxyType({**_WITHIN, 1: "minor ninth", 2: "major ninth"})
"""Semitones from the lower note up, octaves left aside, within and beyond an octave → what the
interval is called."""


@dataclass(frozen=True)
class DroneClash:
    """bar: the played bar's number; written: the written bar's index; offset: ticks from the
    start of the bar; length: ticks; course: of the open string; pitch: its sounding pitch;
    melody: the melody's; severity: 3, 2 or 1; amount: severity times eighths, as ``drone-clash``
    counts them."""

    bar: int
    written: int
    offset: int
    length: int
    course: int
    pitch: int
    melody: int
    severity: int
    amount: int

    @property
    def name(self) -> str:
        """What the interval is called."""
        apart = abs(self.pitch - self.melody)
        return (_WITHIN if apart < 12 else _BEYOND)[apart % 12]


def drone_clashes(
    choices: Sequence[Choice], moments: Sequence[Moment], instrument: Instrument
) -> tuple[DroneClash, ...]:
    """Every clash, in order, courses from the bass on; one that goes on under the same melody
    note is one, also over a bar line."""
    found: list[DroneClash] = []
    going: dict[int, int] = {}
    for choice, moment in zip(choices, moments, strict=True):
        now: dict[int, int] = {}
        for course, fret in enumerate(choice.grip.frets):
            one = _clash(course, fret, moment, instrument)
            if one is None:
                continue
            if course in going and not moment.sings:
                before = found[going[course]]
                found[going[course]] = replace(
                    before,
                    length=before.length + one.length,
                    amount=before.amount + one.amount,
                )
                now[course] = going[course]
            else:
                now[course] = len(found)
                found.append(one)
        going = now
    return tuple(found)


def _clash(course: int, fret: int, moment: Moment, instrument: Instrument) -> DroneClash | None:
    if moment.melody is None or fret != instrument.capo:
        return None
    pitch = instrument.pitch(course, fret)
    up = (pitch - moment.melody) % 12
    interval = min(up, 12 - up)
    severity = SEVERITY.get(interval, 0)
    if not severity:
        return None
    return DroneClash(
        moment.bar, moment.written, moment.offset, moment.length, course, pitch, moment.melody,
        severity, severity * moment.eighths,
    )  # fmt: skip
