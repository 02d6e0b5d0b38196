"""The CP-SAT model: each constraint family alone, the objective, and what the solver reports.

Kept graphs are made by hand: two moments of two nodes each, unless a test says otherwise.
"""

from itertools import product

import networkx as nx
import pytest
from ortools.sat.python import cp_model

from solver.constraints import one_way
from solver.model import Draft, draft_model, hold_to, lowest_number, solve_model
from solver.prune import START
from solver.stop import Stop

A, B, C, D = (0, 0), (0, 1), (1, 0), (1, 1)
STEPS = ((START, A, 0), (START, B, 3), (A, C, 5), (A, D, 2), (B, C, 0), (B, D, 4))


def kept(steps=STEPS) -> nx.DiGraph:
    graph = nx.DiGraph()
    for number, (tail, head, reduced) in enumerate(steps):
        graph.add_edge(tail, head, reduced=reduced, step=number)
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
    assert (solved.status, solved.excess, solved.positions) == ("OPTIMAL", 0, (0,))


def test_a_dead_end_is_never_entered() -> None:
    steps = ((START, A, 0), (START, B, 9), (B, C, 0), (C, (2, 0), 0))
    solved = solve_model(draft_of(steps, last=2), 10, 1, 1)
    assert (solved.excess, solved.positions) == (9, (1, 0, 0))


def test_the_objective_is_the_sum_of_what_is_given_away() -> None:
    solved = solve_model(draft_of(), 10, 1, 1)
    assert (solved.status, solved.excess, solved.bound, solved.positions) == (
        "OPTIMAL",
        2,
        2,
        (0, 1),
    )


@pytest.mark.parametrize(
    ("forbidden", "excess", "nodes"),
    [((A, D), 3, (1, 0)), ((START, A), 3, (1, 0)), ((START, B), 2, (0, 1))],
)
def test_another_family_is_held_beside_it(forbidden, excess: int, nodes) -> None:
    def without(draft: Draft) -> int:
        draft.model.add(draft.step[forbidden] == 0)
        return 0

    solved = solve_model(draft_of(families=(one_way.add, without)), 10, 1, 1)
    assert (solved.status, solved.excess, solved.positions) == ("OPTIMAL", excess, nodes)


def test_what_cannot_be_is_reported_without_an_answer() -> None:
    def nothing(draft: Draft) -> int:
        draft.model.add_bool_or([])
        return 0

    solved = solve_model(draft_of(families=(one_way.add, nothing)), 10, 1, 1)
    assert (solved.status, solved.positions) == ("INFEASIBLE", ())


def test_no_time_at_all() -> None:
    solved = solve_model(draft_of(), 0.0, 1, 1)
    assert (solved.status, solved.positions) == ("UNKNOWN", ())


@pytest.mark.parametrize(("price", "excess", "way"), [(0, 2, (0, 1)), (7, 3, (1, 0))])
def test_what_a_family_adds_counts_in_the_objective(price: int, excess: int, way) -> None:
    """A price on the step from A to D, until another way is cheaper."""
    families = (one_way.add, lambda draft: price * draft.step[A, D])
    solved = solve_model(draft_of(families=families), 10, 1, 1)
    assert (solved.status, solved.excess, solved.bound) == ("OPTIMAL", excess, excess)
    assert solved.positions == way


@pytest.mark.parametrize("hint", [(0, 1), (1, 0), (0, 0)])
def test_a_hint_changes_nothing_but_the_time(hint) -> None:
    draft = draft_of()
    solved = solve_model(draft, 10, 1, 1, hint)
    assert (solved.status, solved.excess, solved.positions) == ("OPTIMAL", 2, (0, 1))
    assert not draft.model.proto.solution_hint.vars, "the next question is asked without it"


