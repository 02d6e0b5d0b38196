"""Tunings: open pitches, typed with octaves (``D3 A3 D4``) or as players say them (``D-A-d``).

Without octaves each course takes the pitch that lies closest to where strings of that course are
made for: from a minor sixth below to a minor third above D3, A3 and D4 (common practice, no
source). Capital or small letters are read alike.

Public: parse_tuning, parse_pitch, pitch_name.
"""

import re

from fretboard.errors import FretboardError

_LETTERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_NOTE = re.compile(r"([A-Ga-g])([#b♯♭]?)(-?\d)?")
_HOME = (50, 57, 62, 62)
_FURTHEST_DOWN = 8


def pitch_name(midi: int) -> str:
    """A pitch with its octave: 60 is ``C4``."""
    return f"{_NAMES[midi % 12]}{midi // 12 - 1}"


def parse_pitch(text: str, home: int | None = None) -> int:
    """The MIDI number of a note name; without an octave the one that belongs near ``home``."""
    match = _NOTE.fullmatch(text.strip())
    if match is None or (match.group(3) is None and home is None):
        raise FretboardError(f"{text.strip()!r} is no pitch; write a note and octave such as D3")
    letter, sign, octave = match.groups()
    pc = _LETTERS[letter.upper()] + {"": 0, "#": 1, "♯": 1, "b": -1, "♭": -1}[sign]
    if octave is not None:
        return pc + 12 * (int(octave) + 1)
    assert home is not None
    return home - _FURTHEST_DOWN + (pc - home + _FURTHEST_DOWN) % 12


def parse_tuning(text: str) -> tuple[int, ...]:
    """Open pitches as MIDI numbers, bass course first.

    Raises FretboardError for anything but three or four pitches between C1 and C6.
    """
    parts = [part for part in re.split(r"[\s,]+|(?<=[A-Ga-g#b♯♭\d])-(?=[A-Ga-g])", text) if part]
    if len(parts) not in (3, 4):
        raise FretboardError(
            f"the tuning {text!r} has {len(parts)} pitches; write three or four, bass first, "
            "such as 'D3 A3 D4' or 'D-A-d'"
        )
    pitches = tuple(parse_pitch(part, _HOME[index]) for index, part in enumerate(parts))
    for pitch, part in zip(pitches, parts, strict=True):
        if not 24 <= pitch <= 84:
            raise FretboardError(f"the pitch {part!r} lies outside C1 to C6")
    return pitches
