"""Difficulty in percent, worked by hand; the instrument's millimetres are in ``passage``.

The medium hand spans 205 mm; its greatest reach from index to thumb is 205·10/15 = 136.7 mm, from
middle to thumb 164 mm, kept in whole tenths: 1366 and 1640.
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fretboard.hand import Hand, Movement
from fretboard.presets import hand, instrument
from fretboard.reading import length_mm
from scoring.choice import Shapes
from scoring.difficulty import (
    MOST,
    BarRating,
    Parts,
    Rating,
    bar_difficulties,
    rate,
    step_difficulty,
    stretch_difficulty,
)
from scoring.move import Move
from tests.scoring.passage import HAND, MOVEMENT, STANDARD, moment, step
from tests.scoring.plain_difficulty import plain_bars

OPEN = step("0-0-0")


def shapes(*choices, hand: Hand = HAND) -> Shapes:
    return Shapes.of([(choice.grip, choice.struck) for choice in choices], STANDARD, hand)


def difficulty(before, after, ms: int = 2000, damped: bool = False, hand: Hand = HAND) -> int:
    move = Move(shapes(before, hand=hand), shapes(after, hand=hand), ms, damped)
    return step_difficulty(move).tolist()[0]


def test_no_stretch_without_two_fingers() -> None:
    rows = shapes(OPEN, step("3-0-0", "M--"), step("3-3-3", "III"))
    assert stretch_difficulty(rows).tolist() == [0, 0, 0]


def test_a_stretch_is_a_share_of_the_pairs_greatest() -> None:
    # bass 3 to melody 5: 278.0 − 172.0 = 106.0 along, 32 across: 110.7 mm
    rows = shapes(step("3-0-5", "I-T"), step("3-0-5", "M-T"))
    # of 136.6 mm: 81.05; of 164.0 mm: 67.5
    assert stretch_difficulty(rows).tolist() == [82, 68]


def test_the_widest_stretch_counts() -> None:
    # middle 3 (228.1 at fret 4 on the middle string): M3 bass – I4 middle: 56.1 along, 16 across:
    # 58.3 of 68.3 mm (I–M 205·10·5/15 = 683): 85.4; I4 – T5: 49.9, 16: 52.4 of 136.6: 38.4
    assert stretch_difficulty(shapes(step("3-4-5", "MIT"))).tolist() == [86]


def test_staying_and_lifting_take_no_time() -> None:
    fretted = step("3-0-0", "M--", 100)
    assert difficulty(OPEN, OPEN, ms=1) == 0
    assert difficulty(fretted, fretted, ms=1) == 0
    assert difficulty(fretted, OPEN, ms=1) == 0


def test_a_finger_out_of_the_air_has_the_whole_moment() -> None:
    # the middle finger hovers 20.5 mm nutward of the hand at 192.5, thus over fret 3, a course off:
    # D = 16 mm and half a mm along; W = 30.5: 20 + 45·log2(1 + 16.0/30.5) = 47.4, 47 ms; and 2 for
    # the finger put down
    after = step("3-0-0", "M--", 192)
    assert difficulty(step("0-0-0", place=192), after, ms=470) == 10 + 2
    assert difficulty(step("0-0-0", place=192), after, ms=100) == 47 + 2


def test_the_shift_comes_before_the_finger() -> None:
    # the hand from 92 to 192: D = 100, W = 30.5: 60 + 100·log2(4.279) = 269.7; then 47; and 10 for
    # the shift, 2 for the finger
    after = step("3-0-0", "M--", 192)
    assert difficulty(step("0-0-0", place=92), after, ms=1000) == 32 + 10 + 2  # 317 of 1000


def test_a_finger_that_held_a_note_has_the_release_only() -> None:
    # middle from bass 3 to bass 4, the hand along with it: the finger itself slides 0.0–0.1 mm:
    # 20 ms, the hand 56 mm onto W = 56.1: 60 + 100·log2(1.998) = 159.9; a shift and a finger
    before, after = step("3-0-0", "M--", 192), step("4-0-0", "M--", 248)
    assert difficulty(before, after, ms=1000) == 72 + 12  # 180 of 250
    assert difficulty(before, after, ms=1000, damped=True) == 36 + 12  # of 500


def test_a_noter_slides_while_the_note_rings_on() -> None:
    # it is not lifted, so it has the whole moment (common practice, no source): melody 3 to 4, D =
    # 56.1 = W in one movement: 20 + 74·log2(2) = 94; no shift besides
    noter = hand("noter")
    before, after = step("0-0-3", "--T", 170), step("0-0-4", "--T", 230)
    slow = difficulty(before, after, ms=1000, hand=noter)
    assert slow == difficulty(before, after, ms=1000, damped=True, hand=noter) == 10 + 2
    # a finger has a quarter of 1000 ms, and the hand goes 60 mm onto W = 56.1: 60 + 100·log2(2.07)
    # = 164.9; beside it the finger goes 3.9 mm: 20 + 45·log2(1.07) = 24.4
    finger = replace(noter, noter=False, movement=Movement())
    assert difficulty(before, after, ms=1000, hand=finger) == 76 + 12


def test_older_documents_noters_shift_the_hand_and_are_taken_along() -> None:
    # the hand from 172 to 228 takes 159.9 ms; fret 3 lies at 172.0, fret 4 at 228.1, so beside the
    # hand the stick moves a tenth of a mm: no time of its own
    older = replace(hand("noter"), movement=Movement())
    before, after = step("0-0-3", "--T", 172), step("0-0-4", "--T", 228)
    assert difficulty(before, after, ms=1000, hand=older) == 16 + 12


def test_a_hand_in_the_air_has_the_whole_moment() -> None:
    # to open strings, W = 60 mm, D = 100: 60 + 100·log2(2.667) = 201.5; a shift
    assert difficulty(OPEN, step("0-0-0", place=200), ms=1000) == 21 + 10  # 202 of 1000
    assert difficulty(step("3-0-0", "M--", 100), step("0-0-0", place=200), ms=1000) == 21 + 10


def test_a_finger_laid_across_anew() -> None:
    # the index finger from the bass string over two more at the same fret: it stays, so nothing
    # moves and no time is needed, but it is laid; then it lies already
    one, three = step("3-0-0", "I--", 172), step("3-3-3", "III", 172)
    assert difficulty(one, three) == 10
    assert difficulty(three, three) == 0
    assert difficulty(three, one) == 0


def test_no_time_at_all_is_the_most_there_is() -> None:
    hurried = replace(HAND, movement=replace(MOVEMENT, release_percent=0))
    before, after = step("3-0-0", "M--", 192), step("4-0-0", "M--", 248)
    assert difficulty(before, after, hand=hurried) == MOST == 1000
    assert difficulty(before, after, ms=30) == MOST  # 180 of 7 ms
    at_once = replace(HAND, movement=Movement(0, 0, 0, 0, 25, 0))
    assert difficulty(before, after, hand=at_once) == 2  # a finger


def test_the_greater_of_way_and_stretch_counts() -> None:
    fretted = step("3-0-5", "I-T", 172)
    assert difficulty(fretted, fretted) == 82
    assert difficulty(step("0-0-0", place=172), fretted, ms=5000) == 82 + 4  # two fingers
    assert difficulty(step("0-0-0", place=172), fretted, ms=50) > 86


def test_a_bar_is_as_difficult_as_its_most_difficult_moment() -> None:
    choices = [step("3-0-5", "I-T", 172), OPEN, OPEN, step("0-0-0", place=200), OPEN]
    moments = [moment(bar=bar, ms=1000) for bar in (1, 1, 2, 2, 4)]
    # the first is reached for free and stretches; then the hand goes 72 mm back, W = 60:
    # 60 + 100·log2(2.2) = 173.8, less difficult; bar 2 as above; bar 4 back again: 202; 10 a shift
    asked = choices, moments, STANDARD, HAND
    assert bar_difficulties(*asked) == plain_bars(*asked) == {1: 82, 2: 31, 4: 31}
    rating = rate(*asked)
    assert (rating.hardest, rating.median, rating.hardest_bar.bar) == (82, 31, 1)
    assert [(bar.shifts, bar.changes, bar.barred) for bar in rating.bars] == [
        (1, 1, 0), (1, 0, 0), (1, 0, 0),
    ]  # fmt: skip
    assert rating.bars[0].parts == Parts(stretch=82)
    assert rating.bars[1].parts == Parts(202, 1000, 0, shift=True)


def test_the_median_of_two_is_the_lower() -> None:
    bars = tuple(BarRating(n, Parts(stretch=n * 10)) for n in (1, 2, 3, 4))
    assert (Rating(bars).median, Rating(bars).hardest) == (20, 40)
    assert Rating(bars[:3]).median == 20


def test_a_bar_laid_in_the_first_shape_is_counted_but_reached_for_free() -> None:
    choices = [step("3-3-3", "III", 172)] * 2
    rating = rate(choices, [moment(), moment()], STANDARD, HAND)
    assert rating.bars == (BarRating(1, Parts(), barred=1),)


def test_nothing_to_rate() -> None:
    for choices, moments in (([], []), ([OPEN], [moment(), moment()])):
        with pytest.raises(ValueError, match="needs moments, and one choice for each"):
            rate(choices, moments, STANDARD, HAND)
    with pytest.raises(ValueError, match="below nothing"):
        Parts(fingers=-1)
    with pytest.raises(ValueError, match="nothing to rate"):
        Rating(())


PARTS = st.builds(
    Parts, st.integers(0, 3000), st.integers(0, 3000), st.integers(0, 1200), st.booleans(),
    st.booleans(), st.integers(0, 5),
)  # fmt: skip


@given(PARTS, st.integers(0, 500))
def test_no_part_that_grows_makes_it_easier(parts: Parts, more: int) -> None:
    """More needed, less time, a wider stretch, a shift, a finger laid, more fingers."""
    for name, value in (
        ("needed", parts.needed + more), ("time", max(0, parts.time - more)),
        ("stretch", parts.stretch + more), ("shift", True), ("laid", True),
        ("fingers", parts.fingers + 1),
    ):  # fmt: skip
        assert replace(parts, **{name: value}).rating >= parts.rating, name
    assert 0 <= parts.rating <= MOST


def test_each_part_tells_where_it_decides() -> None:
    one = Parts(40, 100, 40)
    harder = [
        replace(one, needed=41), replace(one, time=99), replace(one, stretch=41),
        replace(one, shift=True), replace(one, laid=True), replace(one, fingers=1),
    ]  # fmt: skip
    assert [parts.rating - one.rating for parts in harder] == [1, 1, 1, 10, 10, 2]


@pytest.mark.parametrize(
    ("metric", "inches"), [("685.8mm", "27in"), ("635mm", "25in"), ("723.9mm", "28.5in")]
)
def test_units_change_nothing(metric: str, inches: str) -> None:
    """Scale and span in mm and in inches (25.4 mm, exact by international agreement, 1959)."""
    choices = [step("3-0-5", "I-T", 172), step("3-3-3", "III", 150), OPEN, step("0-0-2", "--I", 90)]
    moments = [moment(bar=bar, ms=700) for bar in (1, 2, 3, 4)]
    for spans in (("203.2mm", "8in"), ("190.5mm", "7.5in")):
        ratings = [
            rate(choices, moments, instrument(scale=length_mm(scale)), hand(span))
            for scale, span in zip((metric, inches), spans, strict=True)
        ]
        assert ratings[0] == ratings[1]
        assert ratings[0].hardest > 0


@pytest.mark.parametrize("ms", [100, 700, 2500])
def test_slower_is_never_more_difficult(ms: int) -> None:
    ways = [
        (OPEN, step("3-0-0", "M--", 192)),
        (step("3-0-5", "I-T", 172), step("4-0-0", "I--", 228)),
    ]
    for before, after in ways:
        assert difficulty(before, after, ms=ms) >= difficulty(before, after, ms=ms + 40)