def test_entering_and_numbered_name_every_step_once() -> None:
    draft = draft_of()
    assert {m: {p: len(s) for p, s in by.items()} for m, by in draft.entering.items()} == {
        0: {0: 1, 1: 1},
        1: {0: 2, 1: 2},
    }
    named = [(moment, number) for moment, number, _ in draft.numbered()]
    assert named == [(0, 0), (0, 1), (1, 2), (1, 3), (1, 4), (1, 5)]
    assert len({step.index for *_, step in draft.numbered()}) == len(STEPS)


class Lying(cp_model.CpSolver):
    """Says INFEASIBLE of every model that it may simplify first."""

    def solve(self, model, *rest):  # type: ignore[no-untyped-def]
        status = super().solve(model, *rest)
        return cp_model.INFEASIBLE if self.parameters.cp_model_presolve else status


def test_a_solver_that_wrongly_finds_nothing_is_found_out(monkeypatch) -> None:
    monkeypatch.setattr(cp_model, "CpSolver", Lying)
    with pytest.raises(RuntimeError, match="had said that there is none"):
        solve_model(draft_of(), 10, 1, 1)


def test_what_the_second_solver_cannot_tell_is_unknown(monkeypatch) -> None:
    class Silent(Lying):
        def solve(self, model, *rest):  # type: ignore[no-untyped-def]
            super().solve(model, *rest)
            simplifies = self.parameters.cp_model_presolve
            return cp_model.INFEASIBLE if simplifies else cp_model.UNKNOWN

    monkeypatch.setattr(cp_model, "CpSolver", Silent)
    solved = solve_model(draft_of(), 10, 1, 1)
    assert (solved.status, solved.positions) == ("UNKNOWN", ())


def test_infeasible_is_asked_twice_and_differently(monkeypatch) -> None:
    asked = []

    class Watched(cp_model.CpSolver):
        def solve(self, model, *rest):  # type: ignore[no-untyped-def]
            asked.append((self.parameters.cp_model_presolve, self.parameters.random_seed))
            return super().solve(model, *rest)

    def nothing(draft: Draft) -> int:
        draft.model.add_bool_or([])
        return 0

    monkeypatch.setattr(cp_model, "CpSolver", Watched)
    solved = solve_model(draft_of(families=(one_way.add, nothing)), 10, 1, 4)
    assert solved.status == "INFEASIBLE"
    assert asked == [(True, 4), (False, 5)]


def test_a_stop_given_beforehand_ends_the_solving_at_once() -> None:
    stop = Stop()
    stop.now()
    solved = solve_model(draft_of(), 10, 1, 1, stop=stop)
    assert (solved.status, solved.positions) == ("UNKNOWN", ())
    assert solve_model(draft_of(), 10, 1, 1, stop=Stop()).status == "OPTIMAL"


TIED = ((START, A, 0), (START, B, 0), (A, C, 1), (A, D, 1), (B, C, 1), (B, D, 0))


def ranks(draft: Draft):
    """2 × the rank at the first moment + the rank at the second."""
    second = sum(draft.entering[1][1])
    return 2 * sum(draft.entering[0][1]) + second


@pytest.mark.parametrize(
    ("shut", "excess", "number"),
    [((), 0, 3), ([(B, D)], 1, 0), ([(B, D), (A, C)], 1, 1)],
)
def test_the_lowest_number_among_answers_that_cost_as_little(shut, excess: int, number) -> None:
    def without(draft: Draft) -> int:
        for edge in shut:
            draft.model.add(draft.step[edge] == 0)
        return 0

    draft = draft_of(TIED, families=(one_way.add, without))
    assert solve_model(draft, 10, 1, 1).excess == excess
    hold_to(draft, excess)
    assert lowest_number(draft, ranks(draft), 10, 1, 1) == number
    assert lowest_number(draft, -ranks(draft), 10, 1, 1) == -number, "it is held to that"


def test_the_lowest_number_cannot_be_told_without_time() -> None:
    draft = draft_of(TIED)
    hold_to(draft, 0)
    assert lowest_number(draft, ranks(draft), 0.0, 1, 1) is None
