"""Tunings: open pitches, typed with octaves (``D3 A3 D4``) or as players say them (``D-A-d``).

Without octaves each course takes the pitch that strings of that course are made for: from a minor
sixth below to a minor third above D3, A3, D4 and D4 (common practice, no source); a bass instrument
reads them an octave lower. Capital or small letters are read alike, and ``DAd`` is ``D-A-d``, but
flats want the hyphens: ``Eb-Bb-eb``.

Public: parse_tuning, parse_pitch, pitch_name, PITCH_CLASSES.
"""

import re

from fretboard.errors import FretboardError

_LETTERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
PITCH_CLASSES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B")
"""As players name strings: those that the fewest sharps or flats bring (common practice, no
source)."""

_NOTE = re.compile(r"([A-Ga-g])([#b♯♭]?)(-?\d)?")
_RUN_TOGETHER = re.compile(r"(?:[A-Gac-g][#♯]?){3,4}")
_ONE_OF_THEM = re.compile(r"[A-Ga-g][#♯]?")
_BETWEEN = re.compile(r"(?<=[A-Za-z#♯♭\d])\s*[-–]\s*(?=[A-Za-z])|[\s,]+")
_HOME = (50, 57, 62, 62)
_FURTHEST_DOWN = 8


def pitch_name(midi: int) -> str:
    """A pitch with its octave: 60 is ``C4``."""
    return f"{PITCH_CLASSES[midi % 12]}{midi // 12 - 1}"


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


def parse_tuning(text: str, bass: int = _HOME[0]) -> tuple[int, ...]:
    """Open pitches as MIDI numbers, bass course first.

    bass: the open bass string of the instrument to be tuned; where it is made an octave lower or
    higher than D3, pitches typed without octaves are read there. Raises FretboardError for
    anything but three or four pitches between C1 and C6.
    """
    if _RUN_TOGETHER.fullmatch(text.strip()):
        parts = _ONE_OF_THEM.findall(text)
    else:
        parts = [part for part in _BETWEEN.split(text) if part]
    if len(parts) not in (3, 4):
        count = "1 pitch" if len(parts) == 1 else f"{len(parts)} pitches"
        raise FretboardError(
            f"the tuning {text!r} has {count}; write three or four, bass first, "
            "such as 'D3 A3 D4' or 'D-A-d'"
        )
    octaves = (bass - _HOME[0] + _FURTHEST_DOWN) // 12 * 12
    pitches = tuple(parse_pitch(part, _HOME[n] + octaves) for n, part in enumerate(parts))
    for pitch, part in zip(pitches, parts, strict=True):
        if not 24 <= pitch <= 84:
            raise FretboardError(f"the pitch {part!r} lies outside C1 to C6")
    return pitches
