"""The proof: gap and width are widened until it holds, bounds are honest, ties are settled; against
networkx' shortest way without the nodes that ``Shut`` shuts out."""

import random
from dataclasses import replace

import numpy as np
import pytest
from ortools.sat.python import cp_model

import solver.proof as proving
from solver.conditions import Conditions
from solver.conditions.few_shapes import FewShapes, learned
from solver.conditions.quota import Quota
from solver.errors import NotFound, NotPlayable, Unfulfillable
from solver.model import Draft, Solved
from solver.passes import Costs
from solver.proof import prove
from solver.question import Found, Question
from solver.righthand import right_hand
from solver.search import search
from solver.style import Style
from solver.watch import Watch
from solver.ways import Swept
from tests.solver.bundled import bundle_of, question_of
from tests.solver.full_graph import explicit_graph, network_best, step_count
from tests.solver.instances import tiny
from tests.solver.made import case_of
from tests.solver.shut import shut

ANYTHING = Conditions(quotas=(Quota("shifts", most=10_000),))
"""Asks for nothing, but in the way in which whole tunes are asked."""

CASE = case_of("D", "G", "A7", "D")
ODD = case_of("Em", "A", metre="2/4")
TIED = case_of("D5", metre="2/4", style=Style("held", right_hand("bass-only"), "rest", 3, 0))
"""Open strings alone: the hand may wait at any place."""


def question(case=CASE) -> Question:
    return question_of(case, ANYTHING)


def proven(asked: Question, **options: int) -> Found:
    return prove(asked, Watch(30.0), **options)


@pytest.fixture(scope="module")
def shut_out() -> list[tuple[Question, set, int, tuple | None]]:
    """(question, nodes shut out, ms of its free best, networkx' best without them or None)."""
    dice, found, seed = random.Random(11), [], 200
    while len(found) < 30:
        case = tiny(seed)
        seed += 1
        try:
            asked = question(case)
        except NotPlayable:
            continue
        if sum(map(step_count, asked.graph.links)) > 5_000:
            continue
        full = explicit_graph(asked.graph, Costs.of(asked.graph, case.weights))
        count = len(asked.graph.layers)
        true = free = network_best(full, count)
        assert free is not None
        nodes: set[tuple[int, int]] = set()
        for _ in range(dice.randint(1, 6)):
            if true is None:
                break
            place = dice.randrange(count)
            node = (place, true[1][place])
            full.remove_node(node)
            nodes.add(node)
            true = network_best(full, count)
        found.append((asked, nodes, free[0], true))
    return found


def test_it_is_widened_until_the_proof_holds(shut_out, monkeypatch) -> None:
    excesses = []
    for asked, nodes, free, true in shut_out:
        shut(monkeypatch, nodes)
        if true is None:
            with pytest.raises(Unfulfillable):
                proven(asked)
            excesses.append(None)
            continue
        found = proven(asked)
        assert (found.cost, found.bound, found.free) == (true[0], true[0], free)
        assert found.nodes == true[1], "of equal answers that the family allows, the first"
        assert found.optimal
        excesses.append(true[0] - free)
    assert None in excesses
    for low, high in ((0, 0), (1, 20), (21, 300), (301, 5_000)):
        assert any(e is not None and low <= e <= high for e in excesses), (low, high)


def narrow(monkeypatch, *widths: int) -> None:
    """Only so far is the graph explored."""
    monkeypatch.setattr(proving._Search, "_widths", lambda _: widths)


def test_only_known_shapes_are_no_family_and_still_end_in_time(monkeypatch) -> None:
    """Where ties cannot be settled in time, the best met is handed over unproven."""
    known = tuple({learned(choice.grip) for choice in search(*CASE.asked).choices} - {None})
    asked = question_of(CASE, Conditions(shapes=FewShapes(None, known)))
    assert proven(asked).optimal
    monkeypatch.setattr(proving, "first_allowed", lambda *_: None)
    found = proven(asked)
    assert (found.optimal, found.bound) == (False, found.cost)


def test_where_it_may_not_be_widened_the_bound_is_honest(shut_out, monkeypatch) -> None:
    """Nothing is claimed of what lies beyond the bundle."""
    narrow(monkeypatch, 30, 60)
    kinds = set()
    for asked, nodes, free, true in shut_out:
        shut(monkeypatch, nodes)
        try:
            found = proven(asked)
        except NotFound:
            assert true is None or true[0] > free + 60
            kinds.add("not found")
            continue
        assert true is not None
        assert found.bound <= true[0] <= found.cost
        assert found.optimal == (true[0] <= free + 60)
        if found.optimal:
            assert (found.cost, found.nodes) == true
        kinds.add(found.optimal)
    assert kinds >= {True, "not found"}


