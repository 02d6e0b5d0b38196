"""First answers are answers: ways that keep what is asked and cost what they say, none too cheap.

What is asked of tiny tunes is judged by ``brute.Page`` on every sequence written out
(``judged``); of greater ones the bill is added up by ``scoring.evaluate``, the shapes are
counted as ``undersong.check`` does, and the optimum is the search's own, proven. They are looked
for only as long as there is time.
"""

import random
from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np
import pytest

from scoring.choice import Choice
from scoring.evaluate import evaluate
from solver import first_answer as looking
from solver.arrays import FAR
from solver.conditions import Conditions
from solver.conditions.few_shapes import FewShapes, learned
from solver.constraints.few_shapes import FewShapesFamily
from solver.errors import ArrangeError, Unfulfillable
from solver.family import Values
from solver.first_answer import _judged, _steep, first_answer
from solver.question import Question
from solver.search import search
from solver.slopes import FEES, Met, spread_prices
from solver.thinning import thinned
from solver.ties import fixed_bar_by_bar
from solver.ways import Prices
from tests.solver.bundled import laid_out, question_of
from tests.solver.instances import Instance, small_again
from tests.solver.judged import QUICK, SLOW, Judged, cases, key_of, lawful
from tests.solver.made import case_of
from undersong.check.conditions import pupil_shape

TINY = [pytest.param(first, 18) for first in QUICK]
TINY += [pytest.param(first, 100, marks=pytest.mark.slow) for first in SLOW[:6]]


def played(question: Question, nodes: Sequence[int]) -> list[Choice]:
    layers = zip(question.graph.layers, nodes, strict=True)
    return [layer.choice(node) for layer, node in layers]


def found_in(case: Judged, values: list[Values]) -> Iterator[tuple[str, int, Sequence[int]]]:
    """(by what, ms, nodes) of every first answer to the case."""
    ways, families = case.laid
    prices = Prices.none(ways)
    way = ways.cheapest(prices, ways.onward(prices))[1]
    question = case.question
    yield from (("steep", *each) for each in _steep(question, families, values))
    thin = thinned(question, families, values, way, frozenset())
    if thin is not None:
        yield "thinned", *thin
    whole = first_answer(question, families, values, way)
    if whole is not None:
        yield "whole", *whole


@pytest.mark.parametrize(("first", "count"), TINY)
def test_first_answers_keep_what_is_asked_and_cost_what_they_say(first: int, count: int) -> None:
    """Whatever the multipliers that they begin with."""
    by: Counter[str] = Counter()
    dice = np.random.default_rng(first)
    best = 0
    for case in cases(first, count):
        ways, families = case.laid
        if not len(ways.first):
            continue
        for values in ([np.zeros(f.size, np.int64) for f in families], lawful(families, dice)):
            for what, cost, nodes in found_in(case, values):
                true = case.truth[key_of(played(case.question, nodes))]
                assert true == cost, (case.seed, what)
                assert case.best is not None
                assert cost >= case.best, (case.seed, what)
                by[what] += 1
                best += what == "whole" and cost == case.best
    assert by["steep"]
    assert by["thinned"]
    assert best > by["whole"] // 2


@pytest.mark.parametrize(("first", "count"), TINY)
def test_what_is_met_is_judged_as_the_page_does(first: int, count: int) -> None:
    """Ways from spread prices and from ties fixed bar by bar; they may break what else is asked,
    and it is said where they do."""
    spread = tied = 0
    for case in cases(first, count):
        _, families = case.laid
        question = case.question
        met: list[Sequence[int]] = []
        for few in families:
            if isinstance(few, FewShapesFamily):
                found = spread_prices(question, few)
                met += [] if found is None else [found.nodes]
                spread += found is not None
        alike = question.conditions.alike
        if alike is not None and alike.price is None:
            fixed = fixed_bar_by_bar(question)
            if fixed is not None:
                met.append(fixed)
                ties_only = question_of_ties(question)
                assert _judged(ties_only, fixed) is not None, case.seed
                tied += 1
        for nodes in met:
            judged = _judged(question, nodes)
            true = case.truth[key_of(played(question, nodes))]
            assert (None if judged is None else judged[0]) == true, case.seed
    assert spread
    assert tied


def question_of_ties(question: Question) -> Question:
    """The same with nothing but its ties asked."""
    ties = Conditions(alike=question.conditions.alike)
    return Question(question.tune, question.moments, question.graph, question.costs, ties)


