"""Ticks, metres and tempi, worked by hand."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tune.errors import TuneError
from tune.time import QUARTER, Metre, Tempo, quarters, ticks


def test_a_quarter_divides_into_every_tuplet_down_to_the_128th() -> None:
    for actual in (3, 5, 6, 7, 9):
        assert ticks(Fraction(1, actual)) * actual == QUARTER
    assert ticks(Fraction(1, 32)) * 32 == QUARTER
    assert ticks("3/2") == 15120


@given(st.integers(0, 10**7))
def test_ticks_and_quarters_are_each_others_inverse(length: int) -> None:
    assert ticks(quarters(length)) == length


def test_a_length_finer_than_a_tick_is_refused() -> None:
    with pytest.raises(TuneError, match="finer than"):
        ticks(Fraction(1, 11))


@pytest.mark.parametrize(
    ("beats", "unit", "beat", "bar", "felt", "compound"),
    [
        (4, 4, 1, 4, 4, False),
        (2, 2, 2, 4, 2, False),
        (3, 4, 1, 3, 3, False),
        (6, 8, Fraction(3, 2), 3, 2, True),
        (9, 8, Fraction(3, 2), Fraction(9, 2), 3, True),
        (12, 8, Fraction(3, 2), 6, 4, True),
        (3, 8, Fraction(1, 2), Fraction(3, 2), 3, False),
        (6, 4, 1, 6, 6, False),
        (5, 8, Fraction(1, 2), Fraction(5, 2), 5, False),
    ],
)
def test_metres(
    beats: int, unit: int, beat: Fraction, bar: Fraction, felt: int, compound: bool
) -> None:
    """Felt beats of simple and compound metres: any theory primer (from memory)."""
    metre = Metre(beats, unit)
    assert (quarters(metre.beat), quarters(metre.bar)) == (beat, bar)
    assert (metre.felt_beats, metre.compound, str(metre)) == (felt, compound, f"{beats}/{unit}")


@given(st.integers(1, 32), st.sampled_from((1, 2, 4, 8, 16, 32)))
def test_a_bar_is_a_whole_number_of_felt_beats(beats: int, unit: int) -> None:
    metre = Metre(beats, unit)
    assert metre.felt_beats * metre.beat == metre.bar


@pytest.mark.parametrize(("beats", "unit"), [(0, 4), (33, 4), (4, 3), (4, 0), (4, 64)])
def test_impossible_metres(beats: int, unit: int) -> None:
    with pytest.raises(TuneError, match="metre"):
        Metre(beats, unit)


@pytest.mark.parametrize(("beat", "rate"), [(0, 100), (-1, 100), (QUARTER, 9), (QUARTER, 401)])
def test_impossible_tempi(beat: int, rate: int) -> None:
    with pytest.raises(TuneError, match="tempo"):
        Tempo(beat, rate)


def test_milliseconds() -> None:
    assert Tempo(QUARTER, 120).milliseconds(QUARTER) == 500
    assert Tempo(QUARTER * 3 // 2, 80).milliseconds(QUARTER * 3) == 1500
    assert Tempo(QUARTER, 90).milliseconds(QUARTER) == 667  # 666.67 rounded
    assert Tempo(QUARTER, 120).milliseconds(0) == 0


@given(st.integers(10, 400), st.integers(1, 16 * QUARTER))
def test_milliseconds_round_to_the_nearest(rate: int, length: int) -> None:
    exact = Fraction(60_000 * length, QUARTER * rate)
    assert abs(Tempo(QUARTER, rate).milliseconds(length) - exact) <= Fraction(1, 2)
