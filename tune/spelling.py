"""A chord's tones by the names that a player would give them: Gm is G, Bb, D.

The rule of thirds, as in any theory primer: a third is two letters above its root, a fifth four, a
seventh six.

Public: tones, SHARPS, FLATS.
"""

from tune.chord import Chord, pitch_class

SHARPS = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
FLATS = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
"""Pitch class → name with at most one sign."""

_LETTERS = "CDEFGAB"
_STEPS = {"root": 0, "second": 1, "third": 2, "fourth": 3, "fifth": 4, "sixth": 5, "seventh": 6,
          "ninth": 1}  # fmt: skip


def tones(chord: Chord) -> dict[int, str]:
    """Pitch class → name, root first."""
    found: dict[int, str] = {}
    for degree, pc in chord.degrees.items():
        found.setdefault(pc, _as_degree(chord.root, degree, pc))
    return found


def _as_degree(root: str, degree: str, pc: int) -> str:
    """The name with the letter that the degree has; a plain name where that needs more than one
    sign."""
    if degree not in _STEPS:
        return FLATS[pc] if "b" in root else SHARPS[pc]
    letter = _LETTERS[(_LETTERS.index(root[0]) + _STEPS[degree]) % 7]
    up = (pc - pitch_class(letter) + 6) % 12 - 6
    signs = {0: "", 1: "#", -1: "b"}.get(up)
    if signs is None:
        return FLATS[pc] if up < 0 else SHARPS[pc]
    return letter + signs
