"""What the solved mend does not say: wrong notes where this right hand has no stroke, and melody
notes that the tab leaves out.

Public: Hint, hints, PutIn, put_in, Fingers, other_fingers.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scoring.moment import Moment

if TYPE_CHECKING:
    from undersong.handed.checking import Checked

NEAR = 2
"""How many frets are told."""


@dataclass(frozen=True)
class Hint:
    """where: in words, as typed; course: which string; old: its fret; frets: the nearest ones that
    have a note of the chord, or the melody's, the nearest first; stroke: whether this right hand
    strikes the string there."""

    where: str
    course: int
    old: int
    frets: tuple[int, ...]
    stroke: bool = False


def hints(checked: "Checked") -> tuple[Hint, ...]:
    """One for each string with a fault of its own that no change mends."""
    if checked.nearest is None:
        return ()
    mended = {(change.where, change.course) for change in checked.mends}
    left = {(place, fault.course) for fault in checked.left for place in fault.places}
    found: dict[tuple[str, int], Hint] = {}
    for fault in checked.faults:
        place = (fault.where, fault.course)
        if fault.course < 0 or fault.moment is None:
            continue
        places = {(one, fault.course) for one in fault.places}
        stroke = bool(places & checked.struck)
        if places & mended or (stroke and not places & left):
            continue
        frets = _near(checked, fault.moment, fault.course, fault.fret)
        if frets:
            found.setdefault(place, Hint(fault.where, fault.course, fault.fret, frets, stroke))
    return tuple(found.values())


@dataclass(frozen=True)
class PutIn:
    """where: in words; course, fret: which string has the melody note there in the answer nearest
    to the tab."""

    where: str
    course: int
    fret: int


def put_in(checked: "Checked") -> tuple[PutIn, ...]:
    """One for each melody note that the tab does not strike, and no change of a string brings."""
    nearest = checked.nearest
    if nearest is None:
        return ()
    changed = {(change.where, change.course) for change in checked.mends}
    answers = {
        (moment.bar, moment.offset): choice
        for moment, choice in zip(nearest.moments, nearest.choices, strict=True)
    }
    found: dict[str, PutIn] = {}
    for fault in checked.faults:
        moment = fault.moment
        if fault.kind != "melody" or moment is None:
            continue
        choice = answers.get((moment.bar, moment.offset))
        if choice is None:
            continue
        for course, (fret, struck) in enumerate(zip(choice.grip.frets, choice.struck, strict=True)):
            sings = struck and nearest.instrument.pitch(course, fret) == moment.melody
            if sings and not any((one, course) in changed for one in fault.places):
                found.setdefault(fault.where, PutIn(fault.where, course, fret))
    return tuple(found.values())


@dataclass(frozen=True)
class Fingers:
    """where: in words; fingers: (course, finger's number) of every string that is stopped, as the
    answer nearest to the tab has them there."""

    where: str
    fingers: tuple[tuple[int, int], ...]


def other_fingers(checked: "Checked") -> tuple[Fingers, ...]:
    """One for each place whose fingers cannot lie as they are written, where no string is changed
    and others can."""
    nearest = checked.nearest
    if nearest is None:
        return ()
    changed = {change.where for change in checked.changes}
    answers = {
        (moment.bar, moment.offset): choice
        for moment, choice in zip(nearest.moments, nearest.choices, strict=True)
    }
    found: dict[str, Fingers] = {}
    for fault in checked.faults:
        choice = answers.get((fault.played, fault.tick))
        if not fault.written_fingers or choice is None or changed & set(fault.places):
            continue
        down = tuple((n, one) for n, one in enumerate(choice.grip.fingers) if one >= 0)
        found.setdefault(fault.where, Fingers(fault.where, down))
    return tuple(found.values())


def _near(checked: "Checked", moment: Moment, course: int, fret: int) -> tuple[int, ...]:
    instrument, style = checked.subject.instrument, checked.subject.style
    if moment.chord is None:
        return ()
    ceiling = instrument.capo + (style.bass_ceiling if course == 0 else style.highest)
    fits = [
        other
        for other in instrument.frets(course)
        if other <= ceiling
        and (
            instrument.pitch(course, other) % 12 in moment.chord.pitch_classes
            or instrument.pitch(course, other) == moment.melody
        )
    ]
    nearest = sorted(fits, key=lambda other: (abs(other - fret), other))[:NEAR]
    return tuple(nearest)
