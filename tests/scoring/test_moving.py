"""Hand work, term by term, in ms worked by hand from millimetres (table in ``passage``).

MT = a + b·log2(D/W + 1) with a = 60, b = 100 for the hand and a = 20, b = 45 for a finger; D the
distance and W the room behind the fret aimed at.
"""

from dataclasses import replace

import pytest

from scoring.evaluate import evaluate
from scoring.weights import Weights
from tests.scoring.passage import ALL, HAND, MOVEMENT, STANDARD, amounts, bill, moment, step

MOVING = ("hand-shift", "finger-travel", "finger-slide", "finger-down", "finger-up", "hurry")
OPEN = step("0-0-0")


def moved(*choices: object, ms: int = 2000, damped: bool = False) -> dict[str, int]:
    """The moving terms of the passage's last move, zeros left out."""
    row = bill(list(choices), moment(ms=ms, damped=damped)).amounts[-1]  # type: ignore[arg-type]
    return {name: row[name] for name in MOVING if name in row}


def test_the_first_shape_is_reached_for_free() -> None:
    first = bill([step("3-3-5", "IIT", 200)]).amounts[0]
    assert not set(MOVING) & set(first)


def test_staying_costs_nothing() -> None:
    assert moved(OPEN, OPEN) == {}
    assert moved(step("3-3-5", "MRT", 200), step("3-3-5", "MRT", 200), ms=50) == {}


# The hand's shift.


def test_the_hand_shifts_onto_the_tightest_new_fret() -> None:
    # from place 100 to 200, D = 100 mm; onto fret 3, W = 30.5: 60 + 100·log2(4.279) = 269.7
    assert moved(OPEN, step("3-0-0", "M--", 200))["hand-shift"] == 270
    # fret 6+ (W = 21.6) with fret 4 (W = 56.1): the tighter counts: 60 + 100·log2(5.630) = 309.3
    assert moved(OPEN, step("0-4-6+", "-MT", 200))["hand-shift"] == 309
    # to open strings, W = 60 mm: 60 + 100·log2(2.667) = 201.5
    assert moved(OPEN, step("0-0-0", place=200)) == {"hand-shift": 202}


def test_a_shift_back_is_aimed_at_what_it_comes_to() -> None:
    back = moved(step("3-0-0", "M--", 200), OPEN)
    assert back["hand-shift"] == 202  # as above, W = 60 mm, not fret 3's


@pytest.mark.parametrize(
    ("place", "ms"),
    [
        (100, 0),
        (120, 0),
        (125, 0),  # the fingers give 25 mm
        (126, 112),  # 60 + 100·log2(26/60 + 1) = 111.9
        (75, 0),
        (74, 112),
    ],
)
def test_the_fingers_give_before_the_hand_must_move(place: int, ms: int) -> None:
    assert amounts("hand-shift", [OPEN, step("0-0-0", place=place)]) == [0, ms]


def test_a_finger_that_stays_on_its_fret_anchors_the_hand() -> None:
    # middle finger stays on bass fret 3; thumb comes down on melody fret 5; the place tells 60 mm
    pivot = moved(step("3-0-0", "M--", 190), step("3-0-5", "M-T", 250))
    assert "hand-shift" not in pivot
    assert pivot["finger-down"] == 1
    # another finger takes the same fret: nothing anchors
    assert moved(step("3-0-0", "M--", 190), step("3-0-5", "R-T", 250))["hand-shift"] > 0


def test_a_finger_that_slides_does_not_anchor() -> None:
    # 190 to 250, D = 60 mm, W = 56.1: 60 + 100·log2(2.070) = 164.9
    assert moved(step("3-0-0", "M--", 190), step("4-0-0", "M--", 250))["hand-shift"] == 165


# What fingers do.


def test_a_finger_lands_from_where_it_hovers_one_string_off() -> None:
    # M hovers 20.5 mm nutward of place 190, so at 169.5; fret 3 at 172.0: 2.5 along, 16 across,
    # D = 16.2, W = 30.5: 20 + 45·log2(1.531) = 47.6
    assert moved(step("0-0-0", place=190), step("3-0-0", "M--", 190)) == {
        "finger-travel": 48,
        "finger-down": 1,
    }


def test_a_finger_that_changes_string_travels_across() -> None:
    # index from the middle to the melody string at fret 1: D = 16, W = 74.8: 20 + 45·log2(1.214)
    assert moved(step("0-1-0", "-I-", 70), step("0-0-1", "--I", 70)) == {
        "finger-travel": 33,
        "finger-down": 1,
        "finger-up": 1,
    }
    # from the bass: D = 32: 20 + 45·log2(1.428) = 43.1
    assert moved(step("1-0-0", "I--", 70), step("0-0-1", "--I", 70))["finger-travel"] == 43


