"""What must hold between answers under conditions, whatever the case: no oracle, only the search.

A condition never lowers the cost; asking for less never raises it. Where the costliest moment comes
first, costs of two answers cannot be compared, and these are left out.
"""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from solver.conditions import Conditions
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import FewShapes
from solver.conditions.pinned import BassManner
from solver.conditions.quota import Quota
from tests.solver.conditioned import Conditioned, tiny_conditioned
from tests.solver.test_oracles_conditions import found_by_search


def looser(asked: Conditions) -> Iterator[Conditions]:
    """The same with one thing left out or asked for less strictly; manners are kept, since they
    ask for other moments."""
    if asked.alike:
        yield replace(asked, alike=None)
        price = asked.alike.price
        yield replace(asked, alike=replace(asked.alike, price=500 if price is None else price // 2))
    if asked.shapes:
        yield replace(asked, shapes=None)
        yield from (replace(asked, shapes=shapes) for shapes in _more_shapes(asked.shapes))
    for number, quota in enumerate(asked.quotas):
        before, after = asked.quotas[:number], asked.quotas[number + 1 :]
        yield replace(asked, quotas=before + after)
        yield replace(asked, quotas=(*before, _wider(quota), *after))
    for number, pin in enumerate(asked.pins):
        if not isinstance(pin.pinned, BassManner):
            yield replace(asked, pins=asked.pins[:number] + asked.pins[number + 1 :])
    if asked.costliest and asked.costliest.weight:
        yield replace(asked, costliest=None)
        yield replace(asked, costliest=Costliest(max(1, asked.costliest.weight // 2)))


def _more_shapes(shapes: FewShapes) -> Iterator[FewShapes]:
    if shapes.most is not None:
        yield replace(shapes, most=shapes.most + 1)
    if shapes.known is not None:
        yield replace(shapes, price=300 if shapes.price is None else shapes.price // 2)


def _wider(quota: Quota) -> Quota:
    return replace(
        quota,
        least=None if quota.least is None else max(0, quota.least - 1),
        most=None if quota.most is None else quota.most + 1,
    )


def comparable(seeds: range) -> Iterator[Conditioned]:
    for seed in seeds:
        asked = tiny_conditioned(seed)
        if asked.conditions.costliest != Costliest():
            yield asked


def compared(seeds: range) -> int:
    """How many looser answers were compared with stricter ones."""
    count = 0
    for asked in comparable(seeds):
        strict = found_by_search(asked)
        if strict is None or not strict.optimal:
            continue
        for conditions in looser(asked.conditions):
            loose = found_by_search(replace(asked, conditions=conditions))
            assert loose is not None, (asked.conditions, conditions)
            assert loose.bound <= strict.cost, (asked.conditions, conditions)
            if loose.optimal:
                assert loose.cost <= strict.cost, (asked.conditions, conditions)
                count += 1
    return count


def never_lowered(seeds: range) -> int:
    """How many answers cost more than what is free."""
    raised = 0
    for asked in comparable(seeds):
        strict = found_by_search(asked)
        manners = tuple(p for p in asked.conditions.pins if isinstance(p.pinned, BassManner))
        free = found_by_search(replace(asked, conditions=Conditions(pins=manners)))
        assert free is not None
        assert free.optimal
        if strict is not None:
            assert strict.cost >= free.cost
            raised += strict.cost > free.cost
    return raised


def test_asking_for_less_never_raises_the_cost() -> None:
    assert compared(range(700, 710)) >= 8


def test_what_is_asked_never_lowers_the_cost() -> None:
    assert never_lowered(range(700, 720)) >= 2


@pytest.mark.slow
@pytest.mark.parametrize("part", range(8))
def test_of_hundreds(part: int) -> None:
    first = 300_000 + 1_000 * part
    assert compared(range(first, first + 100)) >= 100
    assert never_lowered(range(first, first + 100)) >= 8
