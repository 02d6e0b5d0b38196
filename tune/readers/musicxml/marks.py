"""What stands around the notes of a MusicXML part: tempi, sections, words, playing marks.

Kept: fingering, open strings, hammer-on and pull-off (on the note that is *not* struck, where the
mark ends), fermata, tempo, rehearsal marks and the words that name a section, N.C. in words. All
else is told once, by its name in the standard.

Public: marks, read_direction, read_sound, Direction, beat_ticks.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from xml.etree.ElementTree import Element

from tune.errors import TuneError
from tune.readers.musicxml.harmony import is_no_chord
from tune.readers.musicxml.notices import Notices
from tune.readers.musicxml.tree import decimal, shown, text
from tune.time import QUARTER, Tempo

_UNITS: dict[str, int | Fraction] = {
    "long": 16, "breve": 8, "whole": 4, "half": 2, "quarter": 1, "eighth": Fraction(1, 2),
    "16th": Fraction(1, 4), "32nd": Fraction(1, 8), "64th": Fraction(1, 16),
}  # fmt: skip
"""Note values in quarters; those that a beat of a tempo can be."""

_SILENT_NOTATIONS = {"tied", "tuplet", "footnote", "level"}
_GROUPS = {"ornaments", "technical", "articulations", "dynamics"}
_SILENT_DIRECTIONS = {"dashes", "bracket", "octave-shift", "staff-divide", "image"}
_SECTION = re.compile(
    r"(verse|chorus|refrain|bridge|intro|introduction|interlude|coda|tag|outro|part|section|"
    r"vamp|solo|instrumental|ending)\b[ ]?\w{0,12}[.:]?|[A-Z][0-9]?|[A-Z] part",
    re.IGNORECASE,
)
_JUMPS = {
    "dacapo": "da capo",
    "dalsegno": "dal segno",
    "tocoda": "to coda",
    "fine": "fine",
    "coda": "coda",
    "segno": "segno",
}


@dataclass(frozen=True)
class Direction:
    """What one direction says: a section's name, a tempo, whether chords cease here."""

    section: str = ""
    tempo: Tempo | None = None
    no_chord: bool = False


def marks(note: Element, notices: Notices, bar: int) -> tuple[str, ...]:
    """The playing marks that are kept from a note; the others are told."""
    kept: list[str] = []
    for notations in note.findall("notations"):
        for child in notations:
            for mark in child if child.tag in _GROUPS else (child,):
                word = _mark(mark)
                if word:
                    kept.append(word)
                elif word is None and mark.tag not in _SILENT_NOTATIONS:
                    notices.add(f"{mark.tag.replace('-', ' ')} ignored", bar)
    return tuple(dict.fromkeys(kept))


def _mark(mark: Element) -> str | None:
    """The word for a mark that is kept, an empty one for its unneeded half, else None."""
    if mark.tag == "fermata":
        return "fermata"
    if mark.tag == "fingering":
        finger = shown(text(mark))
        return f"finger {finger}" if finger else ""
    if mark.tag == "open-string":
        return "open string"
    if mark.tag in ("hammer-on", "pull-off"):
        return mark.tag if mark.get("type") == "stop" else ""
    return None


def read_direction(direction: Element, notices: Notices, bar: int) -> Direction:
    """A direction's section, tempo and N.C.; whatever else it says is told."""
    section, no_chord = "", False
    metronome: Tempo | None = None
    for child in direction.findall("direction-type/*"):
        words = shown(text(child))
        if child.tag == "rehearsal":
            section = words or section
        elif child.tag == "words" and is_no_chord(words):
            no_chord = True
        elif child.tag == "words" and _SECTION.fullmatch(words):
            section = section or words.rstrip(".:")
        elif child.tag == "words":
            if words:
                notices.add(f"the words {words!r} ignored", bar)
        elif child.tag == "metronome":
            metronome = _metronome(child, notices, bar) or metronome
        elif child.tag not in _SILENT_DIRECTIONS:
            notices.add(f"{child.tag.replace('-', ' ')} ignored", bar)
    sound = direction.find("sound")
    sounding = read_sound(sound, notices, bar) if sound is not None else None
    return Direction(section, metronome or sounding, no_chord)


def read_sound(sound: Element, notices: Notices, bar: int) -> Tempo | None:
    """The tempo of a ``<sound>``, which counts quarters; jumps are told, not followed."""
    for name, words in _JUMPS.items():
        if sound.get(name):
            notices.add(f"{words} ignored; the bars are played as they stand", bar)
    tempo = sound.get("tempo")
    if tempo is None:
        return None
    return Tempo(QUARTER, round(decimal(tempo, "a tempo")))


def _metronome(metronome: Element, notices: Notices, bar: int) -> Tempo | None:
    """A metronome mark; a number with words around it (``c. 96``) gives its first number."""
    number = re.search(r"\d{1,4}(\.\d{1,6})?", text(metronome.find("per-minute")), re.ASCII)
    units = metronome.findall("beat-unit")
    if number is None or len(units) != 1:
        notices.add("metronome mark without a number ignored", bar)
        return None
    beat = beat_ticks(text(units[0]), len(metronome.findall("beat-unit-dot")))
    return Tempo(beat, round(Fraction(number.group())))


def beat_ticks(unit: str, dots: int) -> int:
    """Ticks of a written note value with its dots; TuneError for one that no beat can be."""
    if unit not in _UNITS or dots > 2:
        raise TuneError(
            f"a tempo's beat cannot be {shown(unit)!r} with {dots} dots; write quarter or eighth"
        )
    length = QUARTER * Fraction(_UNITS[unit]) * (2 - Fraction(1, 2**dots))
    return int(length)
