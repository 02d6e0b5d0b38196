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
from tune.readers.abc import read_abc
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


BOOTS = """X:1
T:Three Left Boots
M:9/8
L:1/8
Q:3/8=96
K:G
|:"G"G2B d2B G2A|"C"c2e "G"d2B G2A|"G"G2B d2B "Em"e2d|"Am"c2A "D7"F2A "G"G3:|
|:"G"g2d B2d g2d|"C"e2c "G"d2B "D"A3|"Em"e2g "C"e2c "G"B2d|"Am"c2A "D7"DFA "G"G3:|
"""


def test_a_bar_that_has_its_time_and_is_beyond_by_what_is_added_says_so() -> None:
    """Its share and what is added are taken from the rating that the tests count plainly."""
    made = undersong.arrange(read_abc(BOOTS), style=Style(manner="held", texture="drone"))
    beyond = [bar for bar in made.difficulty.bars if bar.rating > 100]
    assert {bar.bar for bar in beyond} == plain_at(made, 96)
    shares = {max(bar.parts.hurry, bar.parts.stretch) for bar in beyond}
    assert shares == {98}
    assert all(bar.parts.shift and not bar.parts.laid for bar in beyond)
    assert tempo_advice(made).startswith(
        "Beyond 100 %: bar 8. The hardest move in bar 8 is within the hand's time and reach by "
        "itself (98 %); what is added for a shift of the hand takes it beyond. With the frets "
    )


def test_of_bars_that_lack_the_time_nothing_of_the_kind_is_said() -> None:
    for made, within in (
        (drone("three-odd-gloves", "noter"), ""),
        (drone("kettle-on-at-nine", "small"), "The hardest move in bar 7 (1st time)"),
    ):
        beyond = [bar for bar in made.difficulty.bars if bar.rating > 100]
        in_time = [bar for bar in beyond if bar.parts.needed <= bar.parts.time]
        assert len(in_time) == bool(within) < len(beyond)
        said = tempo_advice(made)
        assert said.count(" by itself (") == bool(within)
        assert within in said
