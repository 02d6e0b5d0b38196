"""One ``<note>`` of MusicXML as a note of ours.

Pitches are given as written; the octaves of a transposing part are added here, its other
semitones once the whole tune has been read. Lengths are exact: a length that is no whole number
of ticks is an error, never rounded.

Public: read_note, merged, note_length.
"""

import re
from dataclasses import replace
from fractions import Fraction
from xml.etree.ElementTree import Element

from tune.chord import LETTERS
from tune.errors import TuneError
from tune.readers.musicxml.marks import marks
from tune.readers.musicxml.notices import Notices
from tune.readers.musicxml.tree import decimal, one, shown, text, whole
from tune.time import ticks
from tune.tune import Note

MOST_VERSES = 20


def note_length(element: Element, divisions: Fraction | None) -> int:
    """The ticks that a ``<note>``, ``<backup>`` or ``<forward>`` lasts."""
    duration = decimal(text(one(element, "duration", "a length")), "a length")
    if divisions is None:
        raise TuneError("the file says no divisions before its first length; save it again")
    if duration < 0:
        raise TuneError("a length is less than nothing")
    return ticks(duration / divisions)


def read_note(
    element: Element, tick: int, length: int, octaves: int, notices: Notices, bar: int
) -> Note | None:
    """The note or rest; None for what has no pitch of the melody (told)."""
    head = text(element.find("notehead"))
    if element.find("cue") is not None:
        notices.add("cue notes ignored", bar)
        return None
    if element.find("unpitched") is not None:
        notices.add("unpitched notes ignored", bar)
        return None
    if head == "slash":
        notices.add("slashes ignored: they show strums, not a melody", bar)
        return None
    grace = element.find("grace") is not None
    pitch = element.find("pitch")
    if pitch is None:
        if element.find("rest") is None:
            raise TuneError("a note has no pitch and is no rest")
        return None if grace else Note(tick, length, None, marks=marks(element, notices, bar))
    midi, name = _pitch(pitch, octaves)
    return Note(
        tick,
        0 if grace else length,
        midi,
        name,
        tied=_tied(element) and not grace,
        grace=grace,
        tuplet=_tuplet(element),
        lyrics=_lyrics(element),
        marks=marks(element, notices, bar),
    )


def merged(below: Note, other: Note) -> Note:
    """The higher of two notes struck together; the words belong to whichever has them."""
    if below.midi is None or other.midi is None:
        return below if other.midi is None else other
    top = other if other.midi > below.midi else below
    return replace(top, lyrics=below.lyrics or other.lyrics)


def _pitch(pitch: Element, octaves: int) -> tuple[int, str]:
    """MIDI number and name of a pitch."""
    step = text(pitch.find("step"))
    if step not in LETTERS:
        raise TuneError(f"a note is a letter A to G, not {shown(step)!r}")
    alter = decimal(text(pitch.find("alter")) or "0", "a note's sign")
    if alter.denominator != 1:
        raise TuneError("a note lies between the semitones; no fret sounds it, so respell it")
    if abs(alter) > 2:
        raise TuneError("a note takes two sharps or flats at most")
    sign = alter.numerator
    octave = whole(text(one(pitch, "octave", "a note's octave")), "a note's octave")
    midi = 12 * (octave + 1 + octaves) + LETTERS[step] + sign
    if not 0 <= midi <= 127:
        raise TuneError(f"the note {step}{octave} lies outside every instrument")
    return midi, step + ("#" * sign if sign > 0 else "b" * -sign)


def _tied(element: Element) -> bool:
    """Whether a tie begins at the note."""
    ties = [*element.findall("tie"), *element.findall("notations/tied")]
    return any(tie.get("type") == "start" for tie in ties)


def _tuplet(element: Element) -> tuple[int, int] | None:
    """(actual, normal) notes of the tuplet that the note belongs to."""
    change = element.find("time-modification")
    if change is None:
        return None
    actual = whole(text(change.find("actual-notes")), "a tuplet's number of notes")
    normal = whole(text(change.find("normal-notes")), "a tuplet's number of notes")
    if actual < 1 or normal < 1:
        raise TuneError("a tuplet has at least one note")
    return (actual, normal) if actual != normal else None


def _lyrics(element: Element) -> tuple[str, ...]:
    """A syllable a verse, ``-`` after one whose word goes on; empty where a verse is silent."""
    verses: dict[int, str] = {}
    for lyric in element.findall("lyric"):
        words = " ".join(" ".join((part.text or "").split()) for part in lyric.findall("text"))
        if not words.strip():
            continue
        on = "-" if text(lyric.find("syllabic")) in ("begin", "middle") else ""
        number = re.search(r"\d{1,2}$", lyric.get("number", "1"), re.ASCII)
        verse = max(0, min(MOST_VERSES, int(number.group())) - 1) if number else 0
        while verse in verses:
            verse += 1
        verses[verse] = words.strip() + on
    return tuple(verses.get(verse, "") for verse in range(max(verses, default=-1) + 1))
