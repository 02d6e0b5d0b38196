"""What is near the cheapest way, beside searches of the whole graph that CP-SAT proves."""

from dataclasses import replace
from itertools import product

import pytest

from scoring.weights import Weights
from solver import near_ways, search
from solver.arrays import FAR
from solver.conditions import Conditions
from solver.conditions.limits import BarLimit, Limits
from solver.conditions.quota import Quota
from solver.errors import NotPlayable, Unfulfillable
from solver.near_ways import BestWay, NearWays
from tests.solver.test_keeping import asked, found, fresh

CAPS = tuple(Quota("shifts", most=most, each=True) for most in (0, 1))


def everything_asked() -> list[Conditions]:
    """Limits, bars that are to be hard enough, caps on shifts, one by one and together."""
    floors = [(BarLimit(2, least=60),), (BarLimit(1, 90, 30), BarLimit(3, least=45))]
    bars = [Conditions(limits=Limits(bars=some)) for some in floors]
    capped = [Conditions(quotas=(cap,)) for cap in CAPS]
    both = [replace(one, quotas=two.quotas) for one, two in product(bars, capped)]
    return [*asked(), *bars, *capped, *both]


@pytest.mark.parametrize(
    ("width", "laid_out", "room"),
    [
        (256, 1 << 19, 1 << 20),
        (1, 1 << 19, 1 << 20),  # is widened often
        (20, 500, 1 << 20),  # so few that one question's own ways are laid out
        (20, 500, 0),  # so few that the whole graph is asked
        (20, 0, 1 << 20),  # nothing at all is laid out
    ],
)
def test_near_ways_hold_the_first_of_the_best_answers(
    monkeypatch: pytest.MonkeyPatch, width: int, laid_out: int, room: int
) -> None:
    monkeypatch.setattr(near_ways, "WIDTH", width)
    monkeypatch.setattr(near_ways, "MOST_STEPS", laid_out)
    monkeypatch.setattr(near_ways, "ROOM", room)
    answered: list[BestWay | None] = []

    class Watched(NearWays):
        def ask(self, *args: object) -> BestWay | None:  # type: ignore[override]
            answered.append(super().ask(*args))  # type: ignore[arg-type]
            return answered[-1]

    monkeypatch.setattr(search, "NearWays", Watched)
    monkeypatch.setattr(search, "worth_while", lambda graph: True)
    lean, whole = fresh(), fresh()
    answers = [found(lean, conditions, explain=False) for conditions in everything_asked()]
    assert answers == [found(whole, conditions, explain=True) for conditions in everything_asked()]
    near = {(each.cost, each.nodes) for each in answered if each is not None and each.cost < FAR}
    assert len(near) > 3 if laid_out else None in answered


@pytest.mark.parametrize("worth_while", [True, False])
def test_the_cheapest_is_what_the_solver_proves_and_is_not_called_proven(
    monkeypatch: pytest.MonkeyPatch, worth_while: bool
) -> None:
    monkeypatch.setattr(search, "worth_while", lambda graph: worth_while)
    one = fresh()
    for conditions in everything_asked():
        proven = found(one, conditions, explain=False)
        if proven is None:
            with pytest.raises((NotPlayable, Unfulfillable)):
                one.cheapest(Weights(), conditions)
            continue
        answer = one.cheapest(Weights(), conditions)
        assert (answer.cost, answer.choices) == proven
        assert answer.bound == answer.cost
        assert not answer.optimal
        assert found(one, conditions, explain=False) == proven  # of what was found just before


def test_the_same_bar_with_another_limit_is_another_question() -> None:
    one = fresh()
    limits = [Conditions(limits=Limits(bars=(BarLimit(3, most),))) for most in (90, 60, 50)]
    costs = [one.cheapest(Weights(), each).cost for each in limits]
    assert costs == [fresh().solve(Weights(), each).cost for each in limits]
    assert len(set(costs)) > 1


def test_what_is_near_costs_what_the_answer_costs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(search, "worth_while", lambda graph: True)
    one = fresh()
    for conditions in everything_asked():
        answer = found(one, conditions, explain=False)
        if isinstance(answer, tuple):
            assert one.least(Weights(), conditions) == answer[0]
