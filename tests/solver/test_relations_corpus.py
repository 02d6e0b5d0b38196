"""What must hold between answers under conditions on the bundled tunes; no oracle, only the search.

A condition never lowers the cost, a looser one never raises it, a price leads from nothing asked to
the same asked outright. Tunes are played by two fingers near the nut, for the tests' own time.
"""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

import corpus
from fretboard.hand import Hand
from fretboard.presets import instrument
from scoring.evaluate import evaluate
from scoring.weights import Weights
from solver.conditions import NONE, Conditions
from solver.conditions.alike import Alike
from solver.conditions.cost import extra_cost, other_shapes
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import FewShapes, learned
from solver.conditions.quota import COUNTED, Quota
from solver.errors import NotPlayable, Unfulfillable
from solver.search import Answer, Search
from solver.style import Style
from solver.watch import Watch
from tune.readers import read

HAND = Hand(not_used="TRP", may_bar="I")
STYLE = Style("walking", bass_ceiling=10, highest=4)
BARS = 4
QUICK = ("third-tuesday-blues",)
TUNES = [
    pytest.param(name, marks=() if name in QUICK else pytest.mark.slow) for name in corpus.names()
]
every_tune = pytest.mark.parametrize("name", TUNES)


@cache
def search_of(name: str) -> Search:
    """The tune's first bars, the first of them once more at the end."""
    tune = read(str(corpus.path(name)))
    first = next(i for i, bar in enumerate(tune.bars) if bar.chords and bar.length == bar.metre.bar)
    bars = [*tune.bars[first : first + BARS], tune.bars[first]]
    plain = [replace(bar, number=n, endings=(), repeat_times=1) for n, bar in enumerate(bars, 1)]
    short = replace(tune, bars=tuple(plain))
    return Search(short, instrument(), HAND, STYLE)


@cache
def solved(name: str, conditions: Conditions = NONE) -> Answer | None:
    """The proven answer, None where it is proven that there is none."""
    easiest = free(name)
    try:
        answer = search_of(name).solve(Weights(), conditions, watch=Watch(60.0))
    except Unfulfillable:
        return None
    assert answer.optimal
    assert answer.bound == answer.cost
    bill = evaluate(answer.choices, answer.moments, instrument(), HAND, Weights())
    tune = search_of(name).tune
    owed = extra_cost(conditions, tune, answer.moments, answer.choices, bill)
    assert answer.cost == bill.total + owed
    assert answer.cost >= answer.free == easiest.cost, "the price of consistency"
    return answer


@cache
def free(name: str) -> Answer:
    """The easiest way; the test is left out where two fingers cannot play the tune."""
    try:
        return search_of(name).solve(Weights(), watch=Watch(60.0))
    except NotPlayable as refused:
        pytest.skip(str(refused))


def never_falls(name: str, stricter: Sequence[Conditions]) -> list[int | None]:
    """The costs under conditions each of which asks for more than the one before."""
    answers = [solved(name, conditions) for conditions in stricter]
    costs = [None if answer is None else answer.cost for answer in answers]
    for loose, strict in pairwise(costs):
        assert strict is None or (loose is not None and loose <= strict), costs
    return costs


def shapes_of(answer: Answer) -> int:
    return len({learned(choice.grip) for choice in answer.choices} - {None})


@every_tune
def test_fewer_shapes_never_cost_less(name: str) -> None:
    there = shapes_of(free(name))
    asked = [Conditions(shapes=FewShapes(most)) for most in (there, there - 1, there - 2)]
    costs = never_falls(name, [NONE, *asked])
    assert costs[0] == costs[1], "what the easiest way has anyway costs nothing"


@every_tune
@pytest.mark.parametrize("what", list(COUNTED))
def test_a_stricter_limit_never_costs_less(name: str, what: str) -> None:
    above = 60 if what == "hard" else None
    most = [Conditions(quotas=(Quota(what, None, n, above),)) for n in (10_000, 3, 2, 1)]
    costs = never_falls(name, [NONE, *most])
    assert costs[0] == costs[1], "a limit far off costs nothing"
    least = [Conditions(quotas=(Quota(what, n, None, above),)) for n in (0, 1, 2)]
    assert never_falls(name, [NONE, *least])[1] == costs[0]


@every_tune
def test_a_price_for_bars_that_differ_leads_from_nothing_to_alike(name: str) -> None:
    prices = (0, 10, 60, 1_000_000, None)
    costs = never_falls(name, [NONE, *(Conditions(alike=Alike("bars", p)) for p in prices)])
    assert costs[0] == costs[1]
    assert costs[-1] is None or costs[-1] == costs[-2], "nobody pays a price like that"


@every_tune
def test_a_price_for_shapes_leads_to_those_that_are_known(name: str) -> None:
    easiest = {learned(choice.grip) for choice in free(name).choices} - {None}
    known = tuple(sorted(easiest, key=str))[1:]
    asked = [Conditions(shapes=FewShapes(None, known, price)) for price in (0, 20, 400, 5_000)]
    costs = never_falls(name, [NONE, *asked])
    assert costs[0] == costs[1]
    counts = [
        len(other_shapes(FewShapes(None, known), answer.choices))
        for answer in (solved(name, conditions) for conditions in asked)
        if answer is not None
    ]
    assert counts == sorted(counts, reverse=True), "a dearer shape is never had more of"


@every_tune
def test_two_conditions_cost_no_less_than_either(name: str) -> None:
    most = shapes_of(free(name)) - 1
    shapes = Conditions(shapes=FewShapes(most))
    alike = Conditions(alike=Alike("bars"))
    for one in (shapes, alike):
        never_falls(name, [NONE, one, Conditions(shapes=shapes.shapes, alike=alike.alike)])


@every_tune
def test_the_costliest_moment_weighs_more_and_more(name: str) -> None:
    asked = [Conditions(costliest=Costliest(weight)) for weight in (1, 10, 1_000)]
    never_falls(name, [NONE, *asked])
    answers = [
        solved(name, conditions) for conditions in (*asked, Conditions(costliest=Costliest()))
    ]
    worst = []
    for answer in answers:
        assert answer is not None
        bill = evaluate(answer.choices, answer.moments, instrument(), HAND, Weights())
        worst.append(max(map(bill.at, range(len(answer.moments)))))
    assert worst == sorted(worst, reverse=True)
