"""Which fingers can stop which frets: every hard rule, and all assignments by brute force.

Sources stand by their titles; C: common practice, no source; V: computed here. Fingers are written
in string order, bass first, ``-`` for none. A reach setting is a preference, not medical advice.
"""

from itertools import combinations, product
from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fretboard.fingering import PLACE_STEP, fingerings, open_places, reach
from fretboard.frets import fret_semitones
from fretboard.hand import FINGERS, Hand
from fretboard.instrument import Instrument
from fretboard.presets import hand, instrument
from tests.fretboard.test_shapes import PARTS, TRIADS

STANDARD = instrument()
CHROMATIC = instrument("chromatic")
FOUR = instrument("four-equidistant")
MEDIUM = Hand()
SLACK = 0.2
"""mm by which whole tenths may differ from exact lengths."""


def frets(shape: str) -> tuple[int, ...]:
    """Semitones of a shape such as ``3-x-0``."""
    return tuple(-1 if label == "x" else fret_semitones(label) for label in shape.split("-"))


def letters(shape: str, strung: Instrument = STANDARD, player: Hand = MEDIUM) -> set[str]:
    """Every fingering of a shape as letters, such as ``TI-``."""
    grips = fingerings(frets(shape), strung, player)
    assert all(grip.frets == frets(shape) for grip in grips)
    return {"".join("-" if f < 0 else FINGERS[f] for f in grip.fingers) for grip in grips}


# Order: from the bridge side to the nut side lie T I M R P, so the higher fret has the earlier one.


def test_the_higher_fret_has_the_finger_nearer_the_thumb() -> None:
    # frets 3 and 1: 97 mm along and 16 across, 98 mm; T–anything reaches that in the medium hand
    # (137 mm and more), and of the others only I–P (137 mm); I–R ends at 96 mm
    assert letters("3-1-0") == {"TI-", "TM-", "TR-", "TP-", "IP-"}
    assert letters("1-3-0") == {"IT-", "MT-", "RT-", "PT-", "PI-"}


def test_equal_frets_take_two_fingers_either_way_round() -> None:
    # 1-0-1 and 5-4-5: in the first the open string keeps every bar out
    every = {a + "-" + b for a in FINGERS for b in FINGERS if a != b}
    assert letters("1-0-1") == every
    # 5-4-5 (9, 7, 9 semitones): a bar across the outer strings would stop the lower fret between
    # them too; the finger between lies nutward of both others
    assert letters("5-4-5") <= {a + c + b for a, c, b in product(FINGERS, repeat=3) if a != b}
    assert {"TMI", "IMT", "TRI", "IRM", "MRI"} <= letters("5-4-5")
    assert not {"TIM", "MIT", "IMI", "ITM"} & letters("5-4-5")


def test_no_finger_is_asked_for_an_open_or_silent_string() -> None:
    assert letters("0-0-1") == {"--" + finger for finger in FINGERS}
    assert letters("x-1-x") == {f"-{finger}-" for finger in FINGERS}
    assert letters("0-0-0") == letters("x-x-x") == letters("0-x-0") == set()


def test_a_bar_lies_only_where_no_lower_fret_stands_between() -> None:
    player = Hand(may_bar="I")
    assert "III" in letters("3-3-3", STANDARD, player)
    assert "I-I" in letters("3-x-3", STANDARD, player)  # the silent string may be under the bar
    assert "I-I" not in letters("3-0-3", STANDARD, player)  # open: lower than any fret
    assert "I-I" not in {f[0] + "-" + f[2] for f in letters("3-1-3", STANDARD, player)}
    assert "ITI" in letters("3-5-3", STANDARD, player)  # higher: the bar lies behind it
    assert "ITI" not in letters("3-3-3", STANDARD, player)  # there the bar lies already
    assert "IIT" in letters("3-3-3", STANDARD, player)
    assert "IIT" in letters("3-3-5", STANDARD, player)
    assert "TII" in letters("5-3-3", STANDARD, player)


