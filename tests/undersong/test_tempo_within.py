"""The quickest tempo within what the hand can do, held to moments made anew, counted plainly."""

from dataclasses import replace

import pytest

import undersong
from fretboard.presets import hand
from solver.moments import moments_of
from solver.result import Arrangement
from solver.style import Style
from tests.scoring.plain_difficulty import plain_bars
from tests.undersong.arranged import bundled
from undersong.sheet.text import text_tab
from undersong.sheet.text_difficulty import tempo_advice
from undersong.tempo_within import Within, tempo_within


def drone(name: str, holding: str = "medium") -> Arrangement:
    style = Style(manner="held", texture="drone")
    return undersong.arrange(name, hand=holding, style=style)


def plain_at(made: Arrangement, per_minute: int) -> set[int]:
    """Bars beyond 100 % at that tempo, the moments made anew, one move counted after another."""
    tune = made.tune.at_tempo(per_minute)
    moments = moments_of(tune, made.style, len(made.instrument.courses))
    rated = plain_bars(made.choices, moments, made.instrument, made.hand)
    return {bar for bar, percent in rated.items() if percent > 100}


@pytest.mark.parametrize(
    ("name", "holding"),
    [("three-odd-gloves", "medium"), ("three-odd-gloves", "noter"),
     ("kettle-on-at-nine", "small")],
)  # fmt: skip
def test_it_is_the_quickest_and_it_is_within(name: str, holding: str) -> None:
    made = drone(name, holding)
    found = tempo_within(made)
    assert set(found.over) == plain_at(made, made.tune.tempo.per_minute)
    assert found.over
    assert found.per_minute is not None
    never = set(found.never)
    assert plain_at(made, found.per_minute) <= never
    for quicker in range(found.per_minute + 1, made.tune.tempo.per_minute + 1):
        assert plain_at(made, quicker) - never, quicker
    page = " ".join(text_tab(made).split())
    assert tempo_advice(made) in page
    assert f"= {found.per_minute} is the quickest tempo" in page


def test_within_already_nothing_is_said() -> None:
    made = bundled("harrow-lane")
    assert made.difficulty.hardest <= 100
    assert tempo_within(made) == Within((), (), None)
    assert tempo_advice(made) == ""
    assert "quickest tempo" not in text_tab(made)


def test_where_the_reach_alone_is_too_much_no_tempo_helps() -> None:
    made = bundled("harrow-lane")
    least = hand("medium")
    tiny = replace(
        least,
        comfortable=dict.fromkeys(least.comfortable, 0),
        greatest=dict.fromkeys(least.greatest, 10),
    )
    short = replace(made, hand=tiny)
    found = tempo_within(short)
    assert found.over == found.never
    assert found.per_minute is None
    assert set(found.never) == plain_at(short, 10)
    said = tempo_advice(short)
    assert said.startswith("Beyond 100 %: bars ")
    assert said.endswith("stays beyond 100 % at any tempo.")
    assert "quickest" not in said
