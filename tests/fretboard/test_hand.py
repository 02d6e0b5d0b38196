"""The hand: reach from one span, what fingers may do, and hand files.

A reach setting is a preference, not medical advice. Figures of Parncutt et al. 1997 and of the
movement studies stand from memory, as in ``fretboard.hand``.
"""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fretboard.errors import FretboardError
from fretboard.hand import CAUTION, FINGERS, MEASURE, Hand, Movement
from fretboard.presets import hand, hands

DATA = Path(__file__).parents[2] / "fretboard" / "data" / "hands"


def test_the_widest_reach_is_the_span_itself() -> None:
    made = hand("190mm")
    assert made.span_mm == 190
    assert made.greatest[0, 4] == 1900
    assert max(made.greatest.values()) == 1900


@pytest.mark.parametrize(
    ("pair", "comfortable", "greatest"),
    [("TI", 8, 10), ("TP", 13, 15), ("IM", 3, 5), ("IR", 5, 7), ("MR", 2, 4), ("RP", 3, 5)],
)
def test_reach_has_the_proportions_of_the_piano_table(
    pair: str, comfortable: int, greatest: int
) -> None:
    # Parncutt et al. 1997, comfortable and practical spans in semitones, from memory; a hand of
    # 150 mm makes a semitone of the table a centimetre
    made = hand(150)
    fingers = FINGERS.index(pair[0]), FINGERS.index(pair[1])
    assert made.comfortable[fingers] == 100 * comfortable
    assert made.greatest[fingers] == 100 * greatest


def test_comfort_is_about_two_thirds_of_the_greatest_stretch() -> None:
    # Boyle, Boyle & Booker 2015: about two thirds; the table's pairs lie around that
    made = hand()
    shares = [made.comfortable[pair] / made.greatest[pair] for pair in made.greatest]
    assert 0.6 < sum(shares) / len(shares) < 0.8


def test_presets_stand_about_the_measured_means() -> None:
    # Boyle, Boyle & Booker 2015: women 201 mm, men about 226 mm
    assert [hand(name).span_mm for name in ("small", "medium", "large")] == [180, 205, 230]
    assert abs(hand("medium").span_mm - 201) <= 5
    assert abs(hand("large").span_mm - 226) <= 5


def test_the_beginner_keeps_the_little_finger_out_and_lays_none_across() -> None:
    made = hand("beginner")
    assert made.fingers == (0, 1, 2, 3)
    assert not any(made.bars(finger) for finger in range(5))
    assert hand("medium").fingers == (0, 1, 2, 3, 4)
    assert [made for made in range(5) if hand("medium").bars(made)] == [1, 2, 3]


def test_the_beginner_reaches_less_and_takes_more_time() -> None:
    """85 % of the reach that the span gives, to the mm, and half as long again (common practice, no
    source)."""
    made, usual = hand("beginner"), hand("medium")
    for table, whole in ((made.comfortable, usual.comfortable), (made.greatest, usual.greatest)):
        for pair, reach in table.items():
            share = 1 if 4 in pair else 0.85
            assert abs(reach - share * whole[pair]) <= 10, pair
    for name in ("hand_a", "hand_b", "finger_a", "finger_b"):
        slower = getattr(made.movement, name) / getattr(usual.movement, name)
        assert 1.5 <= slower <= 1.6


def test_what_a_hand_file_leaves_out_is_as_in_the_medium_hand(tmp_path: Path) -> None:
    empty = tmp_path / "medium.toml"
    empty.write_text("")
    assert hand(str(empty)) == hand("medium") == Hand()


def test_the_medium_file_shows_the_movement_that_is_the_default() -> None:
    assert "hand_b = 100" in (DATA / "medium.toml").read_text(encoding="utf-8")
    assert hand("medium").movement == Movement()


def test_the_caution_stands_where_reach_is_set() -> None:
    assert "not medical advice" in CAUTION
    caution = "preference, not medical advice: warm up, rest, stop if anything hurts"
    files = sorted(DATA.glob("*.toml"))
    assert [file.stem for file in files] == [
        "beginner", "large", "medium", "noter", "small", "thumb-off-bass",
    ]  # fmt: skip
    for file in files:
        assert caution in file.read_text(encoding="utf-8")
    assert "preference, not medical advice" in " ".join((hands.__doc__ or "").split())