def test_over_a_capo_the_open_string_is_lower_than_the_bar() -> None:
    capo = STANDARD.with_capo(5)
    shape = (7, 5, 7)
    assert all(grip.fingers[0] != grip.fingers[2] for grip in fingerings(shape, capo, MEDIUM))
    assert all(grip.fingers[1] == -1 for grip in fingerings(shape, capo, MEDIUM))
    assert fingerings((5, 5, 5), capo, MEDIUM) == ()


@pytest.mark.parametrize("finger", FINGERS)
def test_only_a_finger_that_may_bar_bars(finger: str) -> None:
    assert finger * 3 in letters("3-3-3", STANDARD, Hand(may_bar=finger))
    assert finger * 3 not in letters("3-3-3", STANDARD, Hand(may_bar=FINGERS.replace(finger, "")))
    assert not any(len(set(f)) < 3 for f in letters("3-3-3", STANDARD, Hand(may_bar="")))


@pytest.mark.parametrize("finger", FINGERS)
def test_a_finger_that_is_not_used_stops_nothing(finger: str) -> None:
    player = Hand(not_used=finger)
    for shape in ("3-3-5", "1-0-1", "0-0-2"):
        without = {f for f in letters(shape) if finger not in f}
        assert letters(shape, STANDARD, player) == without < letters(shape)


def test_one_finger_is_enough_for_one_string_or_a_bar() -> None:
    player = Hand(not_used="TIRP", may_bar="M")
    assert letters("3-3-0", STANDARD, player) == {"MM-"}
    assert letters("3-1-0", STANDARD, player) == set()


def test_the_reach_ends_at_the_hands_greatest() -> None:
    # 27 in (685.8 mm): fret 1 lies 685.8(1 − 2^(−2/12)) = 74.8 mm from the nut, fret 3 172.0 mm;
    # 97.2 mm along, 16 mm across to the next string: hypot = 98.5 mm
    assert reach(STANDARD, 0, 5, 1, 2) == reach(STANDARD, 1, 2, 0, 5) == 985
    only = "RP"
    for greatest, fits in ((984, False), (985, True), (986, True)):
        player = Hand(
            not_used=only, may_bar="", greatest={(0, 1): greatest}, comfortable={(0, 1): 0}
        )
        assert ("TI-" in letters("3-1-0", STANDARD, player)) is fits
        # two strings further: hypot(97.2, 32) = 102.3 mm is always too far here
        assert "T-I" not in letters("3-0-1", STANDARD, player)


def test_reach_is_checked_between_every_pair_not_just_neighbours() -> None:
    # 4-2-1: fret 4 at 228.1 mm, fret 1 at 74.8; bass to melody hypot(153.3, 32) = 156.6 mm
    assert reach(STANDARD, 0, 7, 2, 2) == 1566
    close = Hand(greatest={(0, 4): 1565}, comfortable={(0, 4): 0}, not_used="R")
    assert "TIP" in letters("4-2-1")
    assert "TIP" not in letters("4-2-1", STANDARD, close)


def test_a_shorter_scale_and_a_longer_span_open_more() -> None:
    # "1-2-4 Chord Surprise!": the toughest; V: 1 to 4 is 142 mm at 25 in, 162 mm at 28.5 in
    short, long = (instrument(scale=length) for length in ("25in", "28.5in"))
    assert letters("1-2-4", long) < letters("1-2-4", short)
    assert letters("1-2-4", long, hand("small")) < letters("1-2-4", long, hand("large"))
    assert all(letters("1-2-4", long, hand(name)) for name in ("small", "medium", "large"))


# What the trade plays, the medium hand can play.

EVERY_EXTRA = instrument("1+6+8+13+")
STOPPED = [
    shape
    for shape in [*" ".join(TRIADS.values()).split(), *PARTS]
    if set(shape.split("-")) != {"0"}
]


@pytest.mark.parametrize("shape", STOPPED)
def test_a_chord_shape_of_the_trade_is_playable(shape: str) -> None:
    # the shapes of TRADE.md, sources beside each in test_shapes
    assert letters(shape, EVERY_EXTRA)


