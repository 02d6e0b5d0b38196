"""Plans of arrangements put together by chance: any metre, pickup, repeat, rest and right hand."""

from hypothesis import HealthCheck, given, settings

from solver.result import Arrangement
from tests.undersong.arranged import arrangements
from undersong.practice import Wishes, plan_for
from undersong.practice.pages import PageLook, practice_leaves
from undersong.practice.text import practice_text
from undersong.practice.timing import plan_seconds


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(arrangements())
def test_any_arrangement_has_a_plan_that_can_be_printed(made: Arrangement) -> None:
    plan = plan_for(made, Wishes(spots=2))
    assert plan_seconds(plan) >= 120
    text = practice_text(plan)
    assert max(map(len, text.splitlines())) <= 80
    svg = "".join(leaf.svg for leaf in practice_leaves(plan, PageLook()))
    for spot in plan.spots:
        assert spot.first <= spot.bar <= spot.last <= len(made.tune.played)
        for rung in spot.rungs:
            assert rung.rating == spot.at(rung.tempo).difficulty.hardest
            assert (f">asks {rung.rating} %<" in svg) or spot.steady
            assert f">time {rung.hurry} %<" in svg