def test_a_finger_that_keeps_its_string_slides() -> None:
    # fret 3 to fret 4, the hand still: D = 56.1 = W: 20 + 45·log2(2) = 65; neither up nor down
    assert moved(step("3-0-0", "M--", 190), step("4-0-0", "M--", 190)) == {"finger-slide": 65}


def test_a_whole_shape_slides_in_one_movement() -> None:
    # 3-3-5 to 4-4-6 with M R T: 172.0 → 228.1 and thumb 278.0 → 300.9; places 200 → 250.
    # the hand: D = 50, W = 22.9: 60 + 100·log2(3.183) = 227.0
    # M and R, relative to the hand 56.1 − 50 = 6.1 mm, W = 56.1: 20 + 45·log2(1.109) = 26.7 each
    # T: 22.9 − 50 = −27.1 mm, W = 22.9: 20 + 45·log2(2.183) = 70.7
    assert moved(step("3-3-5", "MRT", 200), step("4-4-6", "MRT", 250), ms=4000) == {
        "hand-shift": 227,
        "finger-slide": 27 + 27 + 71,
    }


def test_a_lifted_finger_costs_a_lift_and_no_travel() -> None:
    assert moved(step("3-0-0", "M--", 190), step("0-0-0", place=190)) == {"finger-up": 1}
    assert moved(step("3-3-5", "MRT", 200), step("0-0-0", place=200)) == {"finger-up": 3}
    assert moved(step("3-3-5", "IIT", 200), step("0-0-0", place=200)) == {"finger-up": 2}


def test_a_bar_comes_down_as_one_finger() -> None:
    barred = moved(step("0-0-0", place=170), step("3-3-0", "II-", 170))
    # I at 170, fret 3 at 172.0: 2.0 along, 16 across, W = 30.5: 20 + 45·log2(1.529) = 47.6
    assert barred == {"finger-travel": 48, "finger-down": 1}
    assert moved(step("0-0-0", place=170), step("3-3-0", "IM-", 170))["finger-down"] == 2


def test_a_bar_that_widens_or_narrows_is_rolled_down_anew() -> None:
    assert moved(step("0-3-0", "-I-", 170), step("3-3-0", "II-", 170)) == {"finger-down": 1}
    assert moved(step("3-3-0", "II-", 170), step("0-3-0", "-I-", 170)) == {"finger-down": 1}
    assert moved(step("3-3-0", "II-", 170), step("3-3-0", "II-", 170)) == {}


def test_swapping_fingers_on_one_fret_is_a_lift_and_a_landing() -> None:
    swapped = moved(step("3-0-0", "M--", 190), step("3-0-0", "R--", 190))
    # R hovers at 190 − 47.8 = 142.2: 29.8 along, 16 across, D = 33.8, W = 30.5: 20 + 45·log2(2.109)
    assert swapped == {"finger-travel": 68, "finger-down": 1, "finger-up": 1}


# Hurry: what the most pressed finger, the hand's shift before it, needs beyond three quarters
# of its free time.


@pytest.mark.parametrize(
    ("ms", "hurry"),
    [
        # the slide 3 → 4 above takes 65 ms; the finger held its note, so it has a quarter of it
        (2000, 0),
        (348, 0),  # a quarter is 87, three quarters of that 65.25
        (347, 1),  # 86 whole ms, three quarters 64
        (200, 28),  # 50, three quarters 37
        (40, 58),  # 10, three quarters 7
    ],
)
def test_a_finger_that_held_its_note_has_only_the_release(ms: int, hurry: int) -> None:
    assert moved(step("3-0-0", "M--", 190), step("4-0-0", "M--", 190), ms=ms).get(
        "hurry", 0
    ) == hurry  # fmt: skip


@pytest.mark.parametrize(("ms", "hurry"), [(65, 0), (64, 0), (63, 1), (50, 11)])
def test_a_finger_that_was_up_has_the_whole_moment(ms: int, hurry: int) -> None:
    # landing from the air on fret 3 takes 48 ms (above); three quarters of 64 are 48
    row = moved(step("0-0-0", place=190), step("3-0-0", "M--", 190), ms=ms)
    assert row.get("hurry", 0) == hurry