@pytest.mark.parametrize("shape", ["2-0-3", "3-1-3", "1-0-2"])
def test_a_shape_in_d_a_a_is_playable(shape: str) -> None:
    assert letters(shape, instrument(tuning="D-A-A"))  # "In a jam…"


@pytest.mark.parametrize(
    ("shape", "fingers"),
    [
        ("3-3-5", "MRT"),  # "Mountain Dulcimer Lessons" 2, the one way
        ("3-3-5", "IIT"),  # the same, the other: a finger laid across and the thumb
        ("3-3-5", "MMT"),
        ("3-3-5", "RRT"),
        ("2-0-0", "M--"),  # "This Thing Has 4 Strings!": bass = middle finger
        ("0-1-0", "-I-"),  # the same: middle string = index finger
        ("0-0-2", "--P"),  # the same: melody = little finger where it is not the highest
        ("1-1-3", "MIT"),  # the same, all three: the thumb on the highest
    ],
)
def test_published_ways_to_finger_a_shape_are_among_ours(shape: str, fingers: str) -> None:
    assert fingers in letters(shape)


@pytest.mark.parametrize(
    ("shape", "strung"),
    [
        ("5-3-3", STANDARD),  # "Finger Positions"
        ("4-2-1", STANDARD),  # C
        # "Finger Positions", scale length not told; V: fret 1 to 5 is 188 mm at 25 in and 203 at
        # 27 in, with two strings across 206 mm, a little more than a span of 205
        ("5-0-1", instrument(scale="25in")),
    ],
)
def test_the_thumb_may_stop_the_bass_string(shape: str, strung: Instrument) -> None:
    assert any(fingers[0] == "T" for fingers in letters(shape, strung))
    assert any(fingers[0] == "T" for fingers in letters(shape, STANDARD, hand("large")))


@pytest.mark.parametrize("shape", ["5-3-3", "4-2-1", "3-3-5", "0-0-2", "3-1-0"])
def test_a_thumb_that_keeps_off_the_bass_string_stops_the_others(shape: str) -> None:
    player = Hand(thumb_on_bass=False)
    without = {fingers for fingers in letters(shape) if fingers[0] != "T"}
    assert letters(shape, STANDARD, player) == without
    assert any("T" in fingers for fingers in letters("3-3-5", STANDARD, player))


# By brute force: all assignments of five fingers to the stopped strings, judged by other code.


def far(strung: Instrument, one: tuple[int, int], other: tuple[int, int]) -> float:
    """mm between two (course, fret), by L(1 − 2^(−s/12)) and the spacing."""
    along = strung.scale_mm * abs(2 ** (-one[1] / 12) - 2 ** (-other[1] / 12))
    return hypot(along, strung.spacing_mm * (one[0] - other[0]))


def can(at: dict[int, int], shape: tuple[int, ...], strung: Instrument, player: Hand,
        slack: float) -> bool:  # fmt: skip
    """Whether fingers ``at`` course → number stop the shape, the reach longer by ``slack`` mm."""
    on: dict[int, list[int]] = {}
    for course, finger in at.items():
        on.setdefault(finger, []).append(course)
    for finger, courses in on.items():
        if FINGERS[finger] in player.not_used:
            return False
        if finger == 0 and 0 in courses and not player.thumb_on_bass:
            return False
        if len({shape[course] for course in courses}) > 1:
            return False
        under = [shape[c] for c in range(min(courses), max(courses) + 1) if shape[c] >= 0]
        may = FINGERS[finger] in player.may_bar and min(under) == shape[courses[0]]
        if len(courses) > 1 and not may:
            return False
        covered = [c for c in range(min(courses), max(courses)) if shape[c] == shape[courses[0]]]
        if not set(covered) <= set(courses):  # another finger where this one lies already
            return False
    for low, high in combinations(sorted(on), 2):
        if shape[on[low][0]] < shape[on[high][0]]:
            return False
        limit = player.greatest[low, high] / 10 + slack
        pairs = product(on[low], on[high])
        if any(far(strung, (a, shape[a]), (b, shape[b])) > limit for a, b in pairs):
            return False
    return True


