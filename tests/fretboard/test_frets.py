"""Fret numbers against the trade's, and fret distances against published tables.

Sources stand by their titles; V: computed, no published table.
"""

from collections.abc import Sequence
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fretboard.errors import FretboardError
from fretboard.frets import HIGHEST_SEMITONE, fret_label, fret_semitones, position

WHOLE = (0, 2, 4, 5, 7, 9, 10, 12, 14, 16, 17, 19, 21, 22, 24, 26)
INCH = 25.4


@pytest.mark.parametrize(("number", "semitones"), list(enumerate(WHOLE)))
def test_whole_numbers_are_the_diatonic_frets(number: int, semitones: int) -> None:
    # "Question about fret layout"
    assert fret_semitones(str(number)) == semitones
    assert fret_label(semitones) == str(number)


@pytest.mark.parametrize(("number", "semitones"), [(1, 3), (6, 11), (8, 15), (13, 23)])
def test_an_extra_fret_reads_alike_in_every_writing(number: int, semitones: int) -> None:
    # "Question about fret layout": written 6+ or 6½; 6.5 is common practice, no source
    for half in ("+", "½", ".5"):
        assert fret_semitones(f"{number}{half}") == semitones
    assert fret_semitones(f"  {number}+ ") == semitones
    assert fret_label(semitones) == f"{number}+"


def test_a_chromatic_fretboard_has_an_extra_fret_in_each_whole_step_and_no_other() -> None:
    # common practice, no source
    labels = [fret_label(semitones) for semitones in range(13)]
    assert labels == ["0", "0+", "1", "1+", "2", "3", "3+", "4", "4+", "5", "6", "6+", "7"]


@given(st.integers(0, HIGHEST_SEMITONE))
def test_a_label_leads_back_to_its_semitones(semitones: int) -> None:
    assert fret_semitones(fret_label(semitones)) == semitones


@given(st.text(max_size=6))
def test_any_text_is_a_fret_or_one_sentence(text: str) -> None:
    def outcome() -> int | str:
        try:
            return fret_semitones(text)
        except FretboardError as error:
            return str(error)

    found = outcome()
    if isinstance(found, int):
        assert 0 <= found <= HIGHEST_SEMITONE
    else:
        assert len(found.splitlines()) == 1


@pytest.mark.parametrize(
    ("label", "says"),
    [
        ("", "is no fret number"),
        ("-1", "is no fret number"),
        ("+", "is no fret number"),
        ("x", "is no fret number"),
        ("6++", "is no fret number"),
        ("6.25", "is no fret number"),
        ("²", "is no fret number"),
        ("100", "is no fret number"),
        ("2+", "no fret 2+: frets 2 and 3 are already a semitone apart"),
        ("5½", "no fret 5½: frets 5 and 6"),
        ("12.5", "no fret 12.5: frets 12 and 13"),
        ("22", "beyond the third octave"),
        ("21+", "beyond the third octave"),
    ],
)
def test_what_is_no_fret_is_said_so(label: str, says: str) -> None:
    with pytest.raises(FretboardError) as caught:
        fret_semitones(label)
    assert says in str(caught.value)


def test_no_fret_lies_behind_the_nut() -> None:
    with pytest.raises(FretboardError, match="3 semitones behind the nut"):
        fret_label(-3)


SPACINGS = {
    25.0: (2.73, 2.43, 1.11, 2.04, 1.82, .83, 1.53, 1.36, 1.21, .56, 1.02, .91, .42, .77, .68),
    28.0: (3.05, 2.72, 1.25, 2.29, 2.04, .93, 1.71, 1.53, 1.36, .62, 1.14, 1.02, .47, .86, .76),
}  # fmt: skip


@pytest.mark.parametrize(("scale", "spacings"), list(SPACINGS.items()))
def test_spacings_of_successive_frets(scale: float, spacings: Sequence[float]) -> None:
    # forum page "Hammers for the MD?", inches to two places
    ours = [position(scale, high) - position(scale, low) for low, high in pairwise(WHOLE)]
    assert ours == pytest.approx(spacings, abs=0.005)


def test_distances_from_fret_to_bridge() -> None:
    # "Guitar bits 'n bobs", 25 in
    published = (
        23.597, 22.272, 21.022, 19.843, 18.729, 17.678, 16.685, 15.749, 14.865, 14.031,
    )  # fmt: skip
    ours = [25.0 - position(25.0, semitones) for semitones in range(1, 11)]
    assert ours == pytest.approx(published, abs=0.0005)


def test_the_rule_of_17_817() -> None:
    # "Calculating fret distances", 25.5 in: each fret lies 1/17.817 of what is left further on
    assert [position(25.5, 1), position(25.5, 2)] == pytest.approx([1.431, 2.782], abs=0.0005)
    place = 0.0
    for semitones in range(1, 25):
        place += (25.5 - place) / 17.817
        assert position(25.5, semitones) == pytest.approx(place, abs=0.0005)


@pytest.mark.parametrize(("scale", "half"), [(25.0, 12.5), (29.0, 14.5)])
def test_fret_seven_halves_the_string(scale: float, half: float) -> None:
    # "How To Choose The Best Scale Length"
    assert position(scale, fret_semitones("7")) == half


@pytest.mark.parametrize(
    ("low", "high", "published"),
    [
        ("1", "3", (90, 97, 103)),
        ("2", "4", (80, 87, 91)),
        ("3", "5", (98, 106, 112)),
        ("1", "4", (142, 153, 162)),
        ("1", "5", (188, 203, 215)),
    ],
)
def test_reach_between_frets_in_mm(low: str, high: str, published: tuple[int, ...]) -> None:
    # V, at 25, 27 and 28.5 in; the 215 adds two rounded figures, 214.49 is what it stands for
    ours = [
        position(inches * INCH, fret_semitones(high)) - position(inches * INCH, fret_semitones(low))
        for inches in (25, 27, 28.5)
    ]
    assert ours == pytest.approx(published, abs=0.52)


def test_high_frets_cramp_the_fingers() -> None:
    # V: frets 9 and 10 lie 14 to 16 mm apart, 25 to 28.5 in
    gaps = [
        position(inches * INCH, fret_semitones("10")) - position(inches * INCH, fret_semitones("9"))
        for inches in (25, 28.5)
    ]
    assert [round(gap) for gap in gaps] == [14, 16]


@given(st.floats(400, 1200), st.integers(0, HIGHEST_SEMITONE - 1))
def test_positions_rise_ever_more_slowly_and_stay_on_the_string(scale: float, fret: int) -> None:
    here, there = position(scale, fret), position(scale, fret + 1)
    assert 0 <= here < there < scale
    assert position(scale, fret + 2) - there < there - here
