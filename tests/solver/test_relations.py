"""Relations that hold for any true optimum, so that a breach is a bug.

Instances are drawn by hypothesis through the seeds of ``instances``. What cannot be played costs
more than anything (``NEVER``).
"""

import math
from collections.abc import Callable
from dataclasses import replace

import networkx as nx
import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from fretboard.hand import FINGERS
from scoring.evaluate import evaluate
from scoring.terms import TERMS
from solver.arrays import FAR
from solver.errors import NotPlayable
from solver.graph import build_graph
from solver.held import Held
from solver.moments import moments_of
from solver.passes import Costs, explore, outlook
from solver.search import Answer, search
from tests.solver.full_graph import explicit_graph, step_count
from tests.solver.instances import Instance, small, tiny
from tests.solver.sung_instances import tiny_drone, tiny_solo

NEVER = math.inf
MAKERS = st.sampled_from([tiny, small, tiny_solo, tiny_drone])
SEEDS = st.integers(0, 1_000_000)
NAMES = [term.about.name for term in TERMS]


def examples(quick: int, slow: int) -> pytest.MarkDecorator:
    """The test's argument ``count``: few examples, and many where slow tests are wanted."""
    return pytest.mark.parametrize("count", [quick, pytest.param(slow, marks=pytest.mark.slow)])


