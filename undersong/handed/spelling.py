"""Notes by the names that a player would give them: a chord's tones as that chord spells them
(``tune.spelling``), others as the key has them.

Public: note_name.
"""

from tune.chord import Chord
from tune.key import Key
from tune.spelling import FLATS, SHARPS, tones

_FLAT_FROM = {10: -1, 3: -1, 8: -2, 1: -4, 6: -5}
"""Pitch class → from how many flats in the key on it is called flat; else it is the raised note,
as F# in D minor (common practice, no source)."""


def note_name(midi: int, key: Key, chord: Chord | None = None) -> str:
    """A sounding pitch with its octave, such as ``Bb3``; chord: what sounds with it."""
    pc = midi % 12
    flat = key.fifths <= _FLAT_FROM.get(pc, -8)
    names = FLATS if flat else SHARPS
    own = tones(chord) if chord is not None else {}
    name = own.get(pc, names[pc])
    return f"{name}{(midi - _accidental(name)) // 12 - 1}"


def _accidental(name: str) -> int:
    """Semitones that the signs add: Cb4 sounds below C4, and is called after it."""
    return name.count("#") - name.count("b", 1)
