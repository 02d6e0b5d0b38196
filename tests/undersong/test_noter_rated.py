"""What a noter's ratings are, tune by tune: one movement from fret to fret, counted here anew, and
beside it the two parts in which older documents count it."""

from dataclasses import replace
from functools import cache
from math import log2

import pytest

import undersong
from fretboard.hand import Movement
from fretboard.presets import hand
from solver.result import PROVEN, Arrangement
from solver.style import Style
from tests.undersong.running import run
from undersong.chords import with_drone
from undersong.tempo_within import tempo_within

NOTER = hand("noter")
IN_PARTS = replace(NOTER, movement=Movement())
PLAYED = (
    "biscuit-tin-stomp", "candle-for-the-back-row", "frost-on-the-allotments", "kettle-on-at-nine",
    "lantern-path", "long-way-round-the-green", "three-odd-gloves", "through-the-double-doors",
    "wet-boots-in-the-porch",
)  # fmt: skip
"""The bundled tunes whose melody lies on the melody string as it is tuned."""


@cache
def drone(name: str, in_parts: bool = False) -> Arrangement:
    tune = with_drone(undersong.read_tune(name))
    left = IN_PARTS if in_parts else NOTER
    return undersong.arrange(tune, hand=left, style=Style(manner="held", texture="drone"))


def along(semitones: int) -> float:
    """mm from the nut, 27 in."""
    return float(685.8 * (1 - 2 ** (-semitones / 12)))


def slides(made: Arrangement) -> dict[int, int]:
    """Played bar's number → percent of its hardest slide from one fret to another: 20 + 74 ms a bit
    (``fretboard.hand``) of the time to the next note, counted up, and 2 for the noter moved."""
    frets = made.instrument.frets(2)
    found: dict[int, int] = {}
    pairs = zip(made.moments, made.choices, made.moments[1:], made.choices[1:], strict=False)
    for moment, choice, coming, aimed in pairs:
        old, new = choice.grip.frets[-1], aimed.grip.frets[-1]
        if old <= 0 or new <= 0 or old == new:
            continue
        wide = along(new) - along(max(fret for fret in (0, *frets) if fret < new))
        took = round(20 + 74 * log2(abs(along(new) - along(old)) / wide + 1))
        found[coming.bar] = max(found.get(coming.bar, 0), -(-100 * took // moment.ms) + 2)
    return found


@pytest.mark.parametrize("name", PLAYED)
def test_a_bar_is_as_difficult_as_its_hardest_slide(name: str) -> None:
    """But where the noter comes down anew from an open string, which may be harder."""
    made = drone(name)
    rated, slid = made.difficulty.by_bar, slides(made)
    assert made.proof.status == PROVEN
    assert slid
    for bar, percent in slid.items():
        assert rated[bar] >= percent - 1  # a ms rounded otherwise
    same = sum(abs(rated[bar] - percent) <= 1 for bar, percent in slid.items())
    assert same >= 0.5 * len(slid)


@pytest.mark.parametrize("name", PLAYED)
def test_it_is_easier_than_counted_in_two_parts(name: str) -> None:
    now, before = drone(name).difficulty, drone(name, in_parts=True).difficulty
    print(f"\n{name}: hardest {before.hardest} to {now.hardest} %, median {before.median} to "
          f"{now.median} %")  # fmt: skip
    assert now.hardest < before.hardest
    assert now.median < before.median


def test_a_jig_is_beyond_the_hand_only_where_it_leaps() -> None:
    """Kettle On at Nine, 3/8 = 104: a quaver lasts 192 ms. To go a fret or two on at such tempi is
    ordinary (common practice, no source); what leaps further may be too much."""
    made = drone("kettle-on-at-nine")
    assert min(moment.ms for moment in made.moments) == 192
    order = {fret: at for at, fret in enumerate(sorted({0, *made.instrument.frets(2)}))}
    frets = [choice.grip.frets[-1] for choice in made.choices]
    leaps: dict[int, int] = {}
    for old, new, moment in zip(frets, frets[1:], made.moments[1:], strict=False):
        if min(old, new) >= 0:
            leaps[moment.bar] = max(leaps.get(moment.bar, 0), abs(order[new] - order[old]))
    small = {bar for bar, leap in leaps.items() if leap <= 2}
    beyond = set(tempo_within(made).over)
    in_parts = set(tempo_within(drone("kettle-on-at-nine", in_parts=True)).over)
    assert beyond
    assert not beyond & small
    assert in_parts & small
    assert 2 * len(beyond) < len(in_parts)


def test_a_practice_plan_says_that_the_noter_moves() -> None:
    said = run("practice", "kettle-on-at-nine", "--texture", "drone", "--chords", "drone",
               "--hand", "noter").out  # fmt: skip
    words = " ".join(said.split())
    assert "2 more for the noter moved" in words
    assert "finger put down" not in words
