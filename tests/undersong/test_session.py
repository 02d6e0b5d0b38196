"""The session: what each condition costs, and what is kept between answers."""

import pytest

import undersong
from solver.conditions.bars import WHOLE, Bars
from solver.conditions.pinned import BassManner
from undersong import Alike, Conditions, Costliest, Pin, Quota, Session, Watch


@pytest.fixture(scope="module")
def wet_boots() -> Session:
    return Session("wet-boots-in-the-porch")


def test_a_price_is_the_difference_to_the_answer_without_the_condition(wet_boots: Session) -> None:
    asked = Conditions(alike=Alike(), quotas=(Quota("hard", most=4, above=80),))
    both = wet_boots.arrange(conditions=asked)
    alone = [
        wet_boots.arrange(conditions=Conditions(quotas=asked.quotas)),
        wet_boots.arrange(conditions=Conditions(alike=asked.alike)),
    ]
    prices = wet_boots.prices(both)
    assert [(p.least, p.most) for p in prices] == [(both.cost - a.cost,) * 2 for a in alone]
    assert all(price.least >= 0 for price in prices)
    assert prices[0].most
    assert str(prices[0]) == f"repeats alike: {prices[0].most} ms more than without it"


def test_the_price_of_the_costliest_moment_is_work_alone(wet_boots: Session) -> None:
    free = wet_boots.arrange()
    for costliest in (Costliest(), Costliest(3)):
        found = wet_boots.arrange(conditions=Conditions(costliest=costliest))
        (price,) = wet_boots.prices(found)
        assert (price.least, price.most) == (found.cost - free.cost,) * 2


def test_a_manner_of_its_own_may_make_it_easier(wet_boots: Session) -> None:
    pin = Pin(Bars(section="B"), BassManner("roots"))
    found = wet_boots.arrange(conditions=Conditions(pins=(pin,)))
    less = wet_boots.arrange().cost - found.cost
    assert less > 0
    assert str(wet_boots.prices(found)[0]).endswith(f"{less} ms less than without it")


def test_a_condition_that_the_others_need_has_no_price() -> None:
    """Without the walking bass there are no passing notes."""
    session = Session("harrow-lane")
    asked = Conditions(
        quotas=(Quota("passing", least=1),), pins=(Pin(WHOLE, BassManner("walking")),)
    )
    quota, pin = session.prices(session.arrange(conditions=asked))
    assert quota.most == 0
    assert pin.most is None
    assert str(pin).endswith("without it the rest cannot be held")


def test_without_time_a_price_is_not_known(wet_boots: Session) -> None:
    found = wet_boots.arrange(conditions=Conditions(alike=Alike()))
    (price,) = wet_boots.prices(found, Watch(0.0))
    assert price.most is None
    assert "no time" in str(price)


def test_an_answer_asked_again_is_the_same(wet_boots: Session) -> None:
    heavier = undersong.Weights.of({"high-bass": 40})
    first, other = wet_boots.arrange(), wet_boots.arrange(heavier)
    assert wet_boots.arrange() == first
    assert other == Session("wet-boots-in-the-porch").arrange(heavier)