def test_the_hands_shift_presses_the_finger_that_waits_for_it() -> None:
    # hand 165 ms and slide: 56.1 − 60 = −3.9 mm, W = 56.1: 20 + 45·log2(1.070) = 24.4 ms;
    # of 800 ms a quarter is 200, three quarters 150: 165 + 24 − 150 = 39
    row = moved(step("3-0-0", "M--", 190), step("4-0-0", "M--", 250), ms=800)
    assert row == {"hand-shift": 165, "finger-slide": 24, "hurry": 39}


def test_the_most_pressed_finger_counts_not_the_sum() -> None:
    # M slides (65 ms, of 240 has 60, three quarters 45: 20 over); T lands from the air with 240,
    # three quarters 180: none over
    row = moved(step("3-0-0", "M--", 190), step("4-0-5", "M-T", 190), ms=240)
    assert row["hurry"] == 20


def test_a_damped_bass_note_sets_its_finger_free_at_half_time() -> None:
    slide = step("3-0-0", "M--", 190), step("4-0-0", "M--", 190)
    assert moved(*slide, ms=174, damped=True).get("hurry", 0) == 0  # half is 87: 65
    assert moved(*slide, ms=160, damped=True)["hurry"] == 65 - 60
    assert moved(*slide, ms=160)["hurry"] == 65 - 30
    # the other strings are not damped
    upper = step("0-3-0", "-M-", 190), step("0-4-0", "-M-", 190)
    assert moved(*upper, ms=200, damped=True) == moved(*upper, ms=200)


def test_damping_never_takes_time_away() -> None:
    # a player who leaves her notes at three quarters has that also under the palm
    early = replace(HAND, movement=replace(MOVEMENT, release_percent=75))
    slide = [step("3-0-0", "M--", 190), step("4-0-0", "M--", 190)]
    for ms in (100, 200):
        free = amounts("hurry", slide, moment(ms=ms), early)
        assert amounts("hurry", slide, moment(ms=ms, damped=True), early) <= free


def test_a_hand_whose_fingers_do_not_move_is_not_hurried() -> None:
    assert moved(OPEN, step("0-0-0", place=300), ms=10).keys() == {"hand-shift"}
    assert moved(step("3-0-0", "M--", 190), step("0-0-0", place=190), ms=10) == {"finger-up": 1}


def test_open_strings_do_not_teleport_the_hand() -> None:
    # a hand without a finger down still is somewhere, so 3-1-0, 0-0-0, 5-5-7 must not be free;
    # from 100 to 300 mm the fingers give 25, at least 175 are left: 60 + 100·log2(175/60 + 1) = 257
    low, high = step("3-1-0", "TI-", 100), step("5-5-7", "MRT", 300)
    ways = {
        place: sum(amounts("hand-shift", [low, step("0-0-0", place=place), high]))
        for place in range(0, 400, 5)
    }
    assert min(ways.values()) == ways[275] == 257
    # the hand that waits over the coming frets comes cheaper than one that comes at the last moment
    assert ways[275] < ways[100] == sum(amounts("hand-shift", [low, high]))


def test_the_length_of_a_move_is_that_of_the_moment_it_leaves() -> None:
    slide = [step("3-0-0", "M--", 190), step("4-0-0", "M--", 190)]
    slow, fast = moment(ms=2000), moment(ms=240)
    assert amounts("hurry", slide, [fast, slow]) == [0, 20]
    assert amounts("hurry", slide, [slow, fast]) == [0, 0]


def test_a_fret_under_one_string_only_narrows_a_bars_target() -> None:
    # 1+ under the melody string alone: fret 2 has 141.5 − 109.1 = 32.4 mm there, 66.7 elsewhere;
    # index from the air, place 140: 1.5 along, 16 across, D = 16.1
    courses = list(STANDARD.courses)
    courses[2] = replace(courses[2], frets=(2, 3, *courses[2].frets[1:]))
    partial = replace(STANDARD, courses=tuple(courses))
    start = step("0-0-0", place=140)
    for shape, fingers, ms in (
        ("2-2-0", "II-", 34),  # 20 + 45·log2(16.1/66.7 + 1) = 34.0
        ("2-2-2", "III", 46),  # 20 + 45·log2(16.1/32.4 + 1) = 46.2
    ):
        choices, moments = [start, step(shape, fingers, 140)], [moment()] * 2
        got = evaluate(choices, moments, partial, HAND, Weights()).amounts[1]
        assert got["finger-travel"] == ms


def test_all_strings_are_played_in_these_passages() -> None:
    assert moment().plays == ALL  # so that nothing above hides behind a silent string