HANDS = st.builds(
    Hand,
    span_mm=st.integers(140, 260),
    may_bar=st.sets(st.sampled_from(FINGERS)).map("".join),
    not_used=st.sets(st.sampled_from(FINGERS), max_size=3).map("".join),
    thumb_on_bass=st.booleans(),
)
INSTRUMENTS = st.tuples(
    st.sampled_from((STANDARD, CHROMATIC, FOUR, EVERY_EXTRA)), st.sampled_from((0, 2, 5, 7))
).map(lambda pair: pair[0].with_capo(pair[1]))


@settings(max_examples=250, deadline=None)
@given(INSTRUMENTS, HANDS, st.data())
def test_all_assignments_by_brute_force(
    strung: Instrument, player: Hand, data: st.DataObject
) -> None:
    shape = tuple(
        data.draw(st.sampled_from((-1, *strung.frets(course)[:11])))
        for course in range(len(strung.courses))
    )
    stopped = [course for course, fret in enumerate(shape) if fret > strung.capo]
    ours = [grip.fingers for grip in fingerings(shape, strung, player)]
    assert ours == sorted(set(ours))
    if not stopped:
        assert ours == []
        return
    surely, perhaps = set(), set()
    for chosen in product(range(5), repeat=len(stopped)):
        at = dict(zip(stopped, chosen, strict=True))
        row = tuple(at.get(course, -1) for course in range(len(shape)))
        if can(at, shape, strung, player, -SLACK):
            surely.add(row)
        if can(at, shape, strung, player, SLACK):
            perhaps.add(row)
    assert surely <= set(ours) <= perhaps


# Where the hand is.


@pytest.mark.parametrize(
    ("shape", "fingers", "place"),
    [
        # thumb relaxed: 205 · 3/15 = 41.0 mm bridgeward of the index; fret 3 at 172.0 mm
        ("3-0-0", "T--", 130),  # 172.0 − 41.0 = 131.0, told to the centimetre
        ("3-0-0", "I--", 170),
        # the others nutward: M 205 · 1.5/15 = 20.5, R 47.8, P 75.2 mm
        ("3-0-0", "M--", 190),  # 192.5
        ("3-0-0", "R--", 220),  # 219.8
        ("3-0-0", "P--", 250),  # 247.2
        ("3-1-0", "TI-", 100),  # between 131.0 and 74.8: 102.9
        ("3-3-5", "IIT", 200),  # index 172.0 twice, thumb 278.0 − 41.0 = 237.0: mean of fingers
        ("1-0-0", "T--", 30),  # 33.8
    ],
)
def test_the_place_is_where_the_index_would_lie_relaxed(
    shape: str, fingers: str, place: int
) -> None:
    grips = {
        "".join("-" if f < 0 else FINGERS[f] for f in grip.fingers): grip
        for grip in fingerings(frets(shape), STANDARD, MEDIUM)
    }
    assert grips[fingers].place == place


def test_a_place_is_never_behind_the_nut() -> None:
    # fret 1 of the shortest scale with the largest thumb offset: 43.7 − 64 mm
    strung = instrument(scale=400)
    places = [grip.place for grip in fingerings((2, 0, 0), strung, Hand(span_mm=320))]
    assert min(places) == 0


def test_open_places_cover_the_neck_up_to_the_fret_asked_for() -> None:
    places = open_places(STANDARD, 12)  # fret 7 lies 342.9 mm from the nut
    assert places == (50, 100, 150, 200, 250, 300, 350)
    assert 2 * MEDIUM.movement.flex_mm == PLACE_STEP
    above = open_places(STANDARD.with_capo(5), 12)  # the capo at fret 3, 172.0 mm
    assert above[0] == 170 + PLACE_STEP
    assert above[-1] >= 342
    assert len(open_places(STANDARD, 0)) > 0
