"""Solos and drones under conditions on the whole tune, against every sequence of choices.

Drawn, judged and compared as in ``test_oracles_conditions``.
"""

import random
from collections.abc import Callable

import pytest

from solver.moments import moments_of
from tests.solver.brute import Page
from tests.solver.conditioned import MOST_SEQUENCES, Conditioned, conditions_for
from tests.solver.instances import Instance
from tests.solver.oracles import Book
from tests.solver.ruled_book import TooMany
from tests.solver.sung_instances import tiny_drone, tiny_solo, tiny_solo_again
from tests.solver.test_oracles_conditions import found_by_search, hold_together

Make = Callable[[int], Instance]


def asked_of(make: Make, seed: int) -> Conditioned | None:
    """None for a case that cannot be played, or has too many sequences to be looked at."""
    case = make(seed)
    moments = moments_of(case.tune, case.style, len(case.instrument.courses))
    rest = case.instrument, case.hand, case.style, case.weights
    try:
        book = Book(moments, *rest, most=MOST_SEQUENCES)
    except TooMany:
        return None
    if not book.count():
        return None
    return Conditioned(case, conditions_for(case, book, random.Random(f"sung {seed}")), book)


def compared(make: Make, seeds: range) -> int:
    """How many cases there were to compare."""
    count = 0
    for seed in seeds:
        asked = asked_of(make, seed)
        if asked is None:
            continue
        told = Page(asked.book, asked.case.tune).best(asked.conditions)
        try:
            hold_together(asked, found_by_search(asked), told)
        except AssertionError as error:
            raise AssertionError(f"seed {seed}, {asked.conditions}: {error}") from error
        count += 1
    return count


@pytest.mark.parametrize(
    ("make", "seeds", "least"),
    [(tiny_solo, 60, 25), (tiny_solo_again, 40, 5), (tiny_drone, 60, 40)],
)
def test_every_sequence_judged(make: Make, seeds: int, least: int) -> None:
    assert compared(make, range(20_000, 20_000 + seeds)) >= least


@pytest.mark.slow
@pytest.mark.parametrize("make", [tiny_solo, tiny_solo_again, tiny_drone])
@pytest.mark.parametrize("part", range(5))
def test_every_sequence_judged_of_thousands(part: int, make: Make) -> None:
    first = 200_000 + 1_000 * part
    assert compared(make, range(first, first + 300)) >= 30
