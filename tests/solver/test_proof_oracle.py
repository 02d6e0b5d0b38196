"""What the proof ends with is the first of the best of every sequence, by brute force, whatever is
asked and whatever the solver's seed and workers."""

from dataclasses import replace

import pytest

from solver.errors import ConditionError, NotPlayable, Unfulfillable
from solver.search import search
from solver.watch import Watch
from tests.solver.brute import Page
from tests.solver.conditioned import Conditioned, tiny_conditioned


def best_of(asked: Conditioned, **options: int):
    """(cost, choices) of the search's proven answer; None where it proves that there is none."""
    try:
        answer = search(*asked.case.asked, asked.conditions, watch=Watch(60.0), **options)
    except (Unfulfillable, NotPlayable, ConditionError):  # the last for pins that contradict
        return None
    assert answer.optimal
    assert answer.bound == answer.cost
    return answer


def agree(seed: int) -> str:
    """Compares the search with the page; what came of it."""
    asked = tiny_conditioned(seed)
    told = Page(asked.book, asked.case.tune).best(asked.conditions)
    answer = best_of(asked)
    if told is None:
        assert answer is None, seed
        return "nothing holds"
    assert answer is not None, seed
    assert answer.cost == told.cost, seed
    costliest = asked.conditions.costliest
    if costliest is None or costliest.weight is None:
        assert answer.choices == told.choices, seed
    return "found"


@pytest.mark.parametrize("part", range(3))
def test_it_finds_what_the_oracle_finds(part: int) -> None:
    """The first of the best sequences of all, whatever is asked."""
    ends = [agree(seed) for seed in range(7_000 + 100 * part, 7_010 + 100 * part)]
    assert set(ends) <= {"found", "nothing holds"}
    assert ends.count("found") >= 4


@pytest.mark.slow
@pytest.mark.parametrize("part", range(20))
def test_it_finds_what_the_oracle_finds_two_thousand_times(part: int) -> None:
    first = 200_000 + 1_000 * part
    ends = [agree(seed) for seed in range(first, first + 100)]
    assert ends.count("found") >= 40


def same_answers(seeds: range) -> int:
    compared = 0
    for seed in seeds:
        asked = tiny_conditioned(seed)
        first = best_of(asked)
        if first is None:
            continue
        for number, workers in ((2, 1), (3, 1), (1, 2), (3, 2)):
            other = best_of(asked, seed=number, workers=workers)
            assert replace(other, seconds=first.seconds) == first, (seed, number, workers)
        compared += 1
    return compared


def test_seeds_and_workers_change_nothing() -> None:
    assert same_answers(range(7_300, 7_310)) >= 4


@pytest.mark.slow
@pytest.mark.parametrize("part", range(10))
def test_seeds_and_workers_change_nothing_in_hundreds(part: int) -> None:
    assert same_answers(range(300_000 + 1_000 * part, 300_030 + 1_000 * part)) >= 15
