"""Chord symbols: what each sounds, every spelling, and the way there and back."""

import pytest

from tune.chord import QUALITIES, SPELLINGS, Chord, parse_chord, pitch_class
from tune.errors import TuneError

ROOTS = (
    *("C", "D", "E", "F", "G", "A", "B"),
    *("C#", "D#", "F#", "G#", "A#"),
    *("Db", "Eb", "Gb", "Ab", "Bb"),
)
"""The seventeen usual names of the twelve notes."""

NOTES = {  # worked by hand on paper from the degrees any theory primer gives
    "D": "D F# A",
    "Bm": "B D F#",
    "A5": "A E",
    "G6": "G B D E",
    "Em6": "E G B C#",
    "A7": "A C# E G",
    "Dmaj7": "D F# A C#",
    "Em7": "E G B D",
    "F#m7b5": "F# A C E",
    "C#dim": "C# E G",
    "G#dim7": "G# B D F",
    "Bbaug": "Bb D F#",
    "Esus2": "E F# B",
    "Asus4": "A D E",
    "A7sus4": "A D E G",
    "Gadd9": "G B D A",
    "E9": "E G# B D F#",
}


@pytest.mark.parametrize(("symbol", "notes"), NOTES.items())
def test_a_chord_sounds_the_notes_of_the_primer(symbol: str, notes: str) -> None:
    chord = parse_chord(symbol)
    assert [*chord.degrees.values()] == [pitch_class(note) for note in notes.split()]


def test_every_quality_is_in_the_hand_worked_table() -> None:
    assert {parse_chord(symbol).quality for symbol in NOTES} == set(QUALITIES)


@pytest.mark.parametrize("root", ROOTS)
@pytest.mark.parametrize("quality", QUALITIES)
def test_symbol_and_pretty_are_read_back_as_the_same_chord(root: str, quality: str) -> None:
    for bass in (None, *ROOTS):
        chord = Chord(root, quality, bass)
        assert parse_chord(chord.symbol) == chord
        assert parse_chord(chord.pretty) == chord


@pytest.mark.parametrize(("spelling", "quality"), SPELLINGS.items())
def test_every_spelling_is_read_on_plain_and_altered_roots(spelling: str, quality: str) -> None:
    assert parse_chord(f"D{spelling}") == Chord("D", quality)
    assert parse_chord(f"F♯{spelling}/A") == Chord("F#", quality, "A")
    assert parse_chord(f"B♭{spelling}") == Chord("Bb", quality)


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        ("F♯m7♭5", "F#m7b5"),
        ("Fø", "Fm7b5"),
        ("FØ7", "Fm7b5"),
        ("C♯°", "C#dim"),
        ("C♯º7", "C#dim7"),
        ("GΔ", "Gmaj7"),
        ("G∆7", "Gmaj7"),
        ("G△", "Gmaj7"),
        ("E-", "Em"),
        ("E−7", "Em7"),
        ("E–7", "Em7"),
        ("E♭/B♭", "Eb/Bb"),
        ("Dsus", "Dsus4"),
        ("A7sus", "A7sus4"),
        ("A+", "Aaug"),
        ("D(add9)", "Dadd9"),
    ],
)
def test_signs_that_lead_sheets_use_are_read(written: str, plain: str) -> None:
    assert parse_chord(written).symbol == plain


def test_real_signs_are_printed() -> None:
    assert Chord("F#", "m7b5", "Eb").pretty == "F♯m7♭5/E♭"
    assert str(Chord("F#", "m7b5", "Eb")) == "F#m7b5/Eb"


def test_a_slash_bass_is_what_the_bass_plays_and_no_tone_of_the_chord() -> None:
    inverted, foreign = parse_chord("D/F#"), parse_chord("D/E")
    assert inverted.bass_pitch_class == 6
    assert foreign.bass_pitch_class == 4
    assert 4 not in foreign.pitch_classes
    assert parse_chord("D").bass_pitch_class == 2


def test_large_and_small_m_differ() -> None:
    assert parse_chord("CM7") != parse_chord("Cm7")
    assert parse_chord("CM") == parse_chord("C")


def test_a_flat_belongs_to_the_root_it_follows() -> None:
    assert parse_chord("Bb5") == Chord("Bb", "5")
    assert parse_chord("Ab7/Eb") == Chord("Ab", "7", "Eb")


@pytest.mark.parametrize(
    ("root", "quality", "bass", "named"),
    [
        ("H", "", None, "'H'"),
        ("d", "", None, "'d'"),
        ("", "", None, "''"),
        ("D", "13", None, "'13'"),
        ("D", "", "Fis", "'Fis'"),
        ("D##", "", None, "'D##'"),
    ],
)
def test_a_chord_checks_itself(root: str, quality: str, bass: str | None, named: str) -> None:
    with pytest.raises(TuneError, match=named):
        Chord(root, quality, bass)
