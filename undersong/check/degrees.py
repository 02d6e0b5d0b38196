"""Which note a bass role names in a chord.

Public: degree_pitch_class.
"""

from tune.chord import QUALITIES, Chord, pitch_class


def degree_pitch_class(chord: Chord, role: str) -> int | None:
    """The pitch class that a bass note of that role has; None where the chord has no such tone."""
    root = pitch_class(chord.root)
    if role == "slash bass":
        return pitch_class(chord.bass) if chord.bass else None
    if role == "octave":
        return root
    if role == "alternate fourth":
        return (root + 5) % 12
    ups = dict(QUALITIES[chord.quality])
    return (root + ups[role]) % 12 if role in ups else None
