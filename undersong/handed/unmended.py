"""What the solved mend does not say: wrong notes, and shapes that cannot be fingered, where this
right hand has no stroke, and melody notes that the tab leaves out; and what is left after all that.

Public: Hint, hints, PutIn, put_in, Fingers, other_fingers, left_over.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scoring.moment import Moment
from undersong.handed.finding import Finding
from undersong.handed.hands import hand_trouble

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
    """One for each string with a fault of its own that no change mends, and for each shape that
    cannot be fingered after the changes, where one other string would do."""
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
    for fault in checked.left:
        if fault.shape:
            hint = _other_string(checked, fault, tuple(found.values()))
            if hint is not None:
                found.setdefault((hint.where, hint.course), hint)
    return tuple(found.values())


def _with_hints(checked: "Checked", fault: Finding, told: Sequence[Hint]) -> tuple[int, ...]:
    """The frets of a shape that cannot be fingered, as the hints would have them, -1 where nothing
    is known."""
    instead = {one.course: one.frets[0] for one in told if one.where in fault.places}
    return tuple(
        instead.get(
            course,
            fret if fret is not None and checked.subject.instrument.has(course, fret) else -1,
        )
        for course, fret in enumerate(fault.shape)
    )


def _other_string(checked: "Checked", fault: Finding, told: Sequence[Hint]) -> Hint | None:
    """The string of a shape that cannot be fingered for which the least other fret will do, and the
    nearest frets that do; None where it can be as the hints would have it, or no string mends
    it."""
    instrument, hand = checked.subject.instrument, checked.subject.hand
    there = _with_hints(checked, fault, told)
    if fault.moment is None or not hand_trouble(there, instrument, hand):
        return None
    ways: list[tuple[int, int, tuple[int, ...]]] = []
    for course, typed in enumerate(fault.typed):
        if not typed or there[course] < 0:
            continue
        fits = tuple(
            fret
            for fret in _fitting(checked, fault.moment, course, there[course])
            if not hand_trouble((*there[:course], fret, *there[course + 1 :]), instrument, hand)
        )
        if fits:
            ways.append((abs(fits[0] - there[course]), course, fits[:NEAR]))
    if not ways:
        return None
    _, course, frets = min(ways)
    stroke = any((place, course) in checked.struck for place in fault.places)
    return Hint(fault.where, course, there[course], frets, stroke)


def left_over(checked: "Checked") -> tuple[Finding, ...]:
    """The faults of strings that stay after the changes, and of which nothing else is told."""
    if checked.nearest is None:
        return ()
    hinted = hints(checked)
    strings = {(one.where, one.course) for one in hinted}
    told = {one.where for one in put_in(checked)} | {one.where for one in other_fingers(checked)}
    instrument, hand = checked.subject.instrument, checked.subject.hand

    def goes(fault: Finding) -> bool:
        if fault.shape:
            return not hand_trouble(_with_hints(checked, fault, hinted), instrument, hand)
        places = set(fault.places)
        return bool(told & places) or any((place, fault.course) in strings for place in places)

    return tuple(fault for fault in checked.left if not goes(fault))


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
    return tuple(_fitting(checked, moment, course, fret)[:NEAR])


def _fitting(checked: "Checked", moment: Moment, course: int, fret: int) -> list[int]:
    """The frets that have a note of the chord, or the melody's, the nearest first."""
    instrument, style = checked.subject.instrument, checked.subject.style
    if moment.chord is None:
        return []
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
    return sorted(fits, key=lambda other: (abs(other - fret), other))
