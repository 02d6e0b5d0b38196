"""A noter's slide along its string: one aimed movement, hand and stick together.

Held to Fitts 1954 (tapping to and fro with a stylus of one ounce) and Fitts & Peterson 1964 (single
aimed movements), both from memory; that the figures of 1954 are remembered rightly shows in that
they give the published regression. The instrument's millimetres are worked out here anew.
"""

from itertools import combinations, pairwise, permutations
from math import log2

import numpy as np
import pytest

from fretboard.fingering import fingerings
from fretboard.frets import fret_semitones
from fretboard.grip import Grip
from fretboard.hand import Hand, Movement
from fretboard.presets import hand
from scoring.choice import Shapes
from scoring.counts import shifts
from scoring.move import Move
from scoring.terms import FINGER_TERMS, HAND_TERMS
from tests.scoring.passage import ALL, HAND, STANDARD

NOTER = hand("noter")
SLIDE_A, SLIDE_B = 20, 74
LABELS = ["1", "2", "3", "4", "5", "6", "6+", "7", "8", "9", "10", "11", "12", "13"]
FRETS = [fret_semitones(label) for label in LABELS]
STEPS = list(pairwise(FRETS)) + [(high, low) for low, high in pairwise(FRETS)]

TAPPING = {
    0.25: (392, 484, 580, 731),
    0.5: (281, 372, 469, 595),
    1: (212, 260, 357, 481),
    2: (180, 203, 279, 388),
}
"""Fitts 1954, table 1: width of the targets in inches → ms a movement, 2, 4, 8, 16 inches apart."""
TAPPED = [(2.0 * 2**n, wide, ms) for wide, row in TAPPING.items() for n, ms in enumerate(row)]


def along(fret: int) -> float:
    """mm from the nut."""
    return float(685.8 * (1 - 2 ** (-fret / 12)))


def gap(fret: int) -> float:
    """mm behind a fret, back to the next one on the string."""
    below = max((other for other in (0, *FRETS) if other < fret), default=0)
    return along(fret) - along(below)


def at(fret: int) -> Grip:
    (grip,) = fingerings((0, 0, fret), STANDARD, NOTER)
    return grip


def move(before: Grip, after: Grip, left=NOTER, ms: int = 1000) -> Move:
    shapes = (Shapes.of([(grip, ALL)], STANDARD, left) for grip in (before, after))
    return Move(*shapes, ms)


def takes(before: Grip, after: Grip, left=NOTER) -> int:
    """ms of hand and finger together."""
    made = move(before, after, left)
    return int(made.whole.ms[0]) + int(made.fingers.ms[0].max())


def slide(before: int, after: int) -> int:
    return takes(at(before), at(after))


def test_the_remembered_table_gives_the_published_regression() -> None:
    # Fitts 1954 as reanalysed in MacKenzie 1992 (memory): MT = 12.8 + 94.7·log2(2A/W), r = .9831
    bits = [log2(2 * apart / wide) for apart, wide, _ in TAPPED]
    times = [ms for *_, ms in TAPPED]
    slope, start = np.polyfit(bits, times, 1)
    assert (round(float(start), 1), round(float(slope), 1)) == (12.8, 94.7)
    assert round(float(np.corrcoef(bits, times)[0, 1]), 4) == 0.9831


@pytest.mark.parametrize(("apart", "wide", "ms"), TAPPED)
def test_a_shift_of_the_hand_takes_what_tapping_takes(apart: float, wide: float, ms: int) -> None:
    # both are lifted and put down
    made = Movement()
    shift = made.hand_a + made.hand_b * log2(apart / wide + 1)
    assert abs(shift - ms) <= 0.13 * ms
    # a slide is neither, nor does it rest on its target between two movements
    assert SLIDE_A + SLIDE_B * log2(apart / wide + 1) < ms


