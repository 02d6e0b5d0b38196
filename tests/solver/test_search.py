"""The search round the model: gap deepening, time limits, what is refused, what is reported."""

import random
import time
from dataclasses import replace

import pytest

import corpus
import solver.search as searching
from fretboard.hand import Hand
from fretboard.presets import instrument
from scoring.moment import FOREIGN
from scoring.weights import Weights
from solver.constraints import one_way
from solver.errors import ArrangeError, NotPlayable
from solver.graph import build_graph
from solver.model import Draft, Solved
from solver.moments import moments_of
from solver.passes import Costs
from solver.righthand import right_hand
from solver.search import search
from solver.style import Style
from tests.solver.full_graph import explicit_graph, network_best, step_count
from tests.solver.instances import Instance, tiny
from tests.solver.made import case_of, graph_of
from tune.readers import read

CASE = case_of("D", "G", "A7", "D")
TIED = case_of("D5", metre="2/4", style=Style("held", right_hand("bass-only"), "rest", 3, 0))
"""Open strings alone: the hand may wait at any place."""


def solve(case: Instance, seconds: float = 30.0):
    return searching._solve(graph_of(case), case.weights, seconds, 1, 1, None)


def without(forbidden: set[tuple[int, int]]):
    """A family that shuts nodes out, known to the model alone."""

    def add(draft: Draft) -> None:
        for edge, step in draft.step.items():
            if edge[1] in forbidden:
                draft.model.add(step == 0)

    return add


def deepened(case: Instance, dice: random.Random, monkeypatch) -> tuple[int, bool] | None:
    """Shuts out nodes of the best answer, then of the next and so on; compares with networkx on
    the full graph without them. (ms above the free best, proven) or None without another way."""
    graph = graph_of(case)
    full = explicit_graph(graph, Costs.of(graph, case.weights))
    count = len(graph.layers)
    free = network_best(full, count)
    assert free is not None
    forbidden: set[tuple[int, int]] = set()
    true = free
    for _ in range(dice.randint(1, 6)):
        place = dice.randrange(count)
        node = (place, true[1][place])
        left = full.copy()
        left.remove_node(node)
        following = network_best(left, count)
        if following is None:
            break
        full, true = left, following
        forbidden.add(node)
    if not forbidden:
        return None
    monkeypatch.setattr(searching, "FAMILIES", (one_way.add, without(forbidden)))
    excess = true[0] - free[0]
    refused, solved = None, None
    try:
        solved = searching._solve(graph, case.weights, 30.0, 1, 1, None)
    except ArrangeError as error:
        refused = str(error)
    monkeypatch.undo()
    if solved is None:
        assert refused == "no way within 500 ms of the best holds all that is asked"
        assert excess > searching.GAPS[-1]
        return excess, False
    nodes, cost, bound, proven = solved
    assert forbidden.isdisjoint(enumerate(nodes))
    assert bound <= true[0] <= cost
    if proven:
        assert bound == cost == true[0]
        assert nodes == true[1], "of equal answers that the family allows, the first"
    else:
        assert excess > searching.GAPS[-1]
    return excess, proven


def test_the_gap_is_widened_until_the_proof_holds(monkeypatch) -> None:
    dice = random.Random(11)
    excesses, seed = [], 200
    while len(excesses) < 40:
        case = tiny(seed)
        seed += 1
        try:
            graph = graph_of(case)
        except NotPlayable:
            continue
        if sum(map(step_count, graph.links)) > 5_000:
            continue
        found = deepened(case, dice, monkeypatch)
        if found is not None:
            excesses.append(found)
    for low, high in ((0, 0), (1, 20), (21, 100), (101, 500)):
        assert any(low <= excess <= high and proven for excess, proven in excesses), (low, high)
    assert any(excess > searching.GAPS[-1] and not proven for excess, proven in excesses)


def test_equal_answers_are_settled_among_those_that_every_family_allows(monkeypatch) -> None:
    """The first way through the kept graph is no answer where a family forbids it."""
    first, best, _, _ = solve(TIED)
    monkeypatch.setattr(searching, "FAMILIES", (one_way.add, without({(0, first[0])})))
    nodes, cost, _, _ = solve(TIED)
    if cost != best:
        pytest.fail("there should be another way that costs the same")
    assert nodes == (first[0] + 1, *first[1:])


def test_an_optimum_further_off_than_the_gap_is_not_taken_for_proven(monkeypatch) -> None:
    """Within gap 0 every step belongs to some best way; ways put together of several such steps
    may cost more, and something left out may cost less."""
    asked = []

    def fake(draft: Draft, *rest) -> Solved:
        asked.append(draft)
        far = Solved("OPTIMAL", 10_000, 10_000, true_nodes)
        return far if len(asked) < 3 else Solved("OPTIMAL", 7, 7, true_nodes)

    true_nodes = solve(CASE)[0]
    best = solve(CASE)[1]
    monkeypatch.setattr(searching, "solve_model", fake)
    assert solve(CASE) == (true_nodes, best + 7, best + 7, True)
    assert len(asked) == 3
    assert len(asked[0].kept) < len(asked[2].kept)


