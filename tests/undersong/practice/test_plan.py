"""Practice plans: which changes, which bars, which tempi, checked against ratings made anew."""

from dataclasses import replace
from itertools import pairwise

import pytest

from fretboard.grip import Grip
from fretboard.presets import instrument
from scoring.difficulty import rate
from solver.moments import moments_of
from solver.result import Arrangement
from solver.style import Style
from tests.undersong.arranged import bundled, chart, found
from undersong.practice import Wishes, plan_for
from undersong.practice.excerpt import excerpt
from undersong.sheet.errors import SheetError

NAMES = ("kettle-on-at-nine", "harrow-lane", "lantern-path", "the-vicars-piano")


def hurried() -> Arrangement:
    """Four bars of one strum each, whose third is far up the fretboard.

    Bass alone: fret 1 (the index), fret 1, fret 7 (the index), fret 1: two shifts, made by hand.
    """
    made = found(
        chart("key: D\nmetre: 4/4\n| Em | Em | D | Em |"), Style(texture="bass", manner="held")
    )
    frets = {1: 2, 2: 2, 3: 12, 4: 2}
    choices = tuple(
        replace(
            choice,
            grip=Grip((frets[moment.bar], -1, -1), (1, -1, -1), (70, 70, 340, 70)[moment.bar - 1]),
        )
        for moment, choice in zip(made.moments, made.choices, strict=True)
    )
    return replace(made, choices=choices)


def test_the_hardest_change_comes_first_with_the_bar_before_it() -> None:
    plan = plan_for(hurried(), Wishes(spots=2))
    rated = hurried().difficulty.by_bar
    assert max(rated, key=lambda bar: rated[bar]) == 3
    assert (plan.spots[0].bar, plan.spots[0].first, plan.spots[0].last) == (3, 2, 3)
    assert plan.spots[0].parts.shift


def test_the_way_back_is_practised_besides() -> None:
    # the change into bar 4 is another one: from fret 7 to fret 1
    assert [spot.bar for spot in plan_for(hurried(), Wishes(spots=4)).spots][:2] == [3, 4]


@pytest.mark.parametrize("name", NAMES[:3])
def test_each_rung_is_what_the_loop_is_rated_at_that_tempo_in_the_whole_tune(name: str) -> None:
    """The tune set to each tempo and its moments asked anew, then the loop's own moves rated."""
    made = bundled(name)
    tune = made.tune
    for spot in plan_for(made).spots:
        for rung in spot.rungs:
            slow = tune.at_tempo(rung.tempo)
            moments = moments_of(slow, made.style, len(made.instrument.courses))
            inside = [i for i, m in enumerate(moments) if spot.first <= m.bar <= spot.last]
            again = rate(
                [made.choices[i] for i in inside],
                [moments[i] for i in inside],
                made.instrument,
                made.hand,
            )
            assert again.hardest == rung.rating
            assert rung.hurry <= rung.rating
        assert spot.rungs[0].rating <= 100
        assert spot.rungs[-1].tempo == tune.tempo.per_minute


@pytest.mark.parametrize("name", NAMES[:3])
def test_spots_come_in_order_and_no_loop_holds_the_change_of_another(name: str) -> None:
    spots = plan_for(bundled(name), Wishes(spots=12)).spots
    ratings = [spot.parts.rating for spot in spots]
    assert ratings == sorted(ratings, reverse=True)
    for number, spot in enumerate(spots):
        assert spot.last - spot.first <= 1
        assert spot.first <= spot.bar <= spot.last
        assert not any(other.first <= spot.bar <= other.last for other in spots[:number])


@pytest.mark.parametrize("name", NAMES[:3])
def test_no_two_spots_are_the_same_change(name: str) -> None:
    """By what the fingers stop before and after each place's hardest moment."""
    made = bundled(name)
    seen: list[tuple[object, object]] = []
    for spot in plan_for(made, Wishes(spots=12)).spots:
        loop = spot.at(spot.target.per_minute)
        stops = [
            tuple((f, c, g.frets[c]) for c, f in enumerate(g.fingers) if f >= 0)
            for g in (choice.grip for choice in loop.choices)
        ]
        changes = list(pairwise(stops))
        inside = [
            at for at, m in enumerate(loop.moments) if at and m.bar == spot.bar - spot.first + 1
        ]
        hardest = next(at for at in inside if _pair(loop, at) == spot.parts.rating)
        assert changes[hardest - 1] not in seen
        seen += changes


def _pair(loop: Arrangement, at: int) -> int:
    """What the move to that moment of a loop is rated, by itself."""
    moments = [replace(loop.moments[at + n - 1], bar=n + 1) for n in (0, 1)]
    rated = rate(loop.choices[at - 1 : at + 1], moments, loop.instrument, loop.hand)
    return rated.bars[-1].rating


