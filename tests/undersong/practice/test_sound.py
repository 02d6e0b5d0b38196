"""The practice plan to play along with: when each round begins, and silence where rest is written.

Clicks sound alike at the left and the right, strings do not: what is left of left less right is
the strings alone.
"""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.undersong.arranged import bundled, chart, found
from tests.undersong.practice.test_plan import hurried
from undersong.practice import Plan, Wishes, plan_for
from undersong.practice.sound import practice_sound
from undersong.practice.timing import plan_seconds
from undersong.sheet.errors import SheetError
from undersong.sound.files import sound_file
from undersong.sound.strings import RATE

Sound = NDArray[np.float32]


def heard(plan: Plan) -> Sound:
    return np.concatenate(list(practice_sound(plan)))


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Two places of two bars in 4/4, a bar of rest, six tempi from 70 to 100, two rounds."""
    return plan_for(hurried(), Wishes(spots=2, rounds=2))


@pytest.fixture(scope="module")
def sound(plan: Plan) -> Sound:
    return heard(plan)


def rounds(plan: Plan) -> list[tuple[float, float, float]]:
    """(begins, ends, next sounds) of each round in seconds, by hand: a bar of 4/4 lasts 240 / tempo
    seconds; one is counted in, two are played, one is rest, and so again; the last rest of a tempo
    goes on to 1.5 s where it would be shorter; after a place 30 s."""
    now = Fraction(0)
    found: list[tuple[Fraction, Fraction, Fraction]] = []
    for spot in plan.spots:
        assert (spot.last - spot.first, spot.rest, spot.rounds) == (1, 1, 2)
        for tempo in (rung.tempo for rung in spot.rungs):
            bar = Fraction(240, tempo)
            now += bar
            for _ in range(2):
                found.append((now, now + 2 * bar, now + 3 * bar))
                now += 3 * bar
            now += max(0, Fraction(3, 2) - bar)
        now += 30
    return [(float(a), float(b), float(c)) for a, b, c in found]


def test_every_round_begins_when_it_must(plan: Plan, sound: Sound) -> None:
    strings = np.abs(sound[:, 0] - sound[:, 1])
    assert len(rounds(plan)) == 2 * 6 * 2
    for begins, _, _ in rounds(plan):
        before, at = round((begins - 0.3) * RATE), round((begins - 0.01) * RATE)
        assert strings[before:at].max() == 0
        part = strings[at : at + RATE // 10]
        onset = (at + int(np.argmax(part > part.max() / 5))) / RATE
        assert onset == pytest.approx(begins, abs=0.005)


def test_strings_are_silent_in_every_rest_but_clicks_are_not(plan: Plan, sound: Sound) -> None:
    strings = np.abs(sound[:, 0] - sound[:, 1])
    for at, (_, ends, again) in enumerate(rounds(plan)):
        last_round = at % 2 == 1
        rung_out = ends + (1.55 if last_round else 0.03)
        quiet = slice(round(rung_out * RATE), round(again * RATE) - 5)
        assert strings[quiet].max(initial=0) == 0
        if not last_round:
            assert np.abs(sound[quiet]).max() > 0.1


def test_between_two_places_nothing_sounds_for_half_a_minute(plan: Plan, sound: Sound) -> None:
    _, ends, again = rounds(plan)[11]
    pause = sound[round((again + 0.01) * RATE) : round((again + 29.99) * RATE)]
    assert np.abs(pause).max() == 0
    assert again - ends == pytest.approx(240 / 100)
    # then a bar is counted in: its first click
    click = sound[round((again + 29.99) * RATE) : round((again + 30.05) * RATE)]
    assert np.abs(click).max() > 0.1


def test_it_lasts_as_long_as_the_plan_says(plan: Plan, sound: Sound) -> None:
    # the plan has two minutes to warm up besides, and a rest after the last place too
    assert len(sound) / RATE + 120 + 30 == pytest.approx(plan_seconds(plan), abs=0.01)
    _, _, end = rounds(plan)[-1]
    assert len(sound) / RATE == pytest.approx(end, abs=0.01)


def test_nothing_clips(sound: Sound) -> None:
    assert 0.1 < np.abs(sound).max() < 1


def test_a_loop_after_a_pickup_is_played_too() -> None:
    plan = plan_for(bundled("lantern-path"), Wishes(spots=1, rounds=1))
    assert len(heard(plan)) / RATE + 120 + 30 == pytest.approx(plan_seconds(plan), abs=0.01)


def test_same_plan_same_bytes() -> None:
    plan = plan_for(hurried(), Wishes(spots=1, rounds=1))
    one, other = (sound_file(practice_sound(plan), ".flac") for _ in range(2))
    assert one == other


def test_nothing_to_play_and_too_much_are_one_sentence() -> None:
    made = found(chart("key: D\nmetre: 4/4\n| D | D |"))
    with pytest.raises(SheetError, match="there is no change to practise in this tune"):
        practice_sound(replace(plan_for(made), spots=()))
    slow = hurried()
    slow = replace(slow, tune=slow.tune.at_tempo(15))
    with pytest.raises(SheetError, match=r"would last [0-9.]+ hours; ask for at most 4"):
        practice_sound(plan_for(slow, Wishes(spots=12, rounds=20)))
