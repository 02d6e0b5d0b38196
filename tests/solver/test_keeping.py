"""Shapes that are left out at once, and what is recalled: neither changes an answer.

A search that lays out every shape and applies limits afterwards, begun afresh each time, is what is
compared with; that one finds what brute force finds (``test_oracles_conditions``).
"""

from itertools import product

import pytest

from fretboard.presets import hand, instrument
from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.bars import WHOLE
from solver.conditions.limits import BarLimit, Limits
from solver.conditions.pinned import FingerDown
from solver.conditions.pins import Pin
from solver.errors import NotPlayable, Unfulfillable
from solver.search import Search
from solver.style import Style
from tests.solver.laid_out import tune

SONG = tune("4/4", "D", "G", "A7", "D", "G", "A7", "D", "D")
NO_LITTLE_FINGER = (Pin(WHOLE, FingerDown(4), forbid=True),)


def fresh() -> Search:
    return Search(SONG, instrument("standard"), hand("medium"), Style())


def asked() -> list[Conditions]:
    """Limits of every kind, alone and with bars that are to be easy, or hard."""
    own = (
        {"fingers": 2},
        {"reach": 60, "time": 90},
        {"fret": 5, "barred": False},
        {"fingers": 1, "reach": 70, "time": 80, "barred": False},
    )
    bars = ((), (BarLimit(3, 50),), (BarLimit(3, 60), BarLimit(6, least=40)))
    return [
        Conditions(limits=Limits(**limits, bars=some), pins=NO_LITTLE_FINGER if index % 2 else ())
        for index, (limits, some) in enumerate(product(own, bars))
    ]


def found(search: Search, conditions: Conditions, explain: bool) -> object:
    """The answer's cost and choices; None where there is none."""
    try:
        answer = search.solve(Weights(), conditions, explain=explain)
    except (NotPlayable, Unfulfillable):
        return None
    assert answer.optimal
    return answer.cost, answer.choices


def test_a_lean_search_that_recalls_finds_what_a_whole_fresh_one_finds() -> None:
    lean = fresh()
    answers = [found(lean, conditions, explain=False) for conditions in asked()]
    assert answers == [found(fresh(), conditions, explain=True) for conditions in asked()]
    assert len(set(answers)) > 3
    assert [found(lean, conditions, explain=False) for conditions in asked()] == answers


@pytest.mark.parametrize("explain", [False, True])
def test_the_least_is_what_an_answer_costs_where_nothing_reaches_over_the_tune(
    explain: bool,
) -> None:
    search = fresh()
    for conditions in asked()[::2]:
        answer = found(search, conditions, explain)
        if isinstance(answer, tuple):
            assert search.least(Weights(), conditions) == answer[0]
