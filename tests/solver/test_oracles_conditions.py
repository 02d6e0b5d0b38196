"""The search under conditions against every sequence counted out, and against the plain model.

Oracles: ``brute`` judges each sequence by the conditions' words; ``plain_conditions`` states them
for CP-SAT over the whole choice graph, without any of the search's devices. Both are compared with
one another and with the checker in ``test_brute``.
"""

import pytest

from solver.errors import ConditionError, NotFound, NotPlayable, Unfulfillable
from solver.result import PROVEN, UNPROVEN, Arrangement, Proof
from solver.search import Answer, search
from tests.solver.brute import Page, Told
from tests.solver.conditioned import Conditioned, small_conditioned, tiny_conditioned
from tests.solver.plain_conditions import plain_conditioned_best
from undersong.check import check

MOST_STEPS = 3_000


def found_by_search(asked: Conditioned) -> Answer | None:
    """None where the search says that nothing holds what is asked, one way or another: a bar cannot
    be played so, no sequence holds it, or two pins contradict each other as they stand."""
    try:
        return search(*asked.case.asked, asked.conditions)
    except (NotPlayable, Unfulfillable, NotFound):
        return None
    except ConditionError as error:
        if "contradict" not in str(error):
            raise
        return None


def checked(asked: Conditioned, answer: Answer) -> None:
    """The independent check finds nothing, and counts the same cost."""
    gap = answer.cost - answer.bound
    assert gap >= 0
    proof = Proof(PROVEN if answer.optimal else UNPROVEN, answer.bound, gap)
    made = Arrangement(*asked.case.asked, answer.moments, answer.choices, proof, asked.conditions)
    assert check(made) == ()
    assert made.asked_cost == answer.cost


def hold_together(asked: Conditioned, answer: Answer | None, told: Told | None) -> None:
    """A proven answer is what was found by looking at everything, to the finger; one that is not
    proven lies between its bound and its cost."""
    assert (answer is None) == (told is None), (answer, told)
    if answer is None or told is None:
        return
    checked(asked, answer)
    assert answer.bound <= told.cost <= answer.cost
    if answer.optimal:
        assert answer.cost == answer.bound == told.cost
        assert answer.choices == told.choices


def counted_out(seeds: range) -> dict[str, int]:
    """Compares tiny cases; how many ended in which way."""
    ends = {"proven": 0, "unproven": 0, "nothing": 0, "raised": 0}
    for seed in seeds:
        asked = tiny_conditioned(seed)
        told = Page(asked.book, asked.case.tune).best(asked.conditions)
        answer = found_by_search(asked)
        try:
            hold_together(asked, answer, told)
        except AssertionError as error:
            raise AssertionError(f"seed {seed}, {asked.conditions}: {error}") from error
        if answer is None or told is None:
            ends["nothing"] += 1
        else:
            ends["proven" if answer.optimal else "unproven"] += 1
            ends["raised"] += told.cost > (asked.book.gathered().cost or 0)
    return ends


def test_every_sequence_judged() -> None:
    ends = counted_out(range(25))
    assert ends["proven"] >= 12
    assert ends["nothing"] >= 3
    assert ends["raised"] >= 3
    assert ends["unproven"] <= 1


@pytest.mark.slow
@pytest.mark.parametrize("part", range(25))
def test_every_sequence_judged_of_ten_thousand(part: int) -> None:
    ends = counted_out(range(100_000 + 1_000 * part, 100_000 + 1_000 * part + 400))
    assert ends["proven"] >= 200
    assert ends["nothing"] >= 60
    assert ends["raised"] >= 60
    assert ends["unproven"] <= 15


def plainly(seeds: range) -> int:
    """Compares small cases with the plain model; how many had an answer."""
    found = 0
    for seed in seeds:
        asked = small_conditioned(seed)
        try:
            plain = plain_conditioned_best(asked.case, asked.conditions, MOST_STEPS)
        except (OverflowError, NotPlayable):
            continue
        answer = found_by_search(asked)
        said = None if answer is None else answer.cost
        assert said == plain or (answer is not None and not answer.optimal), (seed, said, plain)
        if answer is not None and plain is not None:
            checked(asked, answer)
            assert answer.bound <= plain <= answer.cost
            found += answer.optimal
    return found


def test_the_plain_model_finds_the_same() -> None:
    assert plainly(range(8)) >= 2


@pytest.mark.slow
@pytest.mark.parametrize("part", range(10))
def test_the_plain_model_finds_the_same_hundreds_of_times(part: int) -> None:
    first = 20_000 + 1_000 * part
    assert plainly(range(first, first + 80)) >= 12  # a third has too many steps, a third no way
