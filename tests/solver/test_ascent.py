"""The ascent: bounds that no answer undercuts, answers that cost what they say.

True optima come from every way of the bundle, judged by ``brute.Page`` (``judged``).
"""

import numpy as np
import pytest

from solver.ascent import Ascent, ascend, asked, charged
from solver.conditions import Conditions
from solver.conditions.alike import Alike
from solver.conditions.few_shapes import FewShapes
from solver.conditions.quota import Quota
from solver.family import Values
from solver.search import search
from solver.ways import SCALE, Prices, Swept
from tests.solver.bundled import charged_on, every_way, laid_out, question_of
from tests.solver.judged import QUICK, SLOW, Judged, cases, given_of, lawful
from tests.solver.made import case_of

FAR_OFF = 1 << 40

MANY = [pytest.param(first, 18) for first in QUICK]
MANY += [pytest.param(first, 100, marks=pytest.mark.slow) for first in SLOW]
many = pytest.mark.parametrize(("first", "count"), MANY)


def ascended(case: Judged, values: list[Values], steps: int = 250, enough: int = FAR_OFF):
    """The ascent, and what it told."""
    ways, families = case.laid
    told: list[tuple[int, int | None]] = []
    found = ascend(
        ways, families, values, steps=steps, enough=enough, tell=lambda *what: told.append(what)
    )
    return found, told


def nothing_yet(case: Judged) -> list[Values]:
    return [np.zeros(family.size, np.int64) for family in case.laid[1]]


def holds(case: Judged, found: Ascent) -> None:
    """The bound is that of its values, no answer undercuts it, and the best costs what it says."""
    ways, families = case.laid
    least = Swept(ways, charged(families, found.values, ways)).least
    assert found.bound == least + given_of(families, found.values), case.seed
    for family, own in zip(families, found.values, strict=True):
        assert (family.lawful(own) == own).all(), case.seed
    if case.best is not None:
        assert found.bound <= case.best * SCALE, case.seed
    if found.best is not None:
        cost, way = found.best
        assert case.best is not None
        assert cost == case.true(ways, way) >= case.best, case.seed


@many
def test_no_answer_undercuts_the_bound(first: int, count: int) -> None:
    closed = raised = met = 0
    for case in cases(first, count):
        ways, _ = case.laid
        if not len(ways.first):
            assert case.best is None
            continue
        found, told = ascended(case, nothing_yet(case))
        holds(case, found)
        free = Swept(ways, Prices.none(ways)).least
        assert found.bound >= free
        bounds = [bound for bound, _ in told]
        bests = [best for _, best in told if best is not None]
        assert bounds == sorted(bounds)
        assert bests == sorted(bests, reverse=True)
        assert bounds[-1] == -(-found.bound // SCALE)
        if case.best is not None:
            raised += case.best * SCALE > free < found.bound
            closed += -(-found.bound // SCALE) == case.best
            met += found.best is not None and found.best[0] == case.best
    assert closed > count // 4
    assert met > count // 4
    assert raised or count < 100, "in some of many the free best is no answer"


@many
def test_it_goes_on_from_any_lawful_values(first: int, count: int) -> None:
    dice = np.random.default_rng(first)
    for case in cases(first, count):
        ways, families = case.laid
        if not len(ways.first):
            continue
        values = lawful(families, dice)
        before = Swept(ways, charged(families, values, ways)).least + given_of(families, values)
        found, _ = ascended(case, values, steps=40)
        holds(case, found)
        assert found.bound >= before


@pytest.mark.parametrize(
    "conditions",
    [
        pytest.param(Conditions(shapes=FewShapes(6)), id="few shapes"),
        pytest.param(Conditions(alike=Alike("bars")), id="alike"),
        pytest.param(Conditions(quotas=(Quota("shifts", most=0),)), id="quota"),
    ],
)
def test_it_raises_the_bound_most_of_the_way_to_the_answer(conditions: Conditions) -> None:
    """From what the easiest way costs to what the search proves to be the best."""
    case = case_of("D", "G", "A7", "D")
    answer = search(*case.asked, conditions)
    assert answer.optimal
    ways, families = laid_out(question_of(case, conditions), 1_500)
    values = [np.zeros(family.size, np.int64) for family in families]
    found = ascend(ways, families, values, steps=250, enough=FAR_OFF, tell=lambda *_: None)
    way_there = found.bound / SCALE - answer.free
    assert answer.free < answer.cost
    assert 0.75 * (answer.cost - answer.free) <= way_there <= answer.cost - answer.free


def test_it_takes_no_more_steps_than_it_may() -> None:
    for case in cases(20_000, 10):
        if len(case.laid[0].first):
            for steps in (1, 2, 7):
                assert len(ascended(case, nothing_yet(case), steps)[1]) <= steps


def test_what_is_enough_ends_it() -> None:
    ended = 0
    for case in cases(20_000, 18):
        if not len(case.laid[0].first):
            continue
        whole, told = ascended(case, nothing_yet(case))
        free = Swept(case.laid[0], Prices.none(case.laid[0])).least
        enough = (free + whole.bound) // 2
        found, less = ascended(case, nothing_yet(case), enough=enough)
        assert found.bound >= min(enough, whole.bound)
        ended += len(less) < len(told)
    assert ended


def test_a_listener_that_raises_ends_it() -> None:
    class Enough(Exception):  # noqa: N818
        pass

    def tell(bound: int, best: int | None) -> None:
        raise Enough

    case = next(c for c in cases(20_000, 5) if len(c.laid[0].first))
    with pytest.raises(Enough):
        ascend(*case.laid, nothing_yet(case), steps=5, enough=FAR_OFF, tell=tell)


def test_charged_is_what_all_families_charge_together() -> None:
    dice = np.random.default_rng(2)
    for case in cases(20_000, 10):
        ways, families = case.laid
        values = lawful(families, dice)
        together = charged(families, values, ways)
        for way in every_way(ways):
            alone = [
                charged_on(family.prices(own), way)
                for family, own in zip(families, values, strict=True)
            ]
            assert charged_on(together, way) == sum(alone)


def test_the_cheapest_met_is_kept() -> None:
    for case in cases(20_000, 12):
        ways, families = case.laid
        found = Ascent(0, [], None)
        for way in every_way(ways):
            found.meet(families, ways, way)
            if found.best is not None:
                assert found.best[0] == asked(families, ways, found.best[1])
        assert (None if found.best is None else found.best[0]) == case.best