def test_too_many_steps_are_not_explored(monkeypatch) -> None:
    monkeypatch.setattr(proving, "MOST_STEPS", 3)
    with pytest.raises(NotFound, match="at least 0 ms more than the easiest without it"):
        proven(question())


def test_equal_answers_are_settled_among_those_that_every_family_allows(monkeypatch) -> None:
    """The first way through the kept graph is no answer where a family forbids it."""
    first = proven(question(TIED))
    shut(monkeypatch, {(0, first.nodes[0])})
    other = proven(question(TIED))
    assert other.cost == first.cost
    assert other.nodes == (first.nodes[0] + 1, *first.nodes[1:])


def faked(monkeypatch, best: int, *answers: Solved) -> list[Draft]:
    """The solver gives these answers in turn, the last one for ever, and their ways cost what they
    say above ``best``; the drafts it was given."""
    asked: list[Draft] = []

    def cost(*_: object) -> int:
        return best + answers[min(len(asked), len(answers)) - 1].excess // 64

    def fake(draft: Draft, *rest: object) -> Solved:
        asked.append(draft)
        return answers[min(len(asked), len(answers)) - 1]

    monkeypatch.setattr(proving, "solve_model", fake)
    monkeypatch.setattr(proving, "asked", cost)
    monkeypatch.setattr(proving, "FEW_STEPS", -1)
    monkeypatch.setattr(proving, "ascend", blind(proving.ascend))
    monkeypatch.setattr(proving, "first_answer", lambda *_: None)
    return asked


def blind(ascend):
    """An ascent that meets no answer by itself."""

    def without(*asked, **options):
        return replace(ascend(*asked, **options), best=None)

    return without


def positions(asked: Question, nodes: tuple[int, ...], slack: int) -> tuple[int, ...]:
    ways = bundle_of(asked.graph, asked.costs, slack)
    return tuple(
        int(np.searchsorted(row, node)) for row, node in zip(ways.nodes, nodes, strict=True)
    )


@pytest.mark.parametrize(("bound", "promised"), [(0, 0), (12, 12), (40, 21), (1_000, 21)])
def test_an_answer_cut_short_comes_with_an_honest_bound(monkeypatch, bound, promised) -> None:
    """What was pruned away may cost as little as the best and the gap and 1 ms."""
    asked = question()
    best = proven(asked)
    way = positions(asked, best.nodes, 300)
    faked(monkeypatch, best.cost, Solved("FEASIBLE", 40 * 64, bound * 64, way))
    narrow(monkeypatch, 300)
    found = proven(asked)
    assert (found.cost, found.bound, found.optimal) == (
        best.cost + 40,
        best.cost + promised,
        False,
    )


def test_an_optimum_further_off_than_the_gap_is_not_taken_for_proven(monkeypatch) -> None:
    """What was left out may cost less; so the next gap is tried, which may find it."""
    asked = question()
    best = proven(asked)
    way = positions(asked, best.nodes, 300)
    far = Solved("OPTIMAL", 250 * 64, 250 * 64, way)
    drafts = faked(monkeypatch, best.cost, far, far, replace(far, excess=7 * 64, bound=7 * 64))
    monkeypatch.setattr(proving._Search, "_settle", settled)
    found = proven(asked)
    assert (found.cost, found.bound, found.optimal) == (best.cost + 7, best.cost + 7, True)
    assert len(drafts) == 3
    sizes = [draft.kept.number_of_edges() for draft in drafts]
    assert sizes == sorted(sizes)
    assert sizes[0] < sizes[2]


def settled(self, draft: Draft, solved: Solved, cost: int, swept: Swept) -> None:
    """Takes the solver's own answer."""
    self.proven = True


def test_once_nothing_is_left_out_nothing_wider_is_asked(monkeypatch) -> None:
    """That there is no answer is proven once, however many gaps there still are."""
    monkeypatch.setattr(proving, "FEW_STEPS", -1)
    sizes = []

    def counted(draft: Draft, *rest):
        sizes.append(draft.kept.number_of_edges())
        return true(draft, *rest)

    true = proving.solve_model
    monkeypatch.setattr(proving, "solve_model", counted)
    asked = question(ODD)
    last = len(asked.graph.layers) - 1
    shut(monkeypatch, {(last, node) for node in range(len(asked.graph.layers[last]))})
    with pytest.raises(Unfulfillable):
        proven(asked)
    assert len(sizes) > 2
    assert sizes.count(max(sizes)) == 1


def test_a_solver_that_lies_about_there_being_nothing_is_found_out(monkeypatch) -> None:
    class Lying(cp_model.CpSolver):
        def solve(self, model, *rest):  # type: ignore[no-untyped-def]
            status = super().solve(model, *rest)
            return cp_model.INFEASIBLE if self.parameters.cp_model_presolve else status

    monkeypatch.setattr(cp_model, "CpSolver", Lying)
    with pytest.raises(RuntimeError, match="had said that there is none"):
        proven(question())
