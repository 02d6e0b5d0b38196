"""The tab part: which string is struck at which fret with which finger.

Public: tab_part, strokes_of, Stroke.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from fretboard.instrument import Instrument
from solver.result import Arrangement
from tune.key import Key
from undersong.sheet.hands import Seen, Sight
from undersong.sheet.musicxml.elements import add
from undersong.sheet.musicxml.frame import Frame, close_bar, open_bar, signature
from undersong.sheet.musicxml.note import beam_levels, notations, note, pitched
from undersong.sheet.options import SheetOptions
from undersong.sheet.rhythm import Stem

_PLAIN = Key()


@dataclass(frozen=True)
class Stroke:
    """One stroke of the right hand. start, end: ticks from the bar's start; sight: what is struck;
    rings: the strings that sound on after ``end``."""

    start: int
    end: int
    sight: Sight
    rings: frozenset[int]


def tab_part(
    part: Element, arrangement: Arrangement, frames: Sequence[Frame], options: SheetOptions
) -> None:
    """Adds every measure."""
    for index, frame in enumerate(frames):
        after = frames[index + 1].sheet.seen if index + 1 < len(frames) else ()
        measure = open_bar(part, frame)
        _attributes(measure, frame, arrangement.instrument, options)
        _bar(measure, frame, arrangement, options, after)
        close_bar(measure, frame)


def _attributes(
    measure: Element, frame: Frame, instrument: Instrument, options: SheetOptions
) -> None:
    attributes = add(measure, "attributes")
    if frame.before is None:
        add(attributes, "divisions", frame.divisions)
    signature(attributes, frame)
    if frame.before is None:
        clef = add(attributes, "clef")
        add(clef, "sign", "TAB")
        add(clef, "line", len(instrument.courses) - 1)
        _details(attributes, instrument, options)
    if not len(attributes):
        measure.remove(attributes)


def _details(attributes: Element, instrument: Instrument, options: SheetOptions) -> None:
    """Lines, their tuning from the bottom up, and the capo."""
    details = add(attributes, "staff-details")
    add(details, "staff-lines", len(instrument.courses))
    upwards = instrument.tuning[::-1] if options.bass_on_top else instrument.tuning
    for line, midi in enumerate(upwards, 1):
        tuning = add(details, "staff-tuning", line=str(line))
        pitch = pitched(midi, "", _PLAIN)
        add(tuning, "tuning-step", pitch.step)
        if pitch.alter:
            add(tuning, "tuning-alter", pitch.alter)
        add(tuning, "tuning-octave", pitch.octave)
    if instrument.capo:
        add(details, "capo", instrument.capo)


def strokes_of(seen: Seen, length: int, after: Seen) -> tuple[Stroke, ...]:
    """The strokes of a bar, each until the next one, or until nothing sounds; after: the next
    bar's sights."""
    strokes: list[Stroke] = []
    for index, sight in enumerate(seen):
        courses = range(len(sight.strings))
        if not any(_struck(sight, course) for course in courses):
            continue
        ends = next(
            (
                later
                for later in seen[index + 1 :]
                if any(_struck(later, c) for c in courses)
                or not any(later.sounds(c) for c in courses)
            ),
            None,
        )
        follows = ends or (after[0] if after else None)
        rings = frozenset(
            course
            for course in courses
            if _struck(sight, course) and follows is not None and _goes_on(sight, follows, course)
        )
        strokes.append(Stroke(sight.offset, ends.offset if ends else length, sight, rings))
    return tuple(strokes)


def _struck(sight: Sight, course: int) -> bool:
    string = sight.strings[course]
    return string is not None and string[2]


def _goes_on(sight: Sight, follows: Sight, course: int) -> bool:
    return sight.sounds(course) and follows.rings(course)


def _bar(
    measure: Element,
    frame: Frame,
    arrangement: Arrangement,
    options: SheetOptions,
    after: Seen,
) -> None:
    strokes = strokes_of(frame.sheet.seen, frame.bar.length, after)
    written = frame.stems([(stroke.start, stroke.end - stroke.start) for stroke in strokes])
    beams = beam_levels(written)
    for index, stem in enumerate(written):
        if stem.event is None:
            element = note(measure, frame, stem, None, hidden=_ringing(frame.sheet.seen, stem))
            inner = notations(element, stem, False, False)
            if not len(inner):
                element.remove(inner)
            continue
        _stroke(measure, frame, stem, strokes[stem.event], arrangement, options, beams[index])


def _ringing(seen: Seen, rest: Stem) -> bool:
    """Whether a string sounds where the rest begins."""
    now = [sight for sight in seen if sight.offset <= rest.tick]
    return bool(now) and any(now[-1].sounds(c) for c in range(len(now[-1].strings)))


def _stroke(
    measure: Element,
    frame: Frame,
    stem: Stem,
    stroke: Stroke,
    arrangement: Arrangement,
    options: SheetOptions,
    beams: tuple[tuple[int, str], ...],
) -> None:
    """The strings struck, as one chord of notes."""
    instrument = arrangement.instrument
    first, last = stem.tick == stroke.start, not stem.ties_on
    with_last = False
    for course, string in enumerate(stroke.sight.strings):
        if string is None or not string[2]:
            continue
        fret, finger, _ = string
        pitch = pitched(instrument.pitch(course, fret), "", frame.bar.key)
        element = note(
            measure, frame, stem, pitch,
            with_last=with_last, tied_from=not first, tied_on=stem.ties_on, beams=beams,
        )  # fmt: skip
        inner = notations(element, stem, not first, stem.ties_on)
        if with_last:
            for tuplet in inner.findall("tuplet"):
                inner.remove(tuplet)
        if last and course in stroke.rings:
            add(inner, "tied", type="let-ring")
        technical = add(inner, "technical")
        add(technical, "string", len(instrument.courses) - course)
        add(technical, "fret", fret - instrument.capo)
        if first:
            if finger >= 0:
                add(technical, "fingering", arrangement.hand.letter(finger))
            printed = instrument.label(fret, options.from_capo)
            add(technical, "other-technical", f"fret {printed}")
            if course == 0 and stroke.sight.damped:
                add(add(inner, "articulations"), "staccato")
        with_last = True