def hold(count: int, *strategies: st.SearchStrategy, for_all: Callable[..., None]) -> None:
    """Runs ``for_all`` on ``count`` examples, always the same ones."""
    steady = settings(
        max_examples=count,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    steady(given(*strategies)(for_all))()


def answer_of(case: Instance, **options: int) -> Answer | None:
    try:
        return search(*case.asked, **options)
    except NotPlayable:
        return None


def cost_of(case: Instance) -> float:
    answer = answer_of(case)
    return NEVER if answer is None else answer.cost


@examples(20, 300)
def test_one_more_finger_never_costs_more(count: int) -> None:
    def relation(make: Callable[[int], Instance], seed: int, which: int) -> None:
        case = make(seed)
        idle = case.hand.not_used
        allowed = idle[which % len(idle)]
        hand = replace(case.hand, not_used=idle.replace(allowed, ""))
        assert cost_of(replace(case, hand=hand)) <= cost_of(case)

    hold(count, MAKERS, SEEDS, st.integers(0, 4), for_all=relation)


@examples(20, 300)
def test_one_more_bar_never_costs_more(count: int) -> None:
    def relation(make: Callable[[int], Instance], seed: int) -> None:
        case = make(seed)
        hand = replace(case.hand, may_bar=FINGERS)
        assert cost_of(replace(case, hand=hand)) <= cost_of(case)

    hold(count, MAKERS, SEEDS, for_all=relation)


@examples(20, 300)
def test_a_longer_greatest_reach_never_costs_more(count: int) -> None:
    def relation(make: Callable[[int], Instance], seed: int, tenths: int) -> None:
        case = make(seed)
        greatest = {pair: reach + tenths for pair, reach in case.hand.greatest.items()}
        hand = replace(case.hand, greatest=greatest)
        assert hand.comfortable == case.hand.comfortable
        assert cost_of(replace(case, hand=hand)) <= cost_of(case)

    hold(count, MAKERS, SEEDS, st.integers(1, 2000), for_all=relation)


@examples(20, 300)
def test_higher_frets_allowed_never_cost_more(count: int) -> None:
    """Frets that are there and become allowed; a fret let in between two others is another
    instrument, where the gap behind the next fret is narrower, and may cost more."""

    def relation(make: Callable[[int], Instance], seed: int, bass: int, upper: int) -> None:
        case = make(seed)
        style = replace(
            case.style,
            bass_ceiling=case.style.bass_ceiling + bass,
            highest=case.style.highest + upper,
        )
        assert cost_of(replace(case, style=style)) <= cost_of(case)

    hold(count, MAKERS, SEEDS, st.integers(0, 3), st.integers(0, 2), for_all=relation)


def test_a_fret_that_makes_the_manners_own_note_playable_never_costs_more() -> None:
    """A fifth that comes within reach is a wish with a price, no duty."""
    case = small(223_760)
    higher = replace(case.style, bass_ceiling=case.style.bass_ceiling + 2)
    assert cost_of(replace(case, style=higher)) <= cost_of(case)


@examples(20, 300)
def test_a_string_below_the_bass_allowed_at_a_price_never_costs_more(count: int) -> None:
    def relation(make: Callable[[int], Instance], seed: int) -> None:
        case = make(seed)
        strict = replace(case, style=replace(case.style, bass_lowest=True))
        free = replace(case, style=replace(case.style, bass_lowest=False))
        assert cost_of(free) <= cost_of(strict)

    hold(count, MAKERS, SEEDS, for_all=relation)


@examples(12, 250)
def test_forcing_a_choice(count: int) -> None:
    """The optimum's own changes nothing, another never costs less; each costs what networkx finds
    to be the shortest way through it."""

    def relation(make: Callable[[int], Instance], seed: int, where: int) -> None:
        case = make(seed)
        answer = answer_of(case)
        assume(answer is not None)
        assert answer is not None
        graph = build_graph(answer.moments, Held(case.instrument, case.hand, case.style))
        assume(sum(map(step_count, graph.links)) < 30_000)
        costs = Costs.of(graph, case.weights)
        full = explicit_graph(graph, costs)
        to = nx.single_source_dijkstra_path_length(full, (-1, 0))
        on = nx.single_source_dijkstra_path_length(full.reverse(copy=False), (len(graph.layers), 0))
        moment = where % len(graph.layers)
        layer = graph.layers[moment]
        own = 0
        for node in range(0, len(layer), 1 + len(layer) // 40):
            forced = list(costs.nodes)
            others = np.arange(len(layer)) != node
            forced[moment] = np.where(others, FAR, forced[moment])
            alone = replace(costs, nodes=tuple(forced))
            ahead = outlook(graph, alone)
            best = explore(graph, alone, ahead, int(FAR) // 2).best
            assert best >= answer.cost
            through = to.get((moment, node), FAR) + on.get((moment, node), FAR)
            assert min(best, FAR) == min(through, FAR)
            if best == answer.cost and layer.choice(node) == answer.choices[moment]:
                own += 1
        if len(layer) < 40:
            assert own

    hold(count, MAKERS, SEEDS, st.integers(0, 99), for_all=relation)


@examples(18, 300)
def test_cost_is_weight_times_amount_and_amounts_know_no_weight(count: int) -> None:
    def relation(make: Callable[[int], Instance], seed: int, other: int) -> None:
        case, weights = make(seed), make(other).weights
        answer = answer_of(case)
        assume(answer is not None)
        assert answer is not None
        asked = answer.choices, answer.moments, case.instrument, case.hand
        bill, others = evaluate(*asked, case.weights), evaluate(*asked, weights)
        assert sum(cost for _, cost in bill.terms.values()) == bill.total == answer.cost
        assert bill.amounts == others.amounts
        for name, (amount, cost) in bill.terms.items():
            assert amount >= 0
            assert cost == case.weights[name] * amount
            assert others.terms[name] == (amount, weights[name] * amount)

    hold(count, MAKERS, SEEDS, SEEDS, for_all=relation)


@examples(20, 400)
def test_a_dearer_term_is_never_had_more_of(count: int) -> None:
    def relation(make: Callable[[int], Instance], seed: int, name: str, more: int) -> None:
        case = make(seed)
        answer = answer_of(case)
        assume(answer is not None)
        assert answer is not None
        limit = next(term.about.limit for term in TERMS if term.about.name == name)
        dearer = case.weights.updated({name: min(case.weights[name] + more, limit)})
        other = answer_of(replace(case, weights=dearer))
        assert other is not None
        asked = answer.moments, case.instrument, case.hand, case.weights
        before = evaluate(answer.choices, *asked).terms[name][0]
        assert evaluate(other.choices, *asked).terms[name][0] <= before

    hold(count, MAKERS, SEEDS, st.sampled_from(NAMES), st.integers(1, 300), for_all=relation)


@examples(12, 200)
def test_tuning_and_tune_moved_together(count: int) -> None:
    def relation(make: Callable[[int], Instance], seed: int, up: int) -> None:
        case = make(seed)
        tuning = tuple(pitch + up for pitch in case.instrument.tuning)
        moved = replace(
            case,
            tune=case.tune.transposed(up),
            instrument=case.instrument.with_tuning(tuning),
        )
        here, there = answer_of(case), answer_of(moved)
        assert (here is None) == (there is None)
        if here is not None and there is not None:
            assert here.choices == there.choices
            assert here.cost == there.cost

    hold(count, MAKERS, SEEDS, st.sampled_from([-5, -2, 1, 3, 5, 7, 12]), for_all=relation)


@examples(12, 200)
def test_a_faster_tempo_never_lowers_the_hurry_of_an_arrangement(count: int) -> None:
    def relation(make: Callable[[int], Instance], seed: int, faster: int) -> None:
        case = make(seed)
        answer = answer_of(case)
        assume(answer is not None)
        assert answer is not None
        tune = case.tune.at_tempo(min(400, case.tune.tempo.per_minute + faster))
        moments = moments_of(tune, case.style, len(case.instrument.courses))
        asked = case.instrument, case.hand, case.weights
        slow = evaluate(answer.choices, answer.moments, *asked).terms
        fast = evaluate(answer.choices, moments, *asked).terms
        assert fast["hurry"][0] >= slow["hurry"][0]
        assert {**fast, "hurry": 0} == {**slow, "hurry": 0}

    hold(count, MAKERS, SEEDS, st.integers(1, 200), for_all=relation)


@examples(4, 60)
def test_workers_and_seeds_change_nothing(count: int) -> None:
    def relation(make: Callable[[int], Instance], number: int) -> None:
        case = make(number)
        first = answer_of(case)
        assume(first is not None)
        assert first is not None
        assert first.optimal
        for workers, seed in ((2, 1), (1, 2), (2, 3)):
            other = answer_of(case, workers=workers, seed=seed)
            assert other is not None
            assert replace(other, seconds=first.seconds) == first

    hold(count, MAKERS, SEEDS, for_all=relation)
