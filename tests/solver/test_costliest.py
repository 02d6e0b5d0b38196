"""Costliest moment first: the worst moment is the least there is, or weighs as it should.

Networkx measures the graph written out in full, once for each ceiling on its steps.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

import networkx as nx
import pytest

from scoring.evaluate import evaluate
from solver.conditions import Conditions
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import FewShapes
from solver.costliest import CostliestFirst
from solver.errors import NotFound, Unfulfillable
from solver.passes import worst
from solver.proof import prove
from solver.question import Found, Question
from solver.search import Answer, search
from solver.watch import OutOfTime, Stopped, Watch
from tests.solver.bundled import question_of
from tests.solver.full_graph import explicit_graph, network_best
from tests.solver.instances import Instance, small, tiny
from tests.solver.made import case_of
from tests.solver.test_passes import MOST_STEPS
from tests.solver.test_relations import answer_of

CASE = case_of("D", "G", "A7", "D")
FIRST = Conditions(costliest=Costliest())


def weighed(weight: int) -> Conditions:
    return Conditions(costliest=Costliest(weight))


def worst_of(case: Instance, answer: Answer) -> int:
    bill = evaluate(answer.choices, answer.moments, case.instrument, case.hand, case.weights)
    assert answer.cost >= bill.total
    return max(map(bill.at, range(len(answer.moments))))


def ceilings(full: nx.DiGraph, moments: int) -> Iterator[tuple[int, int]]:
    """(ceiling, ms of the cheapest way with no step dearer) for every ceiling that matters, from
    the least under which there is a way."""
    prices = sorted({cost for *_, cost in full.edges(data="weight")})
    low, high = 0, len(prices) - 1
    while low < high:
        middle = (low + high) // 2
        if under(full, moments, prices[middle]) is None:
            low = middle + 1
        else:
            high = middle
    for price in prices[low:]:
        found = under(full, moments, price)
        assert found is not None
        yield price, found[0]


def under(full: nx.DiGraph, moments: int, ceiling: int) -> tuple[int, tuple[int, ...]] | None:
    steps = [(t, h, c) for t, h, c in full.edges(data="weight") if c <= ceiling]
    left = nx.DiGraph()
    left.add_nodes_from(full)
    left.add_weighted_edges_from(steps)
    return network_best(left, moments)


def played(make: Callable[[int], Instance], first: int, count: int) -> Iterator[tuple]:
    """(case, question, its graph written out in full)."""
    found = 0
    while found < count:
        case = make(first)
        first += 1
        if answer_of(case) is None:
            continue
        asked = question_of(case, FIRST)
        if asked.graph.size[1] > MOST_STEPS // 8:
            continue
        found += 1
        yield case, asked, explicit_graph(asked.graph, asked.costs)


MANY = [
    pytest.param(tiny, 60_000, 10),
    pytest.param(small, 60_000, 2),
    pytest.param(tiny, 600_000, 300, marks=pytest.mark.slow),
    pytest.param(small, 600_000, 40, marks=pytest.mark.slow),
]
many = pytest.mark.parametrize(("make", "first", "count"), MANY)


@many
def test_the_worst_moment_is_the_least_there_is_and_then_the_sum(make, first, count) -> None:
    eased = 0
    for case, asked, full in played(make, first, count):
        least, _ = next(ceilings(full, len(asked.moments)))
        cheapest, nodes = under(full, len(asked.moments), least)
        answer = search(*case.asked, FIRST)
        assert worst_of(case, answer) == least == worst(asked.graph, asked.costs)
        assert (answer.cost, answer.bound, answer.optimal) == (cheapest, cheapest, True)
        way = zip(asked.graph.layers, nodes, strict=True)
        assert answer.choices == tuple(layer.choice(node) for layer, node in way)
        free = search(*case.asked)
        assert answer.free == free.cost <= answer.cost
        eased += least < worst_of(case, free)
    assert eased or make is small


@many
def test_weighed_in_it_costs_the_least_of_all_ceilings(make, first, count) -> None:
    for case, asked, full in played(make, first, count // 2):
        curve = list(ceilings(full, len(asked.moments)))
        for weight in (1, 4, 1_000):
            answer = search(*case.asked, weighed(weight))
            assert answer.cost == min(cost + weight * ceiling for ceiling, cost in curve)
            assert (answer.bound, answer.optimal) == (answer.cost, True)
            assert answer.cost >= answer.free


@many
def test_a_growing_weight_never_raises_the_worst_moment(make, first, count) -> None:
    """Nor does it ever lower the sum; first is where it leads."""
    for case, *_ in played(make, first + 50, count // 2):
        answers = [search(*case.asked, weighed(weight)) for weight in (1, 3, 30, 1_000)]
        costliest = [worst_of(case, answer) for answer in answers]
        sums = [
            a.cost - w * h for a, w, h in zip(answers, (1, 3, 30, 1_000), costliest, strict=True)
        ]
        assert costliest == sorted(costliest, reverse=True)
        assert sums == sorted(sums)
        last = search(*case.asked, FIRST)
        assert worst_of(case, last) <= costliest[-1]
        assert last.cost >= sums[-1]


def test_with_few_shapes_the_worst_moment_is_the_least_that_those_leave() -> None:
    """So each ceiling below it leaves no answer at all, which the search itself is asked for."""
    case, shapes = case_of("D", "A", metre="2/4"), FewShapes(2)
    answer = search(*case.asked, Conditions(shapes=shapes, costliest=Costliest()))
    assert answer.optimal
    least = worst_of(case, answer)
    free = search(*case.asked, FIRST)
    assert worst_of(case, free) <= least
    asked = question_of(case, Conditions(shapes=shapes))
    below = replace(asked, costs=asked.costs.capped(least - 1))
    with pytest.raises(Unfulfillable):
        prove(below, Watch(20.0))
    at_it = prove(replace(asked, costs=asked.costs.capped(least)), Watch(20.0))
    assert at_it.cost == answer.cost


# how the turns are taken, with proofs by hand


class Told:
    """Stands for the proof: the answer, or the error, for each ceiling from the highest below it.

    turns: {lowest ceiling: (worst, cost, optimal) or an error}; None is asked as a great ceiling.
    """

    def __init__(self, turns: dict[int, object]) -> None:
        self.turns, self.asked = turns, []

    def __call__(self, question: Question) -> Found:
        ceiling = 10**9 if question.costs.most is None else question.costs.most
        self.asked.append(question.costs.most)
        said = self.turns[max(low for low in self.turns if low <= ceiling)]
        if isinstance(said, Exception):
            raise said
        high, cost, optimal = said  # type: ignore[misc]
        return Found((high,), cost, cost if optimal else cost - 10, optimal, 500)


def costliest_first(turns: dict[int, object], costliest: Costliest) -> tuple[Found, Told]:
    told = Told(turns)
    question = question_of(CASE, Conditions(costliest=costliest))
    answered = CostliestFirst(told, lambda nodes: nodes[0])
    return answered(question), told


LEAST = worst(question_of(CASE, FIRST).graph, question_of(CASE, FIRST).costs)
NEVER = Unfulfillable("never")
FOG = NotFound("fog")


def test_the_least_ceiling_is_found_by_halving() -> None:
    turns = {0: NEVER, LEAST + 37: (LEAST + 37, 900, True), LEAST + 300: (LEAST + 300, 700, True)}
    found, told = costliest_first(turns, Costliest())
    assert (found.nodes, found.cost, found.bound, found.optimal) == ((LEAST + 37,), 900, 900, True)
    assert told.asked[:2] == [LEAST, None]
    assert len(told.asked) < 14


def test_what_was_not_found_under_a_lower_ceiling_is_not_said_to_be_impossible() -> None:
    found, _ = costliest_first({0: FOG, LEAST + 37: (LEAST + 37, 900, True)}, Costliest())
    assert (found.cost, found.optimal) == (900, False)
    weighed_in, _ = costliest_first({0: FOG, LEAST + 37: (LEAST + 37, 900, True)}, Costliest(2))
    assert (weighed_in.cost, weighed_in.optimal) == (900 + 2 * (LEAST + 37), False)
    assert weighed_in.bound == 900 + 2 * LEAST


def again(second: object) -> tuple[Found, Told]:
    """Met unproven without a ceiling, never below its own, and ``second`` under its own."""
    high = LEAST + 300
    turns = {0: NEVER, high: second, high + 1: (high, 900, False)}
    return costliest_first(turns, Costliest())


def test_what_was_met_under_a_higher_ceiling_is_proven_under_its_own() -> None:
    """Though ceilings below it were tried in between, of which the last lies just below."""
    found, told = again((LEAST + 300, 900, True))
    assert (found.cost, found.bound, found.optimal) == (900, 900, True)
    assert told.asked[:2] == [LEAST, None]
    assert told.asked[-2:] == [LEAST + 299, LEAST + 300]


def test_what_is_found_under_its_own_ceiling_counts_only_where_it_is_cheaper() -> None:
    """But its bound holds either way."""
    dearer, _ = again((LEAST + 300, 905, False))
    assert (dearer.cost, dearer.bound, dearer.optimal) == (900, 895, False)
    cheaper, _ = again((LEAST + 300, 895, False))
    assert (cheaper.cost, cheaper.bound, cheaper.optimal) == (895, 890, False)
    nothing, _ = again(FOG)
    assert (nothing.cost, nothing.bound, nothing.optimal) == (900, 890, False)


def test_what_is_met_at_its_own_ceiling_is_not_looked_for_again() -> None:
    found, told = costliest_first({0: (LEAST, 900, False)}, Costliest())
    assert (found.cost, found.optimal, told.asked) == (900, False, [LEAST])


@pytest.mark.parametrize("costliest", [Costliest(), Costliest(2)])
@pytest.mark.parametrize("end", [OutOfTime("late"), Stopped("enough")])
def test_what_was_met_before_the_end_is_handed_over(costliest: Costliest, end: Exception) -> None:
    turns = {0: NEVER, LEAST + 1: end, LEAST + 300: (LEAST + 300, 900, True)}
    found, _ = costliest_first(turns, costliest)
    weight = costliest.weight or 0
    assert found.nodes == (LEAST + 300,)
    assert found.cost == 900 + weight * (LEAST + 300)
    assert found.bound <= 900 + weight * LEAST
    assert not found.optimal


@pytest.mark.parametrize("costliest", [Costliest(), Costliest(2)])
@pytest.mark.parametrize("end", [NEVER, FOG, OutOfTime("late"), Stopped("enough")])
def test_without_any_answer_the_reason_is_told(costliest: Costliest, end: Exception) -> None:
    with pytest.raises(type(end), match=str(end)):
        costliest_first({0: end}, costliest)


def test_the_ceiling_comes_down_until_it_cannot_pay() -> None:
    turns = {
        0: NEVER,
        LEAST: (LEAST, 5_000, True),
        LEAST + 50: (LEAST + 50, 1_000, True),
        LEAST + 300: (LEAST + 300, 900, True),
    }
    found, told = costliest_first(turns, Costliest(2))
    assert (found.nodes, found.cost) == ((LEAST + 50,), 1_000 + 2 * (LEAST + 50))
    assert found.bound == found.cost
    assert told.asked == [None, LEAST + 299, LEAST + 49]
    first, _ = costliest_first(turns, Costliest(1))
    assert (first.nodes, first.cost) == ((LEAST + 50,), 1_000 + LEAST + 50)


def test_where_nothing_is_said_of_it_it_is_proven_at_once() -> None:
    told = Told({0: (7, 900, True)})
    found = CostliestFirst(told, lambda nodes: nodes[0])(question_of(CASE, Conditions()))
    assert (found.cost, told.asked) == (900, [None])
