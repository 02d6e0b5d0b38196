"""What is called impossible is: the least and the most that any sequence counts, written out."""

import pytest

from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.few_shapes import FewShapes
from solver.conditions.pinned import BassManner
from solver.conditions.quota import COUNTED, Quota
from solver.impossible import fewest_shapes, least_and_most, proven_impossible
from solver.passes import Costs
from solver.question import Question
from tests.solver.brute import Page
from tests.solver.conditioned import tiny_conditioned
from tests.solver.made import case_of, graph_of


def question_of(seed: int) -> tuple[Question, Page]:
    asked = tiny_conditioned(seed)
    graph = graph_of(asked.case)
    costs = Costs.of(graph, Weights())
    question = Question(asked.case.tune, graph.moments, graph, costs, Conditions())
    return question, Page(asked.book, asked.case.tune)


SEEDS = [seed for seed in range(13) if seed != 3]
"""Without those whose pins choose a manner: other moments than those of ``question_of``."""


@pytest.mark.parametrize("seed", SEEDS)
def test_least_and_most_are_those_of_every_sequence(seed: int) -> None:
    pins = tiny_conditioned(seed).conditions.pins
    assert not any(isinstance(pin.pinned, BassManner) for pin in pins), "choose another seed"
    question, page = question_of(seed)
    for what in COUNTED:
        quota = Quota(what, most=0, above=30 if what == "hard" else None)
        found = least_and_most(question, quota)
        assert found is not None
        counted = page.counted(quota)
        if what == "hard":  # looser, and never on the wrong side
            assert found[0] <= counted.min()
            assert found[1] >= counted.max()
        else:
            assert found == (counted.min(), counted.max())
    many, _ = page._shapes(FewShapes(0))
    fewest = fewest_shapes(question)
    assert fewest <= many.min()
    for enough in range(3):
        quick = fewest_shapes(question, enough)
        assert quick <= many.min()
        assert (quick > enough) == (fewest > enough), "it may be lower only where that is enough"


def test_the_sentence_has_the_numbers() -> None:
    case = case_of("D", "G")
    graph = graph_of(case)
    conditions = Conditions(quotas=(Quota("passing", least=200),))
    question = Question(case.tune, graph.moments, graph, Costs.of(graph, case.weights), conditions)
    assert proven_impossible(question) == (
        "'at least 200 passing' cannot be held: there can be no more than 0"
    )


@pytest.mark.parametrize(
    ("least", "most", "excluded"),
    [
        ("1 shifts", "0 shifts", True),
        ("1 shifts", "1 shifts", False),
        ("3 barred", "2 barred", True),
        ("3 barred", "2 shifts", False),
        ("3 passing, 1-2", "2 passing", True),  # in a part there are no more than in all
        ("3 passing", "2 passing, 1-2", False),
        ("2 shifts a bar", "1 shifts a bar", True),
        ("2 shifts", "1 shifts a bar", False),
        ("3 hard above 70", "2 hard above 60", True),  # what lies above 70 lies above 60
        ("3 hard above 60", "2 hard above 70", False),
    ],
)
def test_two_quotas_that_cannot_both_hold_are_known_at_once(
    least: str, most: str, excluded: bool
) -> None:
    quotas = (Quota.parse(most, True), Quota.parse(least, False))
    assert quotas[1].excludes(quotas[0]) == excluded
    assert not quotas[0].excludes(quotas[1])
    if excluded:
        case = case_of("D", "G")
        graph = graph_of(case)
        costs = Costs.of(graph, case.weights)
        question = Question(case.tune, graph.moments, graph, costs, Conditions(quotas=quotas))
        assert proven_impossible(question) == f"'{quotas[1]}' and '{quotas[0]}' cannot both hold"
