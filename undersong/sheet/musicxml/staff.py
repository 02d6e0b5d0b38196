"""The staff part: the tune as it is sung, with words and chord symbols.

Public: staff_part.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from xml.etree.ElementTree import Element

from solver.result import Arrangement
from tune.tune import Note
from undersong.sheet.musicxml.chords import harmony
from undersong.sheet.musicxml.directions import directions
from undersong.sheet.musicxml.elements import add
from undersong.sheet.musicxml.frame import Frame, close_bar, open_bar, signature
from undersong.sheet.musicxml.marks import begins_after, put_marks
from undersong.sheet.musicxml.note import (
    Accidentals,
    beam_levels,
    notations,
    note,
    pitched,
    put_pitch,
)
from undersong.sheet.rhythm import Stem

MIDDLE_C = 60


@dataclass
class _Singing:
    """What goes on from bar to bar. tied: the pitch that is tied on; words: which verses are in the
    middle of a word."""

    tied: int | None = None
    words: set[int] = field(default_factory=set)


def staff_part(part: Element, arrangement: Arrangement, frames: Sequence[Frame]) -> None:
    """Adds every measure."""
    singing = _Singing()
    low = _lies_low(arrangement)
    for index, frame in enumerate(frames):
        measure = open_bar(part, frame)
        _attributes(measure, frame, low)
        directions(measure, frame, arrangement.tune)
        after = frames[index + 1].bar.notes if index + 1 < len(frames) else ()
        _bar(measure, frame, singing, next((n for n in after if not n.grace), None))
        close_bar(measure, frame)


def _lies_low(arrangement: Arrangement) -> bool:
    """Whether the melody is read better an octave above where it sounds."""
    pitches = [n.midi for bar in arrangement.tune.bars for n in bar.notes if n.midi is not None]
    return bool(pitches) and sum(pitches) < MIDDLE_C * len(pitches)


def _attributes(measure: Element, frame: Frame, low: bool) -> None:
    attributes = add(measure, "attributes")
    if frame.before is None:
        add(attributes, "divisions", frame.divisions)
    signature(attributes, frame)
    if frame.before is None:
        clef = add(attributes, "clef")
        add(clef, "sign", "G")
        add(clef, "line", 2)
        if low:
            add(clef, "clef-octave-change", -1)
    if not len(attributes):
        measure.remove(attributes)


def _bar(measure: Element, frame: Frame, singing: _Singing, after: Note | None) -> None:
    """Chord symbols, notes and rests; after: the first note of the next bar."""
    bar = frame.bar
    sounding = [n for n in bar.notes if n.midi is not None and not n.grace]
    written = frame.stems([(n.tick, n.length) for n in sounding])
    rests = {n.tick: n for n in bar.notes if n.midi is None and not n.grace}
    signs = Accidentals(bar.key)
    graces = [n for n in bar.notes if n.grace]
    chords = list(bar.chords)
    beams = beam_levels(written)
    for index, stem in enumerate(written):
        while chords and chords[0].tick < stem.tick + stem.length:
            change = chords.pop(0)
            harmony(measure, change.chord, frame.length(change.tick - stem.tick))
        while graces and graces[0].tick <= stem.tick:
            _grace(measure, frame, graces.pop(0), signs)
        if stem.event is None:
            element = note(measure, frame, stem, None)
            singing.tied = None
            inner = notations(element, stem, False, False)
            if stem.tick in rests:
                put_marks(inner, rests[stem.tick].marks)
            _tidy(element, inner)
            continue
        one = sounding[stem.event]
        follows = sounding[stem.event + 1] if stem.event + 1 < len(sounding) else after
        _sung(measure, frame, stem, one, singing, signs, beams[index], follows)
    for grace in graces:
        _grace(measure, frame, grace, signs)


def _sung(
    measure: Element,
    frame: Frame,
    stem: Stem,
    one: Note,
    singing: _Singing,
    signs: Accidentals,
    beams: tuple[tuple[int, str], ...],
    follows: Note | None,
) -> None:
    """One written note of a melody note."""
    assert one.midi is not None
    first = stem.tick == one.tick
    tied_from = singing.tied == one.midi
    tied_on = stem.ties_on or one.tied
    pitch = pitched(one.midi, one.name, frame.bar.key)
    sign = signs.sign(pitch)
    element = note(
        measure, frame, stem, pitch, tied_from=tied_from, tied_on=tied_on, sign=sign, beams=beams
    )
    inner = notations(element, stem, tied_from, tied_on)
    if first:
        put_marks(inner, one.marks)
    if not stem.ties_on:
        begins_after(inner, follows.marks if follows else ())
    _tidy(element, inner)
    if first:
        _lyrics(element, one, singing.words, _straight_after(one, follows, frame))
    singing.tied = one.midi if tied_on else None


def _tidy(element: Element, inner: Element) -> None:
    """Takes empty notations away."""
    if not len(inner):
        element.remove(inner)


def _grace(measure: Element, frame: Frame, one: Note, signs: Accidentals) -> None:
    if one.midi is None:
        return
    element = add(measure, "note")
    add(element, "grace", slash="yes")
    pitch = pitched(one.midi, one.name, frame.bar.key)
    put_pitch(element, pitch)
    add(element, "voice", 1)
    add(element, "type", "eighth")
    sign = signs.sign(pitch)
    if sign is not None:
        add(element, "accidental", sign)
    inner = add(element, "notations")
    put_marks(inner, one.marks)
    _tidy(element, inner)


def _straight_after(one: Note, follows: Note | None, frame: Frame) -> Note | None:
    """The next note, if no rest lies between."""
    if follows is None or follows.midi is None:
        return None
    end = one.tick + one.length
    return (
        follows if end == follows.tick or (end == frame.bar.length and not follows.tick) else None
    )


def _lyrics(element: Element, one: Note, inside: set[int], after: Note | None) -> None:
    """A syllable for every verse that has one; inside: the verses in the middle of a word; after:
    the note straight after it, over which a word goes on where that has none in any verse."""
    for verse, syllable in enumerate(one.lyrics, 1):
        if not syllable.strip():
            continue
        on = len(syllable) > 1 and syllable.endswith("-")
        words = syllable[:-1] if on else syllable
        place = {(False, False): "single", (False, True): "begin", (True, True): "middle"}
        lyric = add(element, "lyric", number=str(verse))
        add(lyric, "syllabic", place.get((verse in inside, on), "end"))
        add(lyric, "text", words)
        silent = after is not None and not "".join(after.lyrics).strip()
        if silent and not on:
            add(lyric, "extend")
        (inside.add if on else inside.discard)(verse)
