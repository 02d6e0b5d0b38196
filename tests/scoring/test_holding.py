"""What holding a shape costs, worked by hand in mm (table in ``passage``).

Reach is a preference, not medical advice.
"""

import pytest

from fretboard.hand import Hand
from fretboard.presets import instrument
from scoring.choice import Choice
from scoring.evaluate import evaluate
from scoring.weights import Weights
from tests.scoring.passage import HAND, amounts, moment, step


def held(name: str, shape: str, fingers: str, hand: Hand = HAND) -> int:
    """One term's amount for a single shape."""
    return amounts(name, [step(shape, fingers)], hand=hand)[0]


# Stretch: mm beyond comfort, counted up, summed over pairs.


@pytest.mark.parametrize(
    ("comfortable", "mm"),
    [(1566, 0), (1565, 1), (1557, 1), (1556, 1), (1555, 2), (1466, 10), (0, 157)],
)
def test_stretch_counts_whole_mm_up(comfortable: int, mm: int) -> None:
    # thumb on melody fret 4 (228.1), middle on bass fret 1 (74.8): 153.3 along, 32 across: 156.6
    hand = Hand(comfortable={(0, 2): comfortable})
    assert held("stretch", "1-0-4", "M-T", hand) == mm


def test_stretch_is_summed_over_pairs() -> None:
    # 1-2-4 with M I T: fret 1 at 74.8, 2 at 141.5, 4 at 228.1
    # M–T hypot(153.3, 32) = 156.6, M–I hypot(66.7, 16) = 68.6, I–T hypot(86.6, 16) = 88.1
    hand = Hand(comfortable={(0, 2): 1500, (1, 2): 600, (0, 1): 880})
    assert held("stretch", "1-2-4", "MIT", hand) == 7 + 9 + 1


def test_no_stretch_within_comfort_or_with_one_finger() -> None:
    assert held("stretch", "3-1-0", "TI-") == 0  # 98.5 mm; T–I is comfortable up to 109.3
    strict = Hand(comfortable=dict.fromkeys(HAND.comfortable, 0))
    assert held("stretch", "0-0-0", "---", strict) == 0
    assert held("stretch", "7-0-0", "T--", strict) == 0
    assert held("stretch", "3-3-3", "III", strict) == 0  # a bar is one finger


def test_a_bar_is_as_far_away_as_its_furthest_string() -> None:
    # index across bass and middle at fret 3 (172.0), thumb on melody fret 5 (278.0): 106.0 along;
    # from the bass string 32 across: 110.7 (from the middle it were 107.2)
    assert held("stretch", "3-3-5", "IIT", Hand(comfortable={(0, 1): 1072})) == 4
    assert held("stretch", "3-3-5", "IIT", Hand(comfortable={(0, 1): 1107})) == 0


# Far stretch: mm beyond nine tenths of the greatest, counted up, summed over pairs.


@pytest.mark.parametrize(
    ("greatest", "mm"),
    [(1740, 0), (1739, 1), (1729, 1), (1728, 2), (1640, 9), (1566, 16)],
)
def test_far_stretch_counts_whole_mm_up_from_nine_tenths(greatest: int, mm: int) -> None:
    # M–T 156.6 mm as above; nine tenths of 174.0 are 156.6, of 172.9 155.61, of 172.8 155.52
    hand = Hand(greatest={(0, 2): greatest})
    assert held("far-stretch", "1-0-4", "M-T", hand) == mm


def test_far_stretch_is_summed_over_pairs_and_needs_two_fingers() -> None:
    # M–T 156.6 of 170.0: 3.6; M–I 68.6 of 72.0: 3.8; I–T 88.1 of 97.0: 0.8
    hand = Hand(greatest={(0, 2): 1700, (1, 2): 720, (0, 1): 970}, comfortable={(0, 1): 900})
    assert held("far-stretch", "1-2-4", "MIT", hand) == 4 + 4 + 1
    assert held("far-stretch", "3-1-0", "TI-") == 0  # 98.5 mm of 136.6
    for shape, fingers in (("7-0-0", "T--"), ("3-3-3", "III")):
        assert held("far-stretch", shape, fingers, Hand(span_mm=120)) == 0