@pytest.mark.parametrize(("bound", "promised"), [(0, 0), (12, 12), (40, searching.GAPS[0] + 1)])
def test_an_answer_cut_short_comes_with_an_honest_bound(
    monkeypatch, bound: int, promised: int
) -> None:
    """What was pruned away may cost as little as the best and the gap and 1 ms."""
    nodes, best, _, _ = solve(CASE)
    stopped = Solved("FEASIBLE", 40, bound, nodes)
    monkeypatch.setattr(searching, "solve_model", lambda *_: stopped)
    promised = min(promised, searching.GAPS[0] + 1)
    assert solve(CASE) == (nodes, best + 40, best + promised, False)


def test_an_answer_beyond_the_widest_gap_is_unproven(monkeypatch) -> None:
    nodes, best, _, _ = solve(CASE)
    far = Solved("OPTIMAL", 9_000, 9_000, nodes)
    monkeypatch.setattr(searching, "solve_model", lambda *_: far)
    assert solve(CASE) == (nodes, best + 9_000, best + searching.GAPS[-1] + 1, False)


def test_no_time_gives_the_way_of_the_pass_unproven() -> None:
    proven = search(*CASE.asked)
    answer = search(*CASE.asked, seconds=0.0)
    assert not answer.optimal
    assert answer.choices == proven.choices
    assert answer.bound <= answer.cost == proven.cost


def test_no_time_gives_one_sentence_where_a_way_is_not_enough(monkeypatch) -> None:
    monkeypatch.setattr(searching, "FAMILIES", (*searching.FAMILIES, lambda draft: None))
    with pytest.raises(ArrangeError, match="no arrangement in its time; allow it more seconds"):
        search(*CASE.asked, seconds=0.0)


def test_progress_is_told_in_order() -> None:
    told: list[tuple[str, int, int]] = []
    answer = search(*CASE.asked, progress=lambda *what: told.append(what))
    count = len(answer.moments)
    words = [word for word, _, _ in told]
    assert [w for n, w in enumerate(words) if w not in words[:n]] == [
        "laying out",
        "weighing",
        "proving",
    ]
    assert [done for word, done, _ in told if word == "laying out"] == list(range(count))
    assert {whole for _, _, whole in told} == {count}


def test_seconds_are_the_clocks_and_nothing_else_changes() -> None:
    one, other = search(*CASE.asked), search(*CASE.asked)
    assert one.seconds > 0
    assert replace(one, seconds=0.0) == replace(other, seconds=0.0)


def test_no_way_from_one_moment_to_the_next_names_the_bar() -> None:
    """The bass string must be struck again on its note, and is asked for another one."""
    case = case_of(
        "D", "G", metre="3/4", style=Style("roots", right_hand("full-strum"), "rest", 9, 5)
    )
    moments = list(moments_of(case.tune, case.style, 3))
    again = next(i for i, m in enumerate(moments) if m.bar == 2 and m.keeps)
    moments[again] = replace(moments[again], roles=frozenset({"fifth"}))
    graph = build_graph(tuple(moments), case.instrument, case.hand, case.style)
    with pytest.raises(NotPlayable) as refused:
        searching._solve(graph, case.weights, 10.0, 1, 1, None)
    assert (refused.value.bar, refused.value.chord) == (2, "G")
    assert str(refused.value) == (
        "bar 2: G cannot be reached from what comes before it as asked; "
        "another bass manner or right hand may reach it"
    )


@pytest.mark.parametrize("tune", ["kettle-on-at-nine", "wet-boots-in-the-porch"])
def test_a_bass_that_walks_in_two_steps_between_its_strums(tune: str) -> None:
    """In 6/8 and 2/4 a strum falls between two bass notes; passing and approach notes ring
    through it (Lehmann, second species: dissonance on weak beats, by step)."""
    answer = search(
        read(str(corpus.path(tune))), instrument(), Hand(), Style(manner="walking"), Weights()
    )
    roles = {choice.role for choice in answer.choices}
    assert roles & set(FOREIGN)
    assert answer.optimal


def test_all_gaps_share_one_time_limit(monkeypatch) -> None:
    """Each gap after the first has what the ones before it left."""
    given = []

    def slow(draft: Draft, seconds: float, *rest) -> Solved:
        given.append(seconds)
        time.sleep(0.01)
        return Solved("OPTIMAL", 10_000, 10_000, nodes)

    nodes = solve(CASE)[0]
    monkeypatch.setattr(searching, "solve_model", slow)
    solve(CASE)
    assert len(given) == len(searching.GAPS)
    assert given == sorted(given, reverse=True)
    assert given[0] - given[-1] >= 0.01 * (len(given) - 1)