@pytest.mark.parametrize("apart", [3, 6, 12])
@pytest.mark.parametrize("wide", [0.125, 0.25, 0.5, 1])
def test_a_slide_is_no_quicker_than_single_movements_were(apart: float, wide: float) -> None:
    # Fitts & Peterson 1964 (memory), amplitudes and widths in inches: −70.6 + 74.2·log2(2A/W)
    theirs = -70.6 + 74.2 * log2(2 * apart / wide)
    ours = SLIDE_A + SLIDE_B * log2(apart / wide + 1)
    assert theirs <= ours <= 1.4 * theirs


@pytest.mark.parametrize(("before", "after"), list(permutations(FRETS, 2)))
def test_a_slide_is_one_movement_from_fret_to_fret(before: int, after: int) -> None:
    expected = SLIDE_A + SLIDE_B * log2(abs(along(after) - along(before)) / gap(after) + 1)
    made = move(at(before), at(after))
    assert abs(int(made.fingers.ms[0, 0]) - expected) <= 1  # distances are kept in tenths of a mm
    assert made.whole.ms.tolist() == [0]
    assert shifts(made).tolist() == [False]
    terms = {t.about.name: int(t.amount(made.fingers).sum()) for t in FINGER_TERMS}
    terms |= {t.about.name: int(t.amount(made.whole)[0]) for t in HAND_TERMS}
    assert {name for name, amount in terms.items() if amount} == {"finger-slide"}


@pytest.mark.parametrize("target", FRETS)
def test_a_longer_slide_onto_a_fret_never_takes_less_time(target: int) -> None:
    for side in (sorted(f for f in FRETS if f < target), [f for f in FRETS if f > target]):
        near_first = sorted(side, key=lambda fret: abs(fret - target))
        times = [slide(fret, target) for fret in near_first]
        assert times == sorted(times)
        assert all(time > 0 for time in times)


def test_counted_in_two_parts_a_slide_of_two_centimetres_took_no_time() -> None:
    """What the constants of its own mend: 6+ to 7 within what a hand's fingers give, and the
    stick, to the centimetre, taken along by the hand."""
    parts = Hand(noter=True)
    sixth, seventh, eighth = (at(fret_semitones(label)) for label in ("6+", "7", "8"))
    assert takes(sixth, seventh, parts) == 0
    assert takes(seventh, eighth, parts) > 180
    assert takes(sixth, seventh) == takes(seventh, eighth) == SLIDE_A + SLIDE_B  # both D = W


@pytest.mark.parametrize(("before", "after"), STEPS)
def test_a_step_takes_no_longer_than_a_hand_that_lifts_one_finger_and_puts_down_another(
    before: int, after: int
) -> None:
    """Where the hand must go along, so that the other finger lies no nearer than the first did. A
    finger that lies ready has only to come down and is quicker than any slide."""
    carried = [
        takes(one, other, HAND)
        for one in fingerings((0, 0, before), STANDARD, HAND)
        for other in fingerings((0, 0, after), STANDARD, HAND)
        if one.fingers != other.fingers and move(one, other, HAND).whole.ms[0] > 0
    ]
    assert carried
    assert slide(before, after) <= min(carried)


def test_a_noter_comes_down_where_the_hand_is() -> None:
    # over fret 3, a string's width off: D = 16, W = 30.5: 20 + 45·log2(1.525) = 47.4
    lifted = Grip((0, 0, 0), (-1, -1, -1), 170)
    assert takes(lifted, at(fret_semitones("3"))) == 47
    # the hand comes from 100, W = 30.5: D = 70: 60 + 100·log2(3.295) = 232.0
    far = move(Grip((0, 0, 0), (-1, -1, -1), 100), at(fret_semitones("3")))
    assert (far.whole.ms.tolist(), shifts(far).tolist()) == ([232], [True])


def test_staying_is_free_and_lifting_takes_no_time() -> None:
    for fret in FRETS:
        assert slide(fret, fret) == 0
        assert takes(at(fret), Grip((0, 0, 0), (-1, -1, -1), at(fret).place)) == 0


def test_the_whole_moment_is_there_for_a_slide() -> None:
    for low, high in combinations(FRETS[:6], 2):
        assert move(at(low), at(high)).fingers.free(640, False)[0, 0] == 640
