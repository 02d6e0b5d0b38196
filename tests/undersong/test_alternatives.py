"""Alternatives against every sequence written down: each the best at its distance, none missed.

The oracle is ``tests.solver.brute``: tiny tunes of which every sequence of choices is judged by the
checker's words. What differs in a bar is counted here with code of its own.
"""

import random
import re
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import pytest

from fretboard.grip import Grip
from scoring.choice import Choice
from solver.conditions import NONE, Conditions
from solver.conditions.alike import Alike
from solver.conditions.costliest import Costliest
from solver.errors import ArrangeError, ConditionError, NotPlayable, Unfulfillable
from solver.result import PROVEN, Arrangement
from solver.search import Answer
from solver.watch import OutOfTime, Standing, Stopped, Watch
from tests.solver.brute import Mask, Page, Rows
from tests.solver.conditioned import Conditioned, tiny_conditioned
from tests.solver.made import case_of
from undersong.alternatives import (
    DEARER,
    ENOUGH,
    MOST,
    MOST_PERCENT,
    NO_MORE,
    UNPROVEN,
    Alternatives,
    alternatives,
    bars_to_differ_in,
)
from undersong.check import check
from undersong.session import Session, WrongAnswer

CASE = case_of("D", "G", "D", "G", "D")
BARS = 5


def session_of(case: object = CASE) -> Session:
    tune, instrument, hand, style, _ = case.asked  # type: ignore[attr-defined]
    return Session(tune, instrument=instrument, hand=hand, style=style)


@lru_cache
def several(count: int = 5, within: int = 100, differ: int = 2) -> Alternatives:
    return session_of().alternatives(count, within, differ)


def heard(arrangement: Arrangement) -> dict[int, list[object]]:
    """Played bar's number → what stands there, as heard and fretted."""
    bars: dict[int, list[object]] = {}
    for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True):
        bars.setdefault(moment.bar, []).append((choice.grip.frets, choice.struck))
    return bars


def apart(one: Arrangement, other: Arrangement) -> list[int]:
    mine, theirs = heard(one), heard(other)
    return [bar for bar in mine if mine[bar] != theirs[bar]]


# --- against every sequence ---


@dataclass
class Oracle:
    """Every sequence that holds the conditions, and how far each is from the answers given."""

    asked: Conditioned

    def __post_init__(self) -> None:
        self.page = Page(self.asked.book, self.asked.case.tune)
        holds, extra = self.page.judged(self.asked.conditions)
        self.left: Mask = holds
        self.total: Rows = self.page.cost.sum(axis=1) + extra
        self.worst: Rows = self.page.cost.max(axis=1)
        costliest = self.asked.conditions.costliest
        self.worst_first = costliest is not None and costliest.weight is None

    def best(self) -> tuple[int, int] | None:
        """(ms of the costliest moment where that comes first, ms asked) of the best left."""
        if not self.left.any():
            return None
        rows = self.left
        worst = int(self.worst[rows].min()) if self.worst_first else 0
        if self.worst_first:
            rows = rows & (self.worst == worst)
        return worst, int(self.total[rows].min())

    def keep_from(self, other: Arrangement, differ: int) -> None:
        """Strikes out what differs from that answer in fewer bars."""
        bars: dict[int, Mask] = {}
        for index, (moment, choice) in enumerate(zip(other.moments, other.choices, strict=True)):
            differs = np.array(
                [
                    (s.choice.grip.frets, s.choice.struck) != (choice.grip.frets, choice.struck)
                    for s in self.page.book.standings[index]
                ],
                np.bool_,
            )[self.page.standing[:, index]]
            bars[moment.bar] = bars.get(moment.bar, np.zeros_like(differs)) | differs
        self.left = self.left & (np.sum(list(bars.values()), axis=0) >= differ)


def rank(arrangement: Arrangement, worst_first: bool) -> tuple[int, int]:
    bill = arrangement.bill
    worst = max(bill.at(n) for n in range(len(arrangement.moments))) if worst_first else 0
    return worst, arrangement.asked_cost


