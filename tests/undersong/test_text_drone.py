"""The drone's page: which open strings clash with the melody, where and how badly."""

from solver.style import Style
from tests.tune.abc_tune import read
from undersong.api import arrange
from undersong.sheet.text import text_tab

DRONE = Style(texture="drone", manner="held")


def page(music: str, tuning: str = "D3 A3 D4", key: str = "D") -> str:
    from fretboard.presets import instrument

    made = arrange(
        read(music, unit="1/4", key=key), style=DRONE, instrument=instrument(tuning=tuning)
    )
    return " ".join(text_tab(made).split())


def test_the_worst_clashes_come_first_with_their_length() -> None:
    # D3 A3 open: G4 a minor seventh above A, C#5 an octave and a major seventh above D
    words = page("DFGA|c4|]")
    assert (
        "The open strings clash: bar 2, beat 1: D3 badly with C#5 (a major seventh, 4 beats); "
        in words
    )
    assert "bar 1, beat 3: A3 mildly with G4 (a minor seventh, 1 beat)" in words
    assert words.index("D3 badly") < words.index("A3 mildly")
    assert "more" not in words.split("The open strings clash: ")[1].split(". ")[0]


def test_what_comes_again_is_told_once() -> None:
    words = page("|:DFGA|D4:|")
    assert words.count("A3 mildly with G4") == 1


def test_a_place_between_beats_and_a_pickup_are_named_as_counted() -> None:
    """A pickup of one beat is beat 4; G4 begins on the second half of beat 2."""
    words = page("G|D3/2G/2D2|D4|]")
    assert "beat 4: A3 mildly with G4" in words
    half = "bar 1, half a beat after beat 2: A3 mildly with G4 (a minor seventh, 1/2 of a beat)"
    assert half in words


def test_two_places_in_one_beat_have_two_names() -> None:
    words = page("F/4G/4F/4G/4DDD|D4|]")
    for name in ("a quarter of a beat", "three quarters of a beat"):
        assert f"bar 1, {name} after beat 1: A3 mildly with G4" in words


def test_a_melody_of_the_open_chord_clashes_nowhere() -> None:
    assert "The open strings clash with no melody note." in page("DFAd|d4|]")


def test_a_drone_has_no_bass_row_and_no_pattern() -> None:
    words = page("DFAd|d4|]")
    assert "Right hand" not in words
    assert "Bass row" not in words
    assert "Texture drone: the melody on one string, the others open and ringing" in words


def test_notes_are_called_as_the_tune_spells_them_and_strings_as_its_key_does() -> None:
    """The same sound, fret 6 of a string in C, is written B flat here and A sharp there."""
    for written, name in (("_B", "Bb4"), ("^A", "A#4")):
        assert f"A3 badly with {name} (a minor ninth, 2 beats)" in page(
            f"D2{written}2|D4|]", "D3 A3 C4"
        )
    assert "bar 1, beat 1: Bb2 mildly with C4 (a major ninth" in page(
        "C4|F4|]", "Bb2 F3 C4", key="F"
    )
