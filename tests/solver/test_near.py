"""As close as can be to given frets: the value, its price, and the search against brute force."""

import random
from collections.abc import Callable
from dataclasses import replace

import pytest

from scoring.moment import Moment
from solver.conditions import NONE, Conditions
from solver.conditions.costliest import Costliest
from solver.conditions.near import LONGEST, Near, Placed, strings_apart
from solver.conditions.words import parts_of
from solver.errors import ConditionError
from tests.solver.brute import Page
from tests.solver.conditioned import Conditioned, near_for, tiny_conditioned
from tests.solver.test_oracles_conditions import found_by_search, hold_together

SMALL, LARGE = 30, 1_000_000


def cases(first: int, count: int) -> list[Conditioned]:
    """Tiny cases with frets to be near to, and now and then a word about the costliest moment."""
    made = []
    for seed in range(first, first + count):
        asked, dice = tiny_conditioned(seed), random.Random(seed)
        near = near_for(dice, asked.book)
        if near is None:
            continue
        near = replace(near, price=dice.choice((0, SMALL, LARGE, LARGE, LARGE)))
        costliest = dice.choice((None, None, Costliest(), Costliest(5)))
        pins = asked.conditions.pins
        made.append(
            replace(asked, conditions=Conditions(pins=pins, costliest=costliest, near=near))
        )
    return made


def compared(first: int, count: int) -> tuple[int, int]:
    """Holds the search to brute force; how many have an answer, and in how many the frets pull it
    away from what it is without them."""
    answers = pulled = 0
    for asked in cases(first, count):
        page = Page(asked.book, asked.case.tune)
        told, answer = page.best(asked.conditions), found_by_search(asked)
        hold_together(asked, answer, told)
        if told is None:
            continue
        free = page.best(replace(asked.conditions, near=None))
        answers += 1
        pulled += free is not None and free.choices != told.choices
    return answers, pulled


def test_the_search_is_as_near_as_brute_force() -> None:
    answers, pulled = compared(500, 60)
    assert answers >= 40
    assert pulled >= 5


@pytest.mark.slow
@pytest.mark.parametrize("part", range(10))
def test_the_search_is_as_near_as_brute_force_many_times(part: int) -> None:
    answers, pulled = compared(10_000 + 1_000 * part, 120)
    assert answers >= 80
    assert pulled >= 5  # of some parts no more than 11 are


def test_fewer_changed_strings_come_before_any_work() -> None:
    """At the greatest price no sequence looked at changes fewer strings, whatever it costs."""
    looked = 0
    for asked in cases(800, 25):
        assert asked.conditions.near is not None
        near = replace(asked.conditions.near, price=LARGE)
        pins = asked.conditions.pins
        asked = replace(asked, conditions=Conditions(pins=pins, near=near))
        page = Page(asked.book, asked.case.tune)
        answer = found_by_search(asked)
        if answer is None:
            continue
        rows = page.judged(Conditions(pins=pins))[0].nonzero()[0].tolist()
        fewest = min(
            len(strings_apart(near, asked.book.moments, page.choices(row)))
            for row in rows[:: max(1, len(rows) // 500)]
        )
        assert len(strings_apart(near, answer.moments, answer.choices)) <= fewest
        looked += 1
    assert looked >= 15


def test_rows_are_kept_in_order_and_say_what_they_ask() -> None:
    later, sooner = Placed(2, 0, (0, None, -1)), Placed(1, 5040, (5, 2, None))
    near = Near((later, sooner), 40)
    assert near.rows == (sooner, later)
    assert near == Near((sooner, later), 40)
    assert near.named == 4
    assert str(near) == "near the frets given for 4 strings, 40 ms for each that differs"


def test_it_is_a_condition_of_its_own() -> None:
    near = Near((Placed(1, 0, (0, None, -1)),), 40)
    part, costliest = reversed(parts_of(Conditions(near=near, costliest=Costliest())))
    assert part.words == str(near)
    assert part.alone == Conditions(near=near)
    assert part.without == Conditions(costliest=Costliest())
    assert costliest.without == Conditions(near=near)
    assert not Conditions(near=near).reach_over_the_tune
    assert parts_of(NONE) == ()


def test_nothing_is_named_in_rests() -> None:
    asked = tiny_conditioned(3)
    moment: Moment = asked.book.moments[0]
    near = Near((Placed(moment.bar, moment.offset, (0, 0, 0)),), 1)
    assert near.asked_at(moment) == (0, 0, 0)
    assert near.asked_at(replace(moment, chord=None, melody=None)) is None
    assert near.asked_at(replace(moment, chord=None, melody=62)) == (0, 0, 0)
    assert near.asked_at(replace(moment, offset=moment.offset + 1)) is None


ROW = Placed(1, 0, (0, 0, 0))


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Near((), 1), "near: name some frets to be near to"),
        (lambda: Near((ROW,), -1), "between 0 and 1000000 ms, not -1"),
        (lambda: Near((ROW,), 1_000_001), "between 0 and 1000000 ms, not 1000001"),
        (lambda: Near((ROW, replace(ROW, frets=(1, 1, 1))), 1), "bar 1 has two rows for one place"),
        (lambda: Near((ROW, Placed(2, 0, (0, 0))), 1), "every place names the same number"),
        (lambda: Near((ROW,) * (LONGEST + 1), 1), "at most 100000 places"),
        (lambda: Placed(0, 0, (0,)), "bars are counted from 1"),
        (lambda: Placed(1, -1, (0,)), "nothing stands before a bar"),
        (lambda: Placed(1, 0, ()), "no string is named"),
        (lambda: Placed(1, 0, (37, 0, 0)), "0 to 36 semitones above the nut, or is -1"),
        (lambda: Placed(1, 0, (-2, 0, 0)), "or is -1 for a silent string, not -2"),
    ],
)
def test_frets_that_cannot_be_asked_for(make: Callable[[], object], says: str) -> None:
    with pytest.raises(ConditionError, match="near") as caught:
        make()
    assert says in str(caught.value)


def refused(row: Placed) -> str:
    asked = tiny_conditioned(3)
    with pytest.raises(ConditionError) as caught:
        found_by_search(replace(asked, conditions=Conditions(near=Near((row,), 1))))
    return str(caught.value)


def test_frets_of_another_instrument_or_tune() -> None:
    courses = len(tiny_conditioned(3).case.instrument.courses)
    assert "near: frets for 5 strings are named, and the instrument has" in refused(
        Placed(1, 0, (0,) * 5)
    )
    assert "near: bar 99 is named, and the tune as played has" in refused(
        Placed(99, 0, (0,) * courses)
    )