def judged(asked: Conditioned, seed: int) -> str:
    """Compares one random case with what the oracle finds, greedily; how it ended."""
    dice = random.Random(f"alternatives {seed}")
    case, conditions = asked.case, asked.conditions
    session = session_of(case)
    oracle = Oracle(asked)
    try:
        bars = bars_to_differ_in(session, conditions)
        differ, within = dice.randint(1, bars), dice.choice((0, 5, 30, 1000))
        found = session.alternatives(4, within, differ, case.weights, conditions)
    except (NotPlayable, Unfulfillable, ConditionError):
        assert oracle.best() is None
        return "refused"
    limit = None
    for one in found.found:
        known = rank(one.arrangement, oracle.worst_first)
        assert known == oracle.best()
        assert one.arrangement.proof.status == PROVEN
        assert check(one.arrangement) == ()
        limit = limit or known
        oracle.keep_from(one.arrangement, differ)
    assert limit is not None
    follows = oracle.best()
    if found.end == ENOUGH:
        assert len(found.found) == 4
    elif found.end == NO_MORE:
        assert follows is None
    else:
        assert found.end == DEARER
        if follows is None:
            assert "the rest lies beyond" in found.why
            return NO_MORE
        assert any(
            100 * new > (100 + within) * old for new, old in zip(follows, limit, strict=True)
        )
    return found.end


def ends_of(seeds: range) -> dict[str, int]:
    ends = [judged(tiny_conditioned(seed), seed) for seed in seeds]
    return {end: ends.count(end) for end in sorted(set(ends))}


def test_each_is_the_best_that_keeps_its_distance() -> None:
    ends = ends_of(range(12))
    assert {ENOUGH, DEARER, NO_MORE} <= set(ends), ends


@pytest.mark.slow
@pytest.mark.parametrize("part", range(10))
def test_each_is_the_best_that_keeps_its_distance_a_thousand_times(part: int) -> None:
    first = 70_000 + 1_000 * part
    ends = ends_of(range(first, first + 100))
    assert min(ends[end] for end in (ENOUGH, DEARER, NO_MORE)) >= 5, ends


# --- what they are ---


def test_the_first_is_the_best_and_they_are_sorted() -> None:
    found = several()
    costs = [one.arrangement.asked_cost for one in found.found]
    assert (found.end, len(costs)) == (ENOUGH, 5)
    assert found.best == session_of().arrange()
    assert costs == sorted(costs)
    assert [one.more for one in found.found] == [cost - costs[0] for cost in costs]
    assert found.proven


def test_all_are_apart_as_heard_or_fretted_and_sound() -> None:
    found = several()
    given = [one.arrangement for one in found.found]
    for number, one in enumerate(given):
        assert check(one) == ()
        assert all(len(apart(one, other)) >= 2 for other in given[:number])
    assert [list(one.bars) for one in found.found] == [apart(given[0], one) for one in given]


def test_the_same_again_with_a_session_that_is_warm() -> None:
    session = session_of()
    assert session.alternatives(3, 100, 3) == session.alternatives(3, 100, 3)


def test_fewer_bars_to_differ_in_never_cost_more() -> None:
    second = [several(2, 1000, differ).found[1].more for differ in (1, 2, BARS)]
    assert second == sorted(second)


def test_one_alone_is_the_best() -> None:
    assert [one.arrangement for one in several(1).found] == [session_of().arrange()]
    assert several(1).end == ENOUGH


