"""Shifts, bars and passing notes, counted by hand; millimetres are in ``passage``."""

import numpy as np
import pytest

from scoring.choice import ROLE_CODE, Shapes
from scoring.counts import barred, barred_anew, passing, shifts
from scoring.moment import ROLES
from scoring.move import Move
from tests.scoring.passage import HAND, STANDARD, step

OPEN = step("0-0-0")


def shapes(*choices) -> Shapes:
    return Shapes.of([(choice.grip, choice.struck) for choice in choices], STANDARD, HAND)


def move(*pairs) -> Move:
    befores, afters = zip(*pairs, strict=True)
    return Move(shapes(*befores), shapes(*afters), 2000)


def test_a_hand_shifts_beyond_what_the_fingers_give() -> None:
    ways = [(OPEN, step("0-0-0", place=place)) for place in (100, 125, 126, 75, 74, 300)]
    # the fingers give 25 mm
    assert shifts(move(*ways)).tolist() == [False, False, True, False, True, True]


def test_a_finger_that_stays_anchors_the_hand() -> None:
    fretted = step("3-0-0", "M--", 190)
    ways = [
        (fretted, step("3-0-5", "M-T", 250)),  # the middle finger stays
        (fretted, step("3-0-5", "R-T", 250)),  # the ring finger takes its place
        (fretted, step("4-0-0", "M--", 250)),  # it slides
        (step("3-3-5", "MMT", 190), step("3-0-5", "M-T", 250)),  # it stays on one of its strings
    ]
    assert shifts(move(*ways)).tolist() == [False, True, True, False]


def test_a_finger_across_strings_is_a_bar() -> None:
    rows = shapes(
        OPEN,
        step("3-3-5", "IIT"),
        step("3-3-3", "III"),
        step("3-3-3", "IMM"),
        step("3-3-5", "IMT"),
        step("3-0-3", "M-M"),
        step("x-0-3", "--M"),
    )
    assert barred(rows).tolist() == [False, True, True, True, False, True, False]


@pytest.mark.parametrize(
    ("before", "after", "anew"),
    [
        pytest.param(step("0-0-0"), step("3-3-3", "III"), True, id="laid down"),
        pytest.param(step("3-3-3", "III"), step("3-3-3", "III"), False, id="stays"),
        pytest.param(step("3-3-3", "III"), step("3-3-5", "IIT"), False, id="narrows"),
        pytest.param(step("3-3-5", "IIT"), step("3-3-3", "III"), False, id="widens"),
        pytest.param(step("3-0-0", "I--"), step("3-3-0", "II-"), True, id="laid across others"),
        pytest.param(step("3-3-0", "II-"), step("4-4-0", "II-"), True, id="at another fret"),
        pytest.param(step("3-3-0", "II-"), step("0-3-3", "-II"), False, id="over, at the fret"),
        pytest.param(step("3-3-0", "II-"), step("3-3-0", "MM-"), True, id="with another finger"),
        pytest.param(step("3-3-5", "MMT"), step("3-3-0", "MM-"), False, id="another finger lifts"),
        pytest.param(step("3-3-3", "III"), step("3-0-5", "I-T"), False, id="no bar any more"),
    ],
)
def test_a_bar_is_laid_anew(before, after, anew: bool) -> None:
    assert barred_anew(move((before, after))).tolist() == [anew]


def test_only_passing_notes_are_passing() -> None:
    codes = np.array([-1, *(ROLE_CODE[role] for role in ROLES)], np.int32)
    told = dict(zip(["none", *ROLES], passing(codes).tolist(), strict=True))
    assert [role for role, yes in told.items() if yes] == ["passing"]