def test_where_the_reach_decides_a_wide_shape_is_practised_once() -> None:
    """Bars 2 and 4 come to the same wide shape, from other shapes: one place for both."""
    made = found(
        chart("key: D\nmetre: 4/4\n| D | G | A | G |"), Style(texture="song", manner="held")
    )
    shapes = {
        1: Grip((0, 2, 2), (-1, 1, 1), 80),
        3: Grip((0, 4, 4), (-1, 1, 1), 120),
    }
    wide = Grip((9, 0, 2), (0, -1, 4), 200)
    shapes |= {2: wide, 4: wide}
    choices = tuple(
        replace(choice, grip=shapes[moment.bar])
        for moment, choice in zip(made.moments, made.choices, strict=True)
    )
    plan = plan_for(replace(made, choices=choices), Wishes(spots=12))
    assert plan.spots[0].reaches
    assert plan.spots[0].steady
    assert plan.spots[0].bar == 2
    assert [spot.bar for spot in plan.spots if spot.reaches] == [2]


def test_at_its_own_tempo_the_whole_as_an_excerpt_is_rated_as_it_is() -> None:
    for name in NAMES[:3]:
        made = bundled(name)
        whole = excerpt(made, 1, len(made.tune.played), made.tune.tempo.per_minute)
        assert whole.difficulty == made.difficulty
        assert whole.choices == made.choices


def test_a_change_of_tempo_in_a_loop_is_scaled_with_it() -> None:
    tune = chart("key: D\nmetre: 4/4\n| D | G | A | D |")
    bars = (
        *tune.bars[:2],
        replace(tune.bars[2], tempo=replace(tune.tempo, per_minute=50)),
        tune.bars[3],
    )
    made = found(replace(tune, bars=bars))
    half = excerpt(made, 2, 3, 50)  # the second bar goes at 100, the third at 50
    assert [half.tune.tempo_at(n).per_minute for n in range(2)] == [50, 25]
    # by the definition of a tempo: a quarter note at 50 a minute lasts 1200 ms, at 25 it lasts 2400
    whole_bars = {bar: sum(m.ms for m in half.moments if m.bar == bar) for bar in (1, 2)}
    assert whole_bars == {1: 4800, 2: 9600}


def test_the_rest_is_long_enough_for_the_way_back() -> None:
    plan = plan_for(hurried())
    for spot in plan.spots:
        assert spot.rest >= 1
        assert spot.rest_ticks == spot.rest * 4 * 10080


def test_a_tune_of_one_bar_is_a_loop_of_one_bar() -> None:
    # the open strings, then G 3-1-0 from the second moment on: two fingers are put down
    made = found(chart("key: D\nmetre: 4/4\n| G |"))
    grips = [Grip((0, 0, 0), (-1, -1, -1), 80), Grip((5, 2, 0), (0, 1, -1), 80)]
    choices = tuple(
        replace(choice, grip=grips[min(at, 1)]) for at, choice in enumerate(made.choices)
    )
    spots = plan_for(replace(made, choices=choices)).spots
    assert [(spot.bar, spot.first, spot.last) for spot in spots] == [(1, 1, 1)]
    assert spots[0].parts.fingers == 2


def test_an_open_hand_has_nothing_to_practise() -> None:
    made = found(chart("key: D\nmetre: 4/4\n| D | D |"))
    still = tuple(
        replace(choice, grip=Grip((0, 0, 0), (-1, -1, -1), 50)) for choice in made.choices
    )
    plan = plan_for(replace(made, choices=still))
    assert plan.spots == ()
    assert plan.easiest is None


def test_the_whole_tune_is_told_the_fastest_tempo_with_time_for_all() -> None:
    made = hurried()
    plan = plan_for(made)
    assert plan.whole is not None
    if plan.whole.tempo < made.tune.tempo.per_minute:
        faster = excerpt(made, 1, 4, plan.whole.tempo + 1)
        assert faster.difficulty.hardest > 100
    assert plan.whole.rating <= 100


def test_wishes_out_of_bounds_are_one_sentence() -> None:
    with pytest.raises(SheetError, match="1 to 12 places, not 0"):
        Wishes(spots=0)
    with pytest.raises(SheetError, match="1 to 20 times a tempo, not 21"):
        Wishes(rounds=21)


def test_every_hand_and_instrument_has_a_plan() -> None:
    for strung in ("chromatic", "four-equidistant", "bass"):
        made = found(chart("key: D\nmetre: 4/4\n| D | A | Bm | G |"), Style(), instrument(strung))
        for spot in plan_for(made).spots:
            tempi = [rung.tempo for rung in spot.rungs]
            assert all(a < b for a, b in pairwise(tempi))