def test_the_limit_is_kept_and_what_lies_beyond_is_told() -> None:
    best, second = several(2, 1000, BARS).found
    percent = -(-100 * second.more // best.arrangement.cost)
    assert percent >= 1, "the case has to tell the limits apart"
    assert len(several(2, percent, BARS).found) == 2
    short = several(2, percent - 1, BARS)
    assert (short.end, len(short.found)) == (DEARER, 1)
    assert f"beyond {percent - 1} %" in short.why
    told = int(re.findall(r"([0-9]+) ms more", short.why)[0])
    assert told in (second.more, best.arrangement.cost * (percent - 1) // 100)


def test_conditions_hold_for_each() -> None:
    asked = Conditions(alike=Alike("bars"))
    found = session_of().alternatives(3, 1000, 2, conditions=asked)
    assert len(found.found) >= 2
    for one in found.found:
        bars = heard(one.arrangement)
        assert bars[2] == bars[4], "G before D, both times"
        assert one.arrangement.conditions == asked


def test_the_costliest_moment_first_orders_by_it() -> None:
    found = session_of().alternatives(4, 1000, 2, conditions=Conditions(costliest=Costliest()))
    ranks = [rank(one.arrangement, True) for one in found.found]
    assert len(ranks) == 4
    assert ranks == sorted(ranks)


# --- what goes wrong ---


@pytest.mark.parametrize(
    ("numbers", "says"),
    [
        ((0, 10, 1), f"1 to {MOST}"),
        ((MOST + 1, 10, 1), f"1 to {MOST}"),
        ((2, -1, 1), f"0 to {MOST_PERCENT} percent"),
        ((2, MOST_PERCENT + 1, 1), f"0 to {MOST_PERCENT} percent"),
        ((2, 10, 0), f"1 to {BARS} bars"),
        ((2, 10, BARS + 1), f"1 to {BARS} bars"),
    ],
)
def test_numbers_that_cannot_be(numbers: tuple[int, int, int], says: str) -> None:
    with pytest.raises(ArrangeError, match=says):
        session_of().alternatives(*numbers)


class Tampered(Session):
    """A session whose answers after the first are changed on their way."""

    def __init__(self, change: object) -> None:
        tune, instrument, hand, style, _ = CASE.asked
        super().__init__(tune, instrument=instrument, hand=hand, style=style)
        self.change = change
        self.honest = self.search.solve
        self.search.solve = self.solve  # type: ignore[method-assign]

    def solve(self, *arguments: object, **named: object) -> Answer:
        answer = self.honest(*arguments, **named)  # type: ignore[arg-type]
        return self.change(answer) if named["apart"] else answer  # type: ignore[operator]


def test_an_answer_that_does_not_keep_its_distance_is_thrown_away() -> None:
    best = session_of()
    first = best.search.solve(CASE.weights)
    with pytest.raises(WrongAnswer, match="alternative 2 differs from 1 in 0 bars, not in 2"):
        Tampered(lambda _: first).alternatives(2, 100, 2)


def test_other_fingers_alone_are_no_difference() -> None:
    best = session_of().arrange()

    def turned(choice: Choice) -> Choice:
        fingers = tuple({1: 2, 2: 1}.get(finger, finger) for finger in choice.grip.fingers)
        return replace(choice, grip=Grip(choice.grip.frets, fingers, choice.grip.place))

    other = replace(best, choices=tuple(map(turned, best.choices)))
    assert other.choices != best.choices
    assert apart(best, other) == []


def test_an_unproven_answer_ends_it_and_says_so() -> None:
    def shaken(answer: Answer) -> Answer:
        return replace(answer, optimal=False, bound=answer.bound - 7)

    found = Tampered(shaken).alternatives(4, 100, 2)
    assert (found.end, len(found.found), found.proven) == (UNPROVEN, 2, False)
    assert "number 2 is not proven" in found.why
    assert "7 ms" in found.why


def test_out_of_time_gives_what_was_found() -> None:
    def tell(standing: Standing) -> None:
        if standing.stage.startswith("3 of 5"):
            raise OutOfTime("the time is up")

    found = session_of().alternatives(5, 100, 2, watch=Watch(seconds=600, tell=tell))
    assert (found.end, len(found.found), found.proven) == (UNPROVEN, 2, False)
    assert "no time" in found.why


def test_a_stopped_search_gives_nothing() -> None:
    watch = Watch()
    watch.stop.now()
    with pytest.raises(Stopped):
        session_of().alternatives(2, 100, 2, watch=watch)


def test_progress_says_which_is_looked_for() -> None:
    told: list[str] = []
    session_of().alternatives(
        3, 100, 2, watch=Watch(tell=lambda standing: told.append(standing.stage))
    )
    for number in (1, 2, 3):
        assert any(stage.startswith(f"{number} of 3, ") for stage in told)


def test_the_function_and_the_method_are_one() -> None:
    assert alternatives(session_of(), 2, 100, 2, None, NONE) == several(2)