def wishes(case: Instance, seed: int) -> Iterator[FewShapes]:
    """Fewer shapes than the free best has; the same with prices for those not known."""
    dice = random.Random(seed)
    free = search(*case.asked).choices
    used = {learned(choice.grip) for choice in free}
    shapes = sorted((shape for shape in used if shape is not None), key=str)
    known = tuple(shape for shape in shapes if dice.random() < 0.4)
    yield FewShapes(max(0, len(shapes) - 1))
    yield FewShapes(None, known, dice.choice((20, 150, 2_000)))
    yield FewShapes(max(1, len(shapes) - 1), known, dice.choice((0, 20, 400)))


def asked_of(case: Instance, question: Question, wish: FewShapes, met: Met) -> int:
    """What the way costs by the bill and the prices of shapes; checks how many it has."""
    choices = tuple(played(question, met.nodes))
    bill = evaluate(choices, question.moments, case.instrument, case.hand, case.weights)
    shapes = {pupil_shape(choice.grip): choice.grip for choice in choices}
    shapes.pop((), None)
    assert len(shapes) == len(met.shapes)
    assert wish.most is None or len(shapes) <= wish.most
    if wish.price is None:
        return bill.total
    assert wish.known is not None
    taught = [learned(grip) for grip in shapes.values()]
    new = [s for s in taught if s is not None and not any(k.fits(s) for k in wish.known)]
    return bill.total + wish.price * len(new)


MANY = [
    pytest.param(1_000, 8),
    pytest.param(50_000, 120, marks=pytest.mark.slow),
]


@pytest.mark.parametrize(("first", "count"), MANY)
def test_spread_prices_lead_to_ways_with_few_enough_shapes(first: int, count: int) -> None:
    seed, tunes, optimal, met_any, answered = first, 0, 0, 0, 0
    while tunes < count:
        case = small_again(seed)
        seed += 1
        try:
            found = list(wishes(case, seed))
        except ArrangeError:
            continue
        tunes += 1
        for wish in found:
            conditions = Conditions(shapes=wish)
            question = question_of(case, conditions)
            _, families = laid_out(question, slack=0)
            (few,) = families
            assert isinstance(few, FewShapesFamily)
            met = spread_prices(question, few)
            try:
                answer = search(*case.asked, conditions)
            except Unfulfillable:
                assert met is None, (seed, wish)
                continue
            answered += 1
            if met is None:
                continue
            met_any += 1
            assert asked_of(case, question, wish, met) == met.cost, (seed, wish)
            assert answer.bound <= met.cost, (seed, wish)
            if answer.optimal:
                assert answer.cost <= met.cost
                optimal += answer.cost == met.cost
    assert met_any > 0.85 * answered, "where there is an answer, one is mostly met"
    assert 2 * optimal > met_any


def test_where_nothing_can_be_played_nothing_is_met() -> None:
    """Every node of one moment is ruled out."""
    for seed in range(1_000, 1_040):
        case = small_again(seed)
        try:
            question = question_of(case, Conditions(shapes=FewShapes(2)))
        except ArrangeError:
            continue
        _, families = laid_out(question, slack=0)
        (few,) = families
        assert isinstance(few, FewShapesFamily)
        masks = [np.zeros(len(layer), np.bool_) for layer in question.graph.layers[:1]]
        rest = [None] * (len(question.graph.layers) - 1)
        shut = Question(
            question.tune,
            question.moments,
            question.graph,
            question.costs.allowed([*masks, *rest]),
            question.conditions,
        )
        assert spread_prices(shut, few) is None
        assert (shut.costs.nodes[0] == FAR).all()
        return
    raise AssertionError("none of these can be played")


def test_it_ends_when_the_time_does(monkeypatch: pytest.MonkeyPatch) -> None:
    question = question_of(case_of("D", "Bm"), Conditions(shapes=FewShapes(3)))
    ways, families = laid_out(question)
    (family,) = families
    assert isinstance(family, FewShapesFamily)
    asked: list[bool] = []

    def never() -> bool:
        asked.append(True)
        return False

    assert spread_prices(question, family) is not None
    assert spread_prices(question, family, never) is None
    assert len(asked) == 1 < len(FEES)

    prices = Prices.none(ways)
    way = ways.cheapest(prices, ways.onward(prices))[1]
    values = [np.zeros(family.size, np.int64)]
    thinned: list[bool] = []
    monkeypatch.setattr(looking, "thinned", lambda *_: thinned.append(True))
    first_answer(question, families, values, way)
    first_answer(question, families, values, way, never)
    assert len(thinned) == 1, "only where there was time"