# Cramp: 12 mm for each idle finger between two that are down.


@pytest.mark.parametrize(
    ("shape", "fingers", "mm"),
    [
        ("1-0-1", "T-I", 0),  # neighbours: none between
        ("1-0-1", "T-M", 12),  # one idle finger, no room at all
        ("1-0-1", "T-R", 24),
        ("1-0-1", "T-P", 36),
        ("1-0-1", "I-P", 24),
        ("9-0-10", "M-T", 0),  # frets 9 and 10 lie 413.6 and 428.9 from the nut: 15.3 ≥ 12
        ("9-0-10", "R-T", 9),  # two idle fingers want 24: 8.7, counted up
        ("6-0-6+", "P-T", 15),  # 300.9 and 322.5: 21.6 of 36
        ("1-1-1", "RIT", 12),  # T–I none, I–R one; T–R has the index down between
        ("1-1-1", "PMT", 24),  # T–M one, M–P one
        ("1-3-1", "RTP", 0),  # R–P neighbours; T is 97 mm away
        ("3-3-5", "IIT", 0),
        ("0-0-0", "---", 0),
        ("0-0-3", "--P", 0),
    ],
)
def test_cramp(shape: str, fingers: str, mm: int) -> None:
    assert held("cramp", shape, fingers) == mm


# Bars and strings that a finger is used to.


@pytest.mark.parametrize(
    ("shape", "fingers", "count"),
    [
        ("3-3-5", "MRT", 0),
        ("3-3-5", "IIT", 1),
        ("5-5-5", "III", 1),
        ("3-5-3", "ITI", 1),
        ("3-x-3", "I-I", 1),
        ("0-0-0", "---", 0),
        ("x-x-3", "--T", 0),
    ],
)
def test_barred_fingers(shape: str, fingers: str, count: int) -> None:
    assert held("barred", shape, fingers) == count


def test_two_bars_are_counted_twice() -> None:
    four = instrument("four-equidistant")
    choices = [step("3-3-5-5", "MMII")]
    assert choices[0].grip.fingers == (2, 2, 1, 1)
    wide = moment(strikes=((True,) * 4,), plays=(True,) * 4)
    assert evaluate(choices, [wide], four, HAND, Weights()).amounts[0]["barred"] == 2


@pytest.mark.parametrize(
    ("finger", "bass", "middle", "melody"),
    [("T", 0, 1, 0), ("I", 1, 0, 0), ("M", 0, 0, 1), ("R", 0, 0, 1), ("P", 1, 1, 0)],
)
def test_fingers_and_the_strings_they_are_used_to(
    finger: str, bass: int, middle: int, melody: int
) -> None:
    # "This Thing Has 4 Strings!" (bass = middle, middle = index, melody = thumb or little finger)
    # and the ring finger beside the middle one, the thumb on the bass ("Finger Positions"): C
    assert held("unaccustomed-finger", "1-0-0", f"{finger}--") == bass
    assert held("unaccustomed-finger", "0-1-0", f"-{finger}-") == middle
    assert held("unaccustomed-finger", "0-0-1", f"--{finger}") == melody


def test_unused_fingers_are_counted_string_by_string() -> None:
    assert held("unaccustomed-finger", "3-3-3", "III") == 1
    assert held("unaccustomed-finger", "3-3-5", "MRT") == 0
    assert held("unaccustomed-finger", "1-1-1", "PTM") == 3
    assert held("unaccustomed-finger", "0-0-0", "---") == 0


def test_both_inner_strings_of_four_are_inner() -> None:
    four, wide = instrument("four-equidistant"), moment(strikes=((True,) * 4,), plays=(True,) * 4)

    def count(choice: Choice) -> int:
        row = evaluate([choice], [wide], four, HAND, Weights()).amounts[0]
        return row.get("unaccustomed-finger", 0)

    assert [count(step("0-0-1-0", f"--{f}-")) for f in "TIMRP"] == [1, 0, 0, 0, 1]
    assert [count(step("0-1-0-0", f"-{f}--")) for f in "TIMRP"] == [1, 0, 0, 0, 1]
    assert [count(step("0-0-0-1", f"---{f}")) for f in "TIMRP"] == [0, 0, 1, 1, 0]
