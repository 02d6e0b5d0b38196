"""Chord symbols against two libraries written by others: music21 and pychord.

Pitch-class sets are compared (both mislead about incomplete chords named from notes, TRADE.md,
"Oracle traps"). music21 writes a flat as ``-`` (TRADE.md, "Readers' traps"), and is given the
MusicXML kind word where the standard has one, so that its figure parser stays out of the way.
"""

import pychord
import pytest
from music21 import harmony

from tests.tune.test_chord import ROOTS
from tune.chord import QUALITIES, Chord, parse_chord

KINDS = {  # the kind words of the MusicXML 4.0 specification, simple type "kind-value"
    "": "major",
    "m": "minor",
    "5": "power",
    "6": "major-sixth",
    "m6": "minor-sixth",
    "7": "dominant-seventh",
    "maj7": "major-seventh",
    "m7": "minor-seventh",
    "m7b5": "half-diminished-seventh",
    "dim": "diminished",
    "dim7": "diminished-seventh",
    "aug": "augmented",
    "sus2": "suspended-second",
    "sus4": "suspended-fourth",
    "9": "dominant-ninth",
}
FIGURES = ("7sus4", "add9")
"""The two that the standard builds from degrees; music21 reads their figures rightly."""


def test_the_two_tables_cover_every_quality() -> None:
    assert {*KINDS, *FIGURES} == set(QUALITIES)


@pytest.mark.parametrize("root", ROOTS)
@pytest.mark.parametrize("quality", QUALITIES)
def test_music21_hears_the_same_pitch_classes(root: str, quality: str) -> None:
    name = root.replace("b", "-")
    if quality in FIGURES:
        theirs = harmony.ChordSymbol(name + quality)
    else:
        theirs = harmony.ChordSymbol(root=name, kind=KINDS[quality])
    assert {pitch.pitchClass for pitch in theirs.pitches} == Chord(root, quality).pitch_classes
    assert theirs.root().pitchClass == Chord(root, quality).bass_pitch_class


@pytest.mark.parametrize("root", ROOTS)
@pytest.mark.parametrize("quality", QUALITIES)
def test_pychord_hears_the_same_pitch_classes(root: str, quality: str) -> None:
    numbers = pychord.Chord(root + quality).components(visible=False)
    assert {number % 12 for number in numbers} == parse_chord(root + quality).pitch_classes


@pytest.mark.parametrize("root", ROOTS)
def test_the_slash_bass_is_pychords_lowest_note(root: str) -> None:
    for bass in ROOTS:
        symbol = f"{root}m7/{bass}"
        lowest = pychord.Chord(symbol).components(visible=False)[0]
        assert lowest % 12 == parse_chord(symbol).bass_pitch_class
