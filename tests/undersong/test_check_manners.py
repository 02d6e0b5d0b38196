"""The checker knows which manner is asked for where, and sees the program's moments so."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import corpus
from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.bars import Bars
from solver.conditions.pinned import BassManner
from solver.conditions.pins import Pin, manners_of
from solver.moments import moments_of
from solver.result import UNPROVEN, Arrangement, Proof
from solver.righthand import right_hands
from solver.style import manners_in
from tests.undersong.passages import alternating, style_of
from tune.readers import read
from tune.tune import Tune
from undersong.check.asks import asks_of
from undersong.check.manners import bars_meant, manners_meant
from undersong.check.passage import Passage
from undersong.check.rhythm import moments_true, times_right

NAMES = corpus.names()


def idle(tune: Tune, manner: str, pattern: str, *pins: Pin) -> Arrangement:
    """The tune's moments under those pins, with choices that say nothing."""
    base, style = alternating(), style_of(manner, pattern)
    moments = moments_of(tune, style, 3, manners_of(tune, pins))
    return Arrangement(
        tune, base.instrument, base.hand, style, Weights(), moments,
        (base.choices[0],) * len(moments), Proof(UNPROVEN, 0, 0), Conditions(pins=pins),
    )  # fmt: skip


def faults(arrangement: Arrangement) -> list[str]:
    manners = manners_meant(arrangement.tune, arrangement.conditions)
    asks = asks_of(arrangement.tune, arrangement.style, 3, manners)
    found = list(times_right(arrangement, asks))
    return [str(fault) for fault in found or moments_true(Passage(arrangement, asks))]


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(NAMES),
    st.sampled_from(manners_in("song")),
    st.sampled_from(manners_in("song")),
    st.sampled_from([hand.name for hand in right_hands()]),
    st.data(),
)
def test_the_moments_are_what_tune_and_pins_say(
    name: str, otherwise: str, manner: str, pattern: str, data: st.DataObject
) -> None:
    tune = read(str(corpus.path(name)))
    numbers = st.integers(1, max(bar.number for bar in tune.bars))
    first, last = sorted(data.draw(st.tuples(numbers, numbers)))
    pin = Pin(Bars(first, last), BassManner(manner))
    assert faults(idle(tune, otherwise, pattern, pin)) == []


@pytest.mark.parametrize("manner", [name for name in manners_in("song") if name != "alternating"])
def test_moments_of_another_manner_are_faults(manner: str) -> None:
    """Pins that the moments know nothing of, and moments that the pins know nothing of."""
    tune = read(str(corpus.path("harrow-lane")))
    pin = Pin(Bars(section="B"), BassManner(manner))
    right = idle(tune, "alternating", "bass-then-strum", pin)
    assert faults(right) == []
    plain = idle(tune, "alternating", "bass-then-strum")
    assert faults(replace(plain, conditions=right.conditions)) != []
    assert faults(replace(right, conditions=plain.conditions)) != []


def test_bars_and_manners_are_read_alike_by_search_and_checker() -> None:
    for name in NAMES:
        tune = read(str(corpus.path(name)))
        sections = [Bars(section=bar.section) for bar in tune.bars if bar.section]
        numbers = [Bars(bar.number, bar.number) for bar in tune.bars]
        for bars in [Bars(), *sections, *numbers]:
            assert bars.of(tune) == bars_meant(tune, bars)
        pins = (Pin(Bars(3, 5), BassManner("walking")), Pin(Bars(1, 1), BassManner("held")))
        assert manners_of(tune, pins) == manners_meant(tune, Conditions(pins=pins))
