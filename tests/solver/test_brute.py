"""The two oracles for conditions on the whole tune, against one another and against the checker.

Every sequence written down and judged (``brute``), the plain CP-SAT model of the whole choice graph
(``plain_conditions``), and the checker's verdict on whole arrangements (``undersong.check``).
"""

import random
from collections.abc import Callable
from dataclasses import replace

import pytest

from scoring.evaluate import evaluate
from solver.conditions import NONE, Conditions
from solver.conditions.costliest import Costliest
from solver.conditions.pinned import BassManner
from solver.errors import NotPlayable
from solver.result import UNPROVEN, Arrangement, Proof
from tests.solver.brute import Page, brute_best
from tests.solver.conditioned import Conditioned, small_conditioned, tiny_conditioned
from tests.solver.plain_conditions import plain_conditioned_best
from undersong.check import check

MOST_STEPS = 2_500
CONDITION_RULES = {"alike", "shapes", "quota", "limits", "pin", "cost"}


def page_of(asked: Conditioned) -> Page:
    return Page(asked.book, asked.case.tune)


def but_for_manners(asked: Conditioned) -> Conditions:
    """Nothing asked but the pinned manners, which the case's book is written for."""
    pins = asked.conditions.pins
    return Conditions(pins=tuple(pin for pin in pins if isinstance(pin.pinned, BassManner)))


def plainly(asked: Conditioned) -> str:
    """Compares both oracles; what came of it."""
    told = page_of(asked).best(asked.conditions) if asked.book.count() else None
    try:
        plain = plain_conditioned_best(asked.case, asked.conditions, MOST_STEPS)
    except OverflowError:
        return "too long"
    except NotPlayable:
        assert told is None
        return "refused"
    assert plain == (None if told is None else told.cost)
    return "nothing holds" if told is None else "found"


def compare(make: Callable[[int], Conditioned], seeds: range) -> dict[str, int]:
    ends = [plainly(make(seed)) for seed in seeds]
    return {end: ends.count(end) for end in ends}


def test_both_oracles_find_the_same() -> None:
    ends = compare(tiny_conditioned, range(20))
    assert ends["found"] >= 10
    assert ends["nothing holds"] >= 2


@pytest.mark.slow
@pytest.mark.parametrize("part", range(10))
def test_both_oracles_find_the_same_a_thousand_times(part: int) -> None:
    first = 50_000 + 1_000 * part
    assert compare(tiny_conditioned, range(first, first + 100))["found"] >= 50


def arranged(asked: Conditioned, page: Page, row: int) -> Arrangement:
    """One of the sequences as an arrangement that says what it costs."""
    case = asked.case
    made = Arrangement(
        *case.asked, asked.book.moments, page.choices(row), Proof(UNPROVEN, 0, 0), asked.conditions
    )
    return replace(made, proof=Proof(UNPROVEN, 0, made.asked_cost))


@pytest.mark.parametrize("part", range(2))
def test_the_checker_says_the_same_of_whole_sequences(part: int) -> None:
    """Costs, extra costs and verdicts, a few sequences of each case."""
    dice = random.Random(part)
    verdicts = set()
    for seed in range(1_000 * part, 1_000 * part + 20):
        asked = tiny_conditioned(seed)
        page = page_of(asked)
        holds, extra = page.judged(asked.conditions)
        rows = {0, *(dice.randrange(len(holds)) for _ in range(3))}
        for row in sorted(rows):
            made = arranged(asked, page, row)
            faults = check(made)
            assert {fault.rule for fault in faults} <= CONDITION_RULES, faults
            assert bool(faults) != bool(holds[row])
            assert made.cost == page.cost[row].sum()
            assert made.asked_cost == made.cost + extra[row]
            verdicts.add(bool(faults))
    assert verdicts == {True, False}


def test_nothing_asked_is_the_best_of_the_book() -> None:
    for seed in range(20):
        asked = tiny_conditioned(seed)
        told, found = page_of(asked).best(NONE), asked.book.literal()
        assert told is not None
        assert (told.cost, told.choices) == (found.cost, found.choices)
        assert page_of(asked).standing.shape[0] == found.sequences
        assert brute_best(asked.case, but_for_manners(asked)) == found.cost


def test_what_is_asked_never_lowers_the_cost() -> None:
    raised = 0
    for seed in range(25):
        asked = tiny_conditioned(seed)
        page = page_of(asked)
        free, told = page.best(NONE), page.best(asked.conditions)
        assert free is not None
        if told is not None:
            assert told.cost >= told.work >= free.work
            raised += told.cost > free.work
    assert raised >= 3


def test_the_costliest_moment_is_the_least_there_is() -> None:
    """And a great weight on it comes to the same costliest moment."""
    for seed in range(15):
        asked = tiny_conditioned(seed)
        page, case = page_of(asked), asked.case
        first = page.best(Conditions(costliest=Costliest()))
        assert first is not None
        assert first.worst == page.cost.max(axis=1).min()
        bill = evaluate(first.choices, asked.book.moments, *case.asked[1:3], case.weights)
        assert first.worst == max(map(bill.at, range(len(asked.book.moments))))
        assert first.cost == bill.total
        heavy = page.best(Conditions(costliest=Costliest(1000)))
        assert heavy is not None
        assert heavy.cost == heavy.work + 1000 * heavy.worst
        if heavy.work - first.work > -1000:
            assert heavy.worst == first.worst


def test_small_cases_can_be_asked_plainly() -> None:
    """They have too many sequences to be written down, hence the gathered count of the free best:
    with nothing asked, both agree."""
    compared = 0
    for seed in range(10):
        asked = small_conditioned(seed)
        try:
            plain = plain_conditioned_best(asked.case, but_for_manners(asked), MOST_STEPS)
        except (OverflowError, NotPlayable):
            continue
        assert plain == asked.book.gathered().cost
        compared += 1
    assert compared >= 2
