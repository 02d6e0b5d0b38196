"""The practice plan in words: a whole page of it as it must be, and what it says of hard hands."""

from dataclasses import replace

import pytest

from fretboard.hand import CAUTION, Hand
from solver.result import Arrangement
from tests.undersong.arranged import bundled, chart, found
from tests.undersong.practice.test_plan import hurried
from undersong.practice import Wishes, plan_for
from undersong.practice.text import practice_text
from undersong.practice.words import lines, spot_reason, spot_title
from undersong.sheet.options import SheetOptions

FIRST_SPOT = """\
1. Bars 2-3, for bar 3
At 1/4 = 100: 91 %, 0.47 s of movement, and 0.60 s to make it (79 %, and 12 more
for a shift of the hand and 1 finger put down).

        2                 3
        Em                D
        1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .
D3   |:.1---------------|-7---------------:|
D3      I                 I
bass    =R                =R

Play each tempo twice; after every round 1 bar of rest: take the hand off the
strings and go back to the beginning.

beats a minute     70    75    81    87    93   100
asks in all      67 %  71 %  76 %  81 %  85 %  91 %
of the time      55 %  59 %  64 %  69 %  73 %  79 %

Rest for 30 seconds: let the arm hang and the fingers open.
"""


def small_handed() -> Arrangement:
    """A tune made for a medium hand, in a hand that is far too small for it."""
    return replace(bundled("kettle-on-at-nine"), hand=Hand(span_mm=120))


def one_line(text: str) -> str:
    return " ".join(text.split())


def test_a_place_is_told_as_it_must_be() -> None:
    # 70 % of 100 is 70; ln(100 / 70) / ln 1.08 = 4.63: five steps of 7.39 %
    assert FIRST_SPOT in practice_text(plan_for(hurried(), Wishes(spots=2, rounds=2)))


def test_the_caution_comes_before_the_first_place() -> None:
    text = one_line(practice_text(plan_for(hurried())))
    assert 0 < text.index(CAUTION) < text.index("Warm up for 2 minutes") < text.index("1. Bars 2-3")


def test_no_line_is_wider_than_asked() -> None:
    for width in (40, 64, 80):
        text = practice_text(plan_for(bundled("kettle-on-at-nine")), SheetOptions(width=width))
        assert max(map(len, text.splitlines())) <= width


def test_rests_and_rounds_are_told_for_every_place() -> None:
    plan = plan_for(bundled("kettle-on-at-nine"), Wishes(spots=3, rounds=5))
    text = one_line(practice_text(plan))
    assert text.count("Play each tempo 5 times; after every round 1 bar of rest") == 3
    assert text.count("Rest for 30 seconds") == 3


def test_what_no_tempo_mends_is_said_with_its_bars() -> None:
    plan = plan_for(small_handed())
    beyond = {bar.bar for bar in small_handed().difficulty.bars if bar.parts.stretch > 100}
    assert beyond
    assert set(plan.never) == beyond
    text = one_line(practice_text(plan))
    assert "No tempo brings this within 100 % of what the hand as it is set can do" in text
    assert "more than the hand as it is set can do at any tempo" in text
    assert "The reach decides, and is the same at every tempo" in text


def test_nothing_to_practise_is_said() -> None:
    made = found(chart("key: D\nmetre: 4/4\n| D | D |"))
    plan = plan_for(made)
    still = replace(plan, spots=(), easiest=None)
    text = one_line(practice_text(still))
    assert "There is no change to practise" in text
    assert "right hand alone" in text


def test_bars_that_do_not_follow_each_other_on_paper_are_named_as_they_are_played() -> None:
    plan = plan_for(bundled("kettle-on-at-nine"))
    # bar 8 is the first ending, played once; after it comes bar 1 again
    turned = replace(plan.spots[0], bar=9, first=8, last=9)
    bars = plan.arrangement.tune.played
    names = [plan.arrangement.tune.bars[bars[n - 1].written].number for n in (8, 9)]
    assert names == [8, 1]
    assert spot_title(turned, 2) == "2. Bars 8 and 1 (2nd time), for bar 1 (2nd time)"
    alone = replace(turned, first=9)
    assert spot_title(alone, 3) == "3. Bar 1 (2nd time)"


def test_the_tabs_lines_are_named_where_there_are_several() -> None:
    assert lines(plan_for(hurried()), True) == ""
    plan = plan_for(bundled("kettle-on-at-nine"))
    assert lines(plan, True).startswith("The top line of the tab is the bass string")
    assert lines(plan, False).startswith("The top line of the tab is the melody string")


@pytest.mark.parametrize(
    ("name", "bars"), [("tallow-and-rush", {3: 12, 4: 14}), ("through-the-double-doors", {4: 3})]
)
def test_a_loop_that_asks_more_than_its_change_says_which_bar_is_why(
    name: str, bars: dict[int, int]
) -> None:
    """The rating of the whole tune says how hard each bar is."""
    made = bundled(name)
    rated = {one.bar: one.rating for one in made.difficulty.bars}
    for at, spot in enumerate(plan_for(made, Wishes(spots=4)).spots, 1):
        harder = max((spot.first, spot.last), key=lambda played: rated[played])
        said = spot_reason(spot)
        assert ("in it is harder" in said) == (at in bars)
        assert (rated[harder] > spot.parts.rating) == (at in bars)
        if at in bars:
            assert made.tune.bars[made.tune.played[harder - 1].written].number == bars[at]
            assert f"The loop asks {rated[harder]} % at every tempo, since bar {bars[at]} " in said
            assert {rung.rating for rung in spot.rungs} == {rated[harder]}
            # in few words only where the ladder tells what each tempo asks
            assert ("in it is harder" in spot_reason(spot, brief=True)) != spot.steady
