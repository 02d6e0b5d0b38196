"""Notes by the names that a player would give them: a chord's tones as that chord spells them
(Gm: G, Bb, D), others as the key has them. The rule of thirds, as in any theory
primer: a third is two letters above its root, a fifth four, a seventh six.

Public: tones, note_name.
"""

from tune.chord import Chord, pitch_class
from tune.key import Key

_LETTERS = "CDEFGAB"
_STEPS = {"root": 0, "second": 1, "third": 2, "fourth": 3, "fifth": 4, "sixth": 5, "seventh": 6,
          "ninth": 1}  # fmt: skip
_SHARPS = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_FLATS = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")

_FLAT_FROM = {10: -1, 3: -1, 8: -2, 1: -4, 6: -5}
"""Pitch class → from how many flats in the key on it is called flat; else it is the raised note,
as F# in D minor (common practice, no source)."""


def tones(chord: Chord) -> dict[int, str]:
    """Pitch class → name, root first."""
    found: dict[int, str] = {}
    for degree, pc in chord.degrees.items():
        found.setdefault(pc, _as_degree(chord.root, degree, pc))
    return found


def note_name(midi: int, key: Key, chord: Chord | None = None) -> str:
    """A sounding pitch with its octave, such as ``Bb3``; chord: what sounds with it."""
    pc = midi % 12
    flat = key.fifths <= _FLAT_FROM.get(pc, -8)
    names = _FLATS if flat else _SHARPS
    own = tones(chord) if chord is not None else {}
    name = own.get(pc, names[pc])
    return f"{name}{(midi - _accidental(name)) // 12 - 1}"


def _as_degree(root: str, degree: str, pc: int) -> str:
    """The name with the letter that the degree has; a plain name where that needs more than one
    sign."""
    if degree not in _STEPS:
        return _FLATS[pc] if "b" in root else _SHARPS[pc]
    letter = _LETTERS[(_LETTERS.index(root[0]) + _STEPS[degree]) % 7]
    up = (pc - pitch_class(letter) + 6) % 12 - 6
    signs = {0: "", 1: "#", -1: "b"}.get(up)
    if signs is None:
        return _FLATS[pc] if up < 0 else _SHARPS[pc]
    return letter + signs


def _accidental(name: str) -> int:
    """Semitones that the signs add: Cb4 sounds below C4, and is called after it."""
    return name.count("#") - name.count("b", 1)
