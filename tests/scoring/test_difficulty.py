"""Difficulty in percent, worked by hand; the instrument's millimetres are in ``passage``.

The medium hand spans 205 mm; its greatest reach from index to thumb is 205·10/15 = 136.7 mm, from
middle to thumb 164 mm, kept in whole tenths: 1366 and 1640.
"""

from dataclasses import replace

import pytest

from fretboard.hand import Hand, Movement
from scoring.choice import Shapes
from scoring.difficulty import MOST, bar_difficulties, step_difficulty, stretch_difficulty
from scoring.move import Move
from tests.scoring.passage import HAND, MOVEMENT, STANDARD, moment, step

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
    # D = 16 mm and half a mm along; W = 30.5: 20 + 45·log2(1 + 16.0/30.5) = 47.4, 47 ms
    after = step("3-0-0", "M--", 192)
    assert difficulty(step("0-0-0", place=192), after, ms=470) == 10
    assert difficulty(step("0-0-0", place=192), after, ms=100) == 47


def test_the_shift_comes_before_the_finger() -> None:
    # the hand from 92 to 192: D = 100, W = 30.5: 60 + 100·log2(4.279) = 269.7; then 47
    after = step("3-0-0", "M--", 192)
    assert difficulty(step("0-0-0", place=92), after, ms=1000) == 32  # 317 of 1000


def test_a_finger_that_held_a_note_has_the_release_only() -> None:
    # middle from bass 3 to bass 4, the hand along with it: the finger itself slides 0.0–0.1 mm:
    # 20 ms, the hand 56 mm onto W = 56.1: 60 + 100·log2(1.998) = 159.9
    before, after = step("3-0-0", "M--", 192), step("4-0-0", "M--", 248)
    assert difficulty(before, after, ms=1000) == 72  # 180 of 250
    assert difficulty(before, after, ms=1000, damped=True) == 36  # of 500


def test_a_hand_in_the_air_has_the_whole_moment() -> None:
    # to open strings, W = 60 mm, D = 100: 60 + 100·log2(2.667) = 201.5
    assert difficulty(OPEN, step("0-0-0", place=200), ms=1000) == 21  # 202 of 1000
    assert difficulty(step("3-0-0", "M--", 100), step("0-0-0", place=200), ms=1000) == 21


def test_no_time_at_all_is_the_most_there_is() -> None:
    hurried = replace(HAND, movement=replace(MOVEMENT, release_percent=0))
    before, after = step("3-0-0", "M--", 192), step("4-0-0", "M--", 248)
    assert difficulty(before, after, hand=hurried) == MOST == 1000
    assert difficulty(before, after, ms=30) == MOST  # 180 of 7 ms
    at_once = replace(HAND, movement=Movement(0, 0, 0, 0, 25, 0))
    assert difficulty(before, after, hand=at_once) == 0


def test_the_greater_of_way_and_stretch_counts() -> None:
    fretted = step("3-0-5", "I-T", 172)
    assert difficulty(fretted, fretted) == 82
    assert difficulty(step("0-0-0", place=172), fretted, ms=5000) == 82
    assert difficulty(step("0-0-0", place=172), fretted, ms=50) > 82


def test_a_bar_is_as_difficult_as_its_most_difficult_moment() -> None:
    choices = [step("3-0-5", "I-T", 172), OPEN, OPEN, step("0-0-0", place=200), OPEN]
    moments = [moment(bar=bar, ms=1000) for bar in (1, 1, 2, 2, 4)]
    # the first is reached for free and stretches; then the hand goes 72 mm back, W = 60:
    # 60 + 100·log2(2.2) = 173.8, less difficult; bar 2 as above; bar 4 back again: 202
    assert bar_difficulties(choices, moments, STANDARD, HAND) == {1: 82, 2: 21, 4: 21}


@pytest.mark.parametrize("ms", [100, 700, 2500])
def test_slower_is_never_more_difficult(ms: int) -> None:
    ways = [
        (OPEN, step("3-0-0", "M--", 192)),
        (step("3-0-5", "I-T", 172), step("4-0-0", "I--", 228)),
    ]
    for before, after in ways:
        assert difficulty(before, after, ms=ms) >= difficulty(before, after, ms=ms + 40)
