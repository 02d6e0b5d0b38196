"""What is left of a solo or a drone under its demands, against every sequence."""

from collections.abc import Callable

import pytest

from solver.clash import can_be_played, clash_of_bars
from solver.demands import Wanted
from solver.loose import TooMuch
from tests.solver.instances import Instance
from tests.solver.sung_instances import tiny_drone, tiny_solo
from tests.solver.test_oracles import book_of


def wanted(case: Instance) -> Wanted:
    return Wanted(case.tune, case.instrument, case.hand, case.style)


@pytest.mark.parametrize("make", [tiny_solo, tiny_drone])
def test_all_demands_kept_leave_a_way_just_where_there_is_a_sequence(
    make: Callable[[int], Instance],
) -> None:
    refused = 0
    for seed in range(7_000, 7_120):
        case = make(seed)
        there = book_of(case).count() > 0
        assert can_be_played(wanted(case)) == there, seed
        refused += not there
    assert refused >= 2


@pytest.mark.parametrize("make", [tiny_solo, tiny_drone])
def test_what_cannot_be_played_is_explained(make: Callable[[int], Instance]) -> None:
    told = 0
    for seed in range(7_000, 7_120):
        case = make(seed)
        if book_of(case).count():
            continue
        try:
            clash = clash_of_bars(wanted(case))
        except TooMuch:
            continue
        assert clash is not None
        assert clash.proven
        assert clash.demands or "the melody's" in clash.reason
        told += 1
    assert told >= 2
