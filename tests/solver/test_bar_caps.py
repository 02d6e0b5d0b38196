"""Caps on the shifts of single bars, alone and beside floors: the pass finds what CP-SAT finds.

The two share the graph of choices, and nothing of how a bar as a whole is held to what is asked:
the one remembers shifts in an exact pass, the other counts them over a bundle of ways.
"""

from dataclasses import replace
from functools import cache

import pytest

from fretboard.presets import hand, instrument
from scoring.difficulty import bar_difficulties
from scoring.weights import Weights
from solver.arrays import FAR
from solver.bans import Ban
from solver.conditions import Conditions
from solver.conditions.bars import WHOLE, Bars
from solver.conditions.limits import BarLimit, Limits
from solver.conditions.quota import Quota
from solver.errors import NotPlayable, Unfulfillable
from solver.floors import floored, shift_caps
from solver.moments import moments_of
from solver.search import Answer, Search
from solver.style import Style
from tests.solver.laid_out import tune
from undersong.rated import rated_bars

CHORDS = ("D", "A7", "Bm", "G", "Em", "A7", "D")


@cache
def search(manner: str) -> Search:
    style = Style(texture="bass", manner=manner)
    return Search(tune("4/4", *CHORDS), instrument("standard"), hand("small"), style)


def capped(most: int, bars: Bars = WHOLE) -> Quota:
    return Quota("shifts", most=most, bars=bars, each=True)


def shifted(one: Search, found: Answer) -> dict[int, int]:
    return rated_bars(found.choices, found.moments, one.instrument, one.hand)[1]


def cost(one: Search, asked: Conditions, explain: bool) -> int | None:
    try:
        found = one.solve(Weights(), asked, explain=explain)
    except (NotPlayable, Unfulfillable):
        return None
    assert found.optimal
    assert found.cost == found.bound
    for quota in asked.quotas:
        for bar, count in shifted(one, found).items():
            assert bar not in quota.bars.of(one.tune) or quota.holds(count)
    rated = bar_difficulties(found.choices, found.moments, one.instrument, one.hand)
    assert all(rated[bar] >= least for bar, least in asked.floors.items())
    return found.cost


@pytest.mark.parametrize("manner", ["alternating", "walking", "runs"])
@pytest.mark.parametrize("most", [0, 1, 2])
@pytest.mark.parametrize("least", [0, 40])
def test_the_pass_finds_what_the_other_solver_finds(manner: str, most: int, least: int) -> None:
    one = search(manner)
    limits = Limits(bars=(BarLimit(3, least=least),)) if least else None
    asked = Conditions(quotas=(capped(most),), limits=limits)
    assert cost(one, asked, explain=False) == cost(one, asked, explain=True)


def test_something_is_capped_by_these() -> None:
    """Else the test above would compare what nobody was asked."""
    one = search("alternating")
    free = one.solve(Weights(), Conditions())
    assert max(shifted(one, free).values()) > 1
    assert (cost(one, Conditions(quotas=(capped(1),)), explain=False) or 0) > free.cost


def test_a_cap_that_is_held_already_changes_nothing() -> None:
    one = search("walking")
    free = one.solve(Weights(), Conditions())
    most = max(shifted(one, free).values())
    held = one.solve(Weights(), Conditions(quotas=(capped(most),)), explain=False)
    assert (held.choices, held.cost) == (free.choices, free.cost)


def test_the_pass_tells_where_no_shift_is_left() -> None:
    one = search("runs")
    question = one.question(Weights(), Conditions())
    graph, costs = question.graph, question.costs
    bars = {moment.bar for moment in graph.moments}
    found, held = floored(graph, costs, {}, shifts=dict.fromkeys(bars, 0))
    assert found.still == frozenset(range(1, len(graph.moments)))
    assert found.bound >= floored(graph, costs, {}, shifts=dict.fromkeys(bars, 1))[0].bound
    assert all(link.bans == (Ban("shifts", 0),) for link in held.links)
    assert floored(graph, costs, {2: 999}, shifts={2: 0})[0].bound >= FAR


def test_which_quotas_are_caps_of_single_bars() -> None:
    one = search("walking")
    moments = moments_of(one.tune, one.style, len(one.instrument.courses))
    caps = shift_caps((capped(2), capped(1, Bars(2, 3))), one.tune, moments)
    assert caps == {1: 2, 2: 1, 3: 1, 4: 2, 5: 2, 6: 2, 7: 2}
    assert shift_caps((), one.tune, moments) == {}
    for other in (replace(capped(2), each=False), Quota("barred", most=1, each=True)):
        assert shift_caps((capped(1), other), one.tune, moments) is None
    assert shift_caps((Quota("shifts", least=1, most=2, each=True),), one.tune, moments) is None
