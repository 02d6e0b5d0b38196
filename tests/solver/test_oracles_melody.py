"""Solos and drones against every sequence written down from the rules, to the millisecond.

The oracles are those of ``test_oracles``; the rules of shapes with a melody are written down once
more in ``melody_rules``.
"""

from collections.abc import Callable

import pytest

from tests.solver.instances import Instance
from tests.solver.sung_instances import tiny_drone, tiny_solo, tiny_solo_again
from tests.solver.test_oracles import (
    MOST_SEQUENCES,
    book_of,
    found_by_search,
    hold_together,
    in_full,
)

Make = Callable[[int], Instance]


def counted_out(make: Make, seeds: range) -> tuple[int, int]:
    """Compares the search with every sequence; how many could be played, and how many of those
    had few enough sequences to be written down one by one."""
    played = literal = 0
    for seed in seeds:
        case = make(seed)
        book, answer = book_of(case), found_by_search(case)
        found = book.gathered()
        hold_together(case, answer, found)
        played += answer is not None
        if 0 < book.count() <= MOST_SEQUENCES:
            assert book.literal() == found
            literal += 1
    return played, literal


@pytest.mark.parametrize(
    ("make", "count", "literally"),
    [(tiny_solo, 150, 60), (tiny_solo_again, 40, 3), (tiny_drone, 120, 80)],
)
def test_every_sequence_counted_out(make: Make, count: int, literally: int) -> None:
    played, literal = counted_out(make, range(1_000, 1_000 + count))
    assert played >= count * 3 // 4
    assert literal >= literally


@pytest.mark.parametrize("make", [tiny_solo, tiny_drone])
def test_the_graph_in_full(make: Make) -> None:
    """networkx's shortest way, and the set of all priced sequences, mark for mark."""
    assert sum(in_full(make(seed), seed)[0] for seed in range(5_000, 5_030)) >= 10


@pytest.mark.slow
@pytest.mark.parametrize("make", [tiny_solo, tiny_solo_again, tiny_drone])
@pytest.mark.parametrize("part", range(10))
def test_every_sequence_of_thousands(part: int, make: Make) -> None:
    """3,000 instances and more."""
    first = 100_000 + 10_000 * part
    count = 60 if make is tiny_solo_again else 200
    played, _ = counted_out(make, range(first, first + count))
    assert played >= count * 3 // 4
