"""The CP-SAT model: each constraint family alone, the objective, and what the solver reports.

Kept graphs are made by hand: two moments of two nodes each, unless a test says otherwise.
"""

from itertools import product

import networkx as nx
import pytest
from ortools.sat.python import cp_model

from solver.constraints import one_way
from solver.model import Draft, draft_model, lowest_first, solve_model
from solver.prune import START

A, B, C, D = (0, 0), (0, 1), (1, 0), (1, 1)
STEPS = ((START, A, 0), (START, B, 3), (A, C, 5), (A, D, 2), (B, C, 0), (B, D, 4))


def kept(steps=STEPS) -> nx.DiGraph:
    graph = nx.DiGraph()
    for tail, head, reduced in steps:
        graph.add_edge(tail, head, reduced=reduced)
    return graph


def draft_of(steps=STEPS, last: int = 1, families=(one_way.add,)) -> Draft:
    return draft_model(kept(steps), last, families)


def status_with(draft: Draft, *fixed: tuple[tuple, tuple, int]) -> str:
    """The solver's word when these steps are taken (1) or not (0)."""
    for tail, head, value in fixed:
        draft.model.add(draft.step[tail, head] == value)
    solver = cp_model.CpSolver()
    return solver.status_name(solver.solve(draft.model))


def answers(draft: Draft) -> set[frozenset]:
    """Every set of steps that the model allows."""
    edges = list(draft.step)
    found = set()
    for values in product((0, 1), repeat=len(edges)):
        fresh = draft_model(draft.kept, draft.last, (one_way.add,))
        fixed = [(*edge, value) for edge, value in zip(edges, values, strict=True)]
        if status_with(fresh, *fixed) == "OPTIMAL":
            found.add(frozenset(e for e, value in zip(edges, values, strict=True) if value))
    return found


def test_one_way_allows_exactly_the_ways_through() -> None:
    ways = {
        frozenset(nx.utils.pairwise((START, first, second)))
        for first in (A, B)
        for second in (C, D)
    }
    assert answers(draft_of()) == ways


@pytest.mark.parametrize(
    "fixed",
    [
        pytest.param([(START, A, 0), (START, B, 0)], id="no beginning"),
        pytest.param([(START, A, 1), (START, B, 1)], id="two beginnings"),
        pytest.param([(START, A, 1), (A, C, 0), (A, D, 0)], id="entered and not left"),
        pytest.param([(START, A, 0), (A, C, 1)], id="left and not entered"),
        pytest.param([(A, C, 1), (A, D, 1)], id="left twice"),
    ],
)
def test_one_way_forbids(fixed) -> None:
    assert status_with(draft_of(), *fixed) == "INFEASIBLE"


def test_without_the_family_anything_goes() -> None:
    """So it is the family that forbids, not something else in the model."""
    assert status_with(draft_of(families=()), (START, A, 1), (START, B, 1)) == "OPTIMAL"


def test_one_way_through_a_single_moment() -> None:
    draft = draft_of(((START, A, 0), (START, B, 1)), last=0)
    solved = solve_model(draft, 10, 1, 1)
    assert (solved.status, solved.excess, solved.nodes) == ("OPTIMAL", 0, (0,))


def test_a_dead_end_is_never_entered() -> None:
    steps = ((START, A, 0), (START, B, 9), (B, C, 0), (C, (2, 0), 0))
    solved = solve_model(draft_of(steps, last=2), 10, 1, 1)
    assert (solved.excess, solved.nodes) == (9, (1, 0, 0))


def test_the_objective_is_the_sum_of_what_is_given_away() -> None:
    solved = solve_model(draft_of(), 10, 1, 1)
    assert (solved.status, solved.excess, solved.bound, solved.nodes) == ("OPTIMAL", 2, 2, (0, 1))


@pytest.mark.parametrize(
    ("forbidden", "excess", "nodes"),
    [((A, D), 3, (1, 0)), ((START, A), 3, (1, 0)), ((START, B), 2, (0, 1))],
)
def test_another_family_is_held_beside_it(forbidden, excess: int, nodes) -> None:
    def without(draft: Draft) -> None:
        draft.model.add(draft.step[forbidden] == 0)

    solved = solve_model(draft_of(families=(one_way.add, without)), 10, 1, 1)
    assert (solved.status, solved.excess, solved.nodes) == ("OPTIMAL", excess, nodes)


def test_what_cannot_be_is_reported_without_an_answer() -> None:
    def nothing(draft: Draft) -> None:
        draft.model.add_bool_or([])

    solved = solve_model(draft_of(families=(one_way.add, nothing)), 10, 1, 1)
    assert (solved.status, solved.nodes) == ("INFEASIBLE", ())


def test_no_time_at_all() -> None:
    solved = solve_model(draft_of(), 0.0, 1, 1)
    assert (solved.status, solved.nodes) == ("UNKNOWN", ())


TIED = ((START, A, 0), (START, B, 0), (A, C, 1), (A, D, 1), (B, C, 1), (B, D, 0))


@pytest.mark.parametrize(
    ("shut", "excess", "nodes"),
    [((), 0, (1, 1)), ([(B, D)], 1, (0, 0)), ([(B, D), (A, C)], 1, (0, 1))],
)
def test_the_lowest_node_first_among_answers_that_cost_as_little(shut, excess: int, nodes) -> None:
    def without(draft: Draft) -> None:
        for edge in shut:
            draft.model.add(draft.step[edge] == 0)

    draft = draft_of(TIED, families=(one_way.add, without))
    assert solve_model(draft, 10, 1, 1).excess == excess
    lowest = lowest_first(draft, excess, 10, 1, 1)
    assert (lowest([A, B]), lowest([C, D])) == nodes


def test_the_lowest_node_cannot_be_told_without_time() -> None:
    assert lowest_first(draft_of(TIED), 0, 0.0, 1, 1)([A, B]) is None
