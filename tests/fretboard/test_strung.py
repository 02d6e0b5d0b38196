"""Strings tuned far from what an instrument is strung for; a fourth is five semitones, by hand."""

import pytest

from fretboard.presets import instrument, instruments, tunings
from fretboard.strung import strung_wrong

USUAL = [info.pitches for info in tunings()]


def told(name: str, tuning: str) -> str:
    return strung_wrong(instrument(name), instrument(name, tuning=tuning), USUAL)


def test_a_baritone_tuned_as_the_standard_instrument() -> None:
    """A2 E3 A3 to D3 A3 A3: the bass and middle strings rise five semitones each."""
    assert told("baritone", "D-A-A") == (
        "the bass and middle strings, tuned to D3 and A3, are a fourth or more above what this "
        "instrument is strung for (A2 and E3), and may break (common practice): write --tuning "
        "'A2 E3 E3' for the same tuning at this instrument's pitch, or put on strings that are "
        "made for that pitch"
    )


def test_a_standard_instrument_tuned_as_a_baritone_is_slack() -> None:
    words = told("standard", "A2 E3 A3")
    assert words.startswith("the bass string, tuned to A2, is a fourth or more below what this")
    assert "strung for (D3), and will be slack and may buzz (common practice): write" in words
    assert "'D3 A3 D4'" in words


def test_one_string_alone_that_goes_up_far() -> None:
    words = told("standard", "D3 A3 G4")
    assert words.startswith("the melody string, tuned to G4, is a fourth or more above")
    assert words.endswith(
        "may break (common practice): put on strings that are made for that pitch"
    )


@pytest.mark.parametrize(
    ("name", "tuning"),
    [("standard", "D-A-A"), ("standard", "dorian"), ("standard", "C-G-c"),
     ("standard", "D3 A3 F#4"), ("baritone", "ionian"), ("baritone", "G2 D3 G3"),
     ("bass", "D2 A2 D3")],
)  # fmt: skip
def test_usual_tunings_and_small_changes_are_not_told(name: str, tuning: str) -> None:
    assert told(name, tuning) == ""


def test_every_preset_is_strung_for_its_own_tuning_and_not_for_an_octave_more() -> None:
    for info in instruments():
        own = info.instrument
        assert strung_wrong(own, own, USUAL) == ""
        higher = own.with_tuning(tuple(pitch + 5 for pitch in own.tuning))
        assert "may break" in strung_wrong(own, higher, USUAL)
        lower = own.with_tuning(tuple(pitch + 4 for pitch in own.tuning))
        assert strung_wrong(own, lower, USUAL) == ""