def test_a_hand_file_says_everything(tmp_path: Path) -> None:
    file = tmp_path / "harrow-lane.toml"
    file.write_text(
        'meaning = "a pupil of the Harrow Lane class"\n'
        'span = "7.5in"\nmay_bar = "R"\nnot_used = "T"\n'
        "[movement]\nhand_b = 105\nfinger_b = 26\nrelease_percent = 30\n"
        '[comfortable]\n"T-I" = 80\n[greatest]\n"T-I" = 90.5\n"I-M" = 70\n'
    )
    made = hand(str(file))
    assert (made.name, made.span_mm) == ("harrow-lane", 190)  # 7.5 in are 190.5 mm
    assert made.fingers == (1, 2, 3, 4)
    assert [finger for finger in range(5) if made.bars(finger)] == [3]
    assert made.movement == Movement(hand_b=105, finger_b=26, release_percent=30)
    assert made.comfortable[0, 1] == 800
    assert (made.greatest[0, 1], made.greatest[1, 2]) == (905, 700)
    assert made.comfortable[2, 3] == hand(190).comfortable[2, 3]


@pytest.mark.parametrize(
    "typed", [190, "190", " 190 ", "190mm", "190 mm", "19cm", "span=190", "span = 190mm", "7.48in"]
)
def test_a_measured_span_in_many_writings(typed: str | int) -> None:
    assert hand(typed) == Hand(name="span 190 mm", span_mm=190)


@given(st.integers(120, 319))
def test_a_longer_span_never_reaches_less(span: int) -> None:
    shorter, longer = hand(span), hand(span + 1)
    for pair, reach in shorter.greatest.items():
        assert shorter.comfortable[pair] <= reach <= longer.greatest[pair]
        assert shorter.comfortable[pair] <= longer.comfortable[pair]


@given(st.integers(120, 320))
def test_relaxed_fingers_lie_in_order_from_bridge_to_nut(span: int) -> None:
    offsets = [hand(span).offset(finger) for finger in range(5)]
    assert offsets == sorted(offsets, reverse=True)
    assert len(set(offsets)) == 5
    assert offsets[1] == 0


@pytest.mark.parametrize(
    ("settings", "says"),
    [
        ({"span_mm": 100}, "120 to 320 mm from thumb to little finger, not 100"),
        ({"may_bar": "IX"}, "may_bar takes letters out of T I M R P"),
        ({"not_used": "PP"}, "not_used takes letters out of T I M R P, once each"),
        ({"not_used": "TIMRP"}, "leaves no finger to play with"),
        ({"comfortable": {(1, 0): 100}}, "names a pair of fingers that is none"),
        ({"comfortable": {(0, 1): 9000}}, "comfortable T-I exceeds its greatest"),
    ],
)
def test_a_hand_that_cannot_be(settings: dict[str, object], says: str) -> None:
    with pytest.raises(FretboardError) as caught:
        Hand(**settings)  # type: ignore[arg-type]
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("settings", "says"),
    [
        ({"hand_b": -1}, "hand_b must lie between 0 and 2000"),
        ({"flex_mm": 2001}, "flex_mm must lie between 0 and 2000"),
        ({"release_percent": 101}, "release_percent must lie between 0 and 100"),
    ],
)
def test_movement_that_cannot_be(settings: dict[str, int], says: str) -> None:
    with pytest.raises(FretboardError) as caught:
        Movement(**settings)
    assert says in str(caught.value)


def test_a_finger_less() -> None:
    mine = hand("190mm")
    less = mine.without(" p ")
    assert (less.not_used, less.fingers) == ("P", (0, 1, 2, 3))
    assert (less.greatest, less.may_bar, less.name) == (mine.greatest, mine.may_bar, mine.name)
    assert less.without("RP").not_used == "RP"
    assert mine.without("RT").not_used == "TR"


@pytest.mark.parametrize(
    ("name", "letters", "says"),
    [
        ("medium", "X", "write fingers out of T I M R P"),
        ("medium", "PP", "once each"),
        ("medium", "", "once each"),
        ("medium", "TIMRP", "no finger left"),
        ("beginner", "TIMR", "no finger left"),
        ("noter", "P", "a noter is held by the fingers"),
    ],
)
def test_fingers_that_cannot_be_left_out(name: str, letters: str, says: str) -> None:
    with pytest.raises(FretboardError, match=says):
        hand(name).without(letters)


def test_how_to_measure_is_one_sentence_without_strain() -> None:
    assert MEASURE.count(".") == 1
    assert "without strain" in MEASURE
    assert MEASURE.split(": ")[1].rstrip(".") in " ".join((hand.__doc__ or "").split())
