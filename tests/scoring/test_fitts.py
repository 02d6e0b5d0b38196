"""Fitts's law against its published form, and whole moves against a plain second reckoning.

MT = a + b·log2(D/W + 1), Shannon form: MacKenzie 1992. The slopes that ``fretboard.hand.Movement``
quotes stand from memory: Fitts 1954 about 100 ms a bit for the arm; Langolf, Chaffin & Foulke 1976
arm 105, wrist 43, finger 26; Balakrishnan & MacKenzie 1997 finger alone about 330.
"""

from math import hypot, log2

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fretboard.fingering import fingerings, open_places
from fretboard.grip import Grip
from fretboard.hand import Movement
from scoring.choice import Choice, Shapes
from scoring.move import OPEN_WIDTH, Move, fitts, tightest_gap
from tests.scoring.passage import ALL, HAND, STANDARD, bill, moment

OFFSETS = (410, 0, -205, -478, -752)
"""Tenths of a mm bridgeward of the index, 205 mm · (3, 0, −1.5, −3.5, −5.5)/15, half to even."""


def ms(distance: int, width: int, a: int, b: int) -> int:
    return int(fitts(np.array([distance]), np.array([width]), a, b)[0])


@pytest.mark.parametrize(
    ("distance", "width", "bits"),
    [(0, 100, 0), (100, 100, 1), (300, 100, 2), (700, 100, 3), (1500, 100, 4), (100, 300, 0.415)],
)
@pytest.mark.parametrize("slope", [26, 43, 45, 100, 105, 330])
def test_the_shannon_form(distance: int, width: int, bits: float, slope: int) -> None:
    # whole bits: D/W + 1 a power of two; log2(4/3) = 0.415
    assert ms(distance, width, 60, slope) == round(60 + slope * bits)


def test_the_index_of_difficulty_of_fittss_own_tapping_task() -> None:
    # Fitts 1954 (memory): targets 0.25 to 2 in wide, 2 to 16 in apart; in his own form
    # log2(2D/W) the hardest has 7 bits; in Shannon form log2(16/0.25 + 1) = 6.02
    assert ms(1600, 25, 0, 1000) == round(1000 * log2(65)) == 6022


@given(st.integers(0, 7000), st.integers(50, 2000), st.integers(0, 500), st.integers(0, 500))
def test_against_the_standard_librarys_logarithm(distance: int, width: int, a: int, b: int) -> None:
    assert abs(ms(distance, width, a, b) - (a + b * log2(distance / width + 1))) <= 0.5001


@given(st.integers(0, 7000), st.integers(1, 500), st.integers(50, 2000), st.integers(1, 500))
def test_further_or_narrower_never_takes_less(
    distance: int, more: int, width: int, wider: int
) -> None:
    assert ms(distance + more, width, 20, 45) >= ms(distance, width, 20, 45)
    assert ms(distance, width + wider, 20, 45) <= ms(distance, width, 20, 45)


def test_the_default_slopes_lie_among_the_published_ones() -> None:
    made = Movement()
    assert 26 <= made.finger_b <= 330
    assert 43 <= made.hand_b <= 330
    assert made.finger_b < made.hand_b  # the smaller limb is the faster in all of them


# A second reckoning of a whole move, finger by finger, without arrays.


def reckon(before: Grip, after: Grip, free: int) -> dict[str, int]:
    """The moving terms of a move on the standard instrument, from the definitions in words."""
    out = dict.fromkeys(
        ("hand-shift", "finger-travel", "finger-slide", "finger-down", "finger-up", "hurry"), 0
    )
    anchored, pressed, gaps = False, [], [OPEN_WIDTH]
    for finger in range(5):
        old = {course for course in range(3) if before.fingers[course] == finger}
        new = {course for course in range(3) if after.fingers[course] == finger}
        was, now = _relative(before, finger, old), _relative(after, finger, new)
        if new:
            fret = after.frets[min(new)]
            gaps.append(STANDARD.gap(min(new), fret))
        if old and not old & new:
            out["finger-up"] += 1
        if not new:
            continue
        if old & new and before.frets[min(old)] == fret:
            anchored = True
            out["finger-down"] += old != new
            continue
        if old & new:
            across, kind = 0, "finger-slide"
        else:
            across = abs(min(old) - min(new)) if old else 1
            kind = "finger-travel"
            out["finger-down"] += 1
        distance = round(hypot(now - was, 160 * across))
        took = round(20 + 45 * log2(distance / gaps[-1] + 1))
        out[kind] += took
        pressed.append(took - (free * 25 // 100 if old else free) * 3 // 4)
    way = abs(after.place - before.place)
    if not anchored and way > 25:
        out["hand-shift"] = round(60 + 100 * log2(10 * way / min(gaps) + 1))
    if pressed:
        out["hurry"] = max(0, out["hand-shift"] + max(pressed))
    return out


def _relative(grip: Grip, finger: int, courses: set[int]) -> int:
    """Tenths of a mm from the hand's place to the finger."""
    if not courses:
        return OFFSETS[finger]
    return STANDARD.along(grip.frets[min(courses)]) - 10 * grip.place


@st.composite
def grips(draw: st.DrawFn) -> Grip:
    frets = tuple(draw(st.sampled_from(STANDARD.frets(c)[:10])) for c in range(3))
    found = fingerings(frets, STANDARD, HAND)
    if not found:
        return Grip((0, 0, 0), (-1,) * 3, draw(st.sampled_from(open_places(STANDARD, 12))))
    return draw(st.sampled_from(found))


@settings(max_examples=120, deadline=None)
@given(grips(), grips(), st.integers(40, 3000))
def test_a_move_is_what_a_second_reckoning_says(before: Grip, after: Grip, free: int) -> None:
    passage = [Choice(before, ALL, "root"), Choice(after, ALL, "root")]
    row = bill(passage, moment(ms=free)).amounts[1]
    assert {name: row.get(name, 0) for name in reckon(before, after, free)} == reckon(
        before, after, free
    )


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(grips(), grips()), min_size=1, max_size=8))
def test_fingers_stay_slide_land_or_lift(pairs: list[tuple[Grip, Grip]]) -> None:
    before, after = (
        Shapes.of([(pair[side], ALL) for pair in pairs], STANDARD, HAND) for side in (0, 1)
    )
    way = Move(before, after, 1000).fingers
    kinds = np.stack([way.stays, way.slides, way.lands]).astype(int)
    assert (kinds.sum(axis=0) == (after.finger_fret >= 0)).all()
    left = np.stack([way.stays, way.slides, way.lifts]).astype(int)
    assert (left.sum(axis=0) == (before.finger_fret >= 0)).all()
    assert (way.ms[way.stays] == 0).all()
    assert (way.ms >= 0).all()


@settings(max_examples=30, deadline=None)
@given(grips())
def test_the_way_back_and_forth_is_free_when_it_is_none(grip: Grip) -> None:
    row = bill([Choice(grip, ALL, "root")] * 2, moment(ms=10)).amounts[1]
    assert not {"hand-shift", "finger-travel", "finger-slide", "finger-down", "hurry"} & set(row)


def test_the_tightest_gap_of_a_shape() -> None:
    rows = [
        (Grip((0, 0, 0), (-1, -1, -1), 100), ALL),
        (Grip((5, 2, 0), (0, 1, -1), 100), ALL),  # frets 3 (30.5 mm) and 1 (74.8)
        (Grip((2, 0, 0), (1, -1, -1), 70), ALL),  # fret 1 is wider than what open strings ask
    ]
    assert tightest_gap(Shapes.of(rows, STANDARD, HAND)).tolist() == [600, 305, 600]
