"""The search against three answers found by other means, to the millisecond and the finger.

Oracles: every sequence of choices written down from the rules (``oracles``), networkx's shortest
way through the choice graph in full (``full_graph``), and CP-SAT on that graph without any of the
search's devices (``plain_model``).
"""

from collections.abc import Callable

import pytest

from scoring.evaluate import evaluate
from solver.errors import NotPlayable
from solver.graph import build_graph
from solver.held import Held
from solver.moments import moments_of
from solver.passes import Costs
from solver.search import Answer, search
from tests.solver.full_graph import explicit_graph, graph_fingerprint, network_best, step_count
from tests.solver.instances import Instance, small, tiny
from tests.solver.oracles import Book, Found, Mark
from tests.solver.plain_model import plain_best

MOST_SEQUENCES = 10_000
MOST_STEPS = 60_000
MOST_PLAIN_STEPS = 4_000


def found_by_search(case: Instance) -> Answer | None:
    try:
        return search(*case.asked)
    except NotPlayable:
        return None


def book_of(case: Instance) -> Book:
    moments = moments_of(case.tune, case.style, len(case.instrument.courses))
    return Book(moments, case.instrument, case.hand, case.style, case.weights)


def hold_together(case: Instance, answer: Answer | None, found: Found) -> None:
    """The answer is what was found, and costs what the scoring room says."""
    assert (None if answer is None else answer.cost) == found.cost
    if answer is None:
        return
    assert answer.choices == found.choices
    assert answer.optimal
    assert answer.bound == answer.cost
    bill = evaluate(answer.choices, answer.moments, case.instrument, case.hand, case.weights)
    assert bill.total == answer.cost


def counted_out(case: Instance) -> bool:
    """Compares the search with every sequence; whether there was one, and few enough to be
    written down one by one."""
    book, answer = book_of(case), found_by_search(case)
    found = book.gathered()
    hold_together(case, answer, found)
    literally = 0 < book.count() <= MOST_SEQUENCES
    if literally:
        assert book.literal() == found
    return literally


def in_full(case: Instance, seed: int) -> tuple[bool, bool]:
    """Compares the choice graph in full with the book, networkx's way and the plain model with the
    search; whether there was a way, and whether the plain model was asked."""
    book, answer = book_of(case), found_by_search(case)
    if answer is None:
        assert book.count() == 0
        return False, False
    graph = build_graph(answer.moments, Held(case.instrument, case.hand, case.style))
    if sum(map(step_count, graph.links)) > MOST_STEPS:
        return False, False
    full = explicit_graph(graph, Costs.of(graph, case.weights))
    mark = Mark(seed)
    assert graph_fingerprint(graph, full, mark) == book.fingerprint(mark)
    shortest = network_best(full, len(graph.layers))
    assert shortest is not None
    assert shortest[0] == answer.cost
    way = zip(graph.layers, shortest[1], strict=True)
    assert tuple(layer.choice(node) for layer, node in way) == answer.choices
    plainly = full.number_of_edges() <= MOST_PLAIN_STEPS
    if plainly:
        assert plain_best(full, len(graph.layers)) == answer.cost
    return True, plainly


def count_out_until(wanted: int, first: int) -> None:
    """Compares tiny instances from seed ``first`` on until so many were written down literally."""
    literal, seed = 0, first
    while literal < wanted:
        literal += counted_out(tiny(seed))
        seed += 1
        assert seed - first < 10 * wanted, "hardly any instance can be played"


def in_full_until(wanted: int, make: Callable[[int], Instance], first: int) -> int:
    """Compares instances from seed ``first`` on until ``wanted`` could be played; how many of
    them the plain model was asked for."""
    found, plainly, seed = 0, 0, first
    while found < wanted:
        one, other = in_full(make(seed), seed)
        found, plainly, seed = found + one, plainly + other, seed + 1
        assert seed - first < 10 * wanted, "hardly any instance can be played"
    return plainly


@pytest.mark.parametrize("part", range(4))
def test_every_sequence_counted_out(part: int) -> None:
    count_out_until(18, first=1_000 * part)


@pytest.mark.parametrize("part", range(2))
def test_the_graph_in_full(part: int) -> None:
    asked = in_full_until(18, tiny, first=10_000 + 1_000 * part)
    assert asked + in_full_until(5, small, first=1_000 * part) >= 15


@pytest.mark.slow
@pytest.mark.parametrize("part", range(20))
def test_every_sequence_of_thousands(part: int) -> None:
    """2,000 instances written down literally, and as many again that are refused or too long."""
    count_out_until(100, first=100_000 + 10_000 * part)


@pytest.mark.slow
@pytest.mark.parametrize("part", range(20))
def test_the_graph_in_full_of_thousands(part: int) -> None:
    """2,000 instances against networkx, of which at least 1,000 against the plain model too."""
    asked = in_full_until(80, tiny, first=500_000 + 10_000 * part)
    assert asked + in_full_until(20, small, first=500_000 + 10_000 * part) >= 50
