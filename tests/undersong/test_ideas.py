"""The best for each idea, against every sequence of tiny tunes written down and filtered here."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from fretboard.grip import Grip
from solver.conditions import NONE, Conditions
from solver.conditions.bars import Bars
from solver.conditions.pinned import BassRole
from solver.conditions.pins import Pin
from solver.errors import NotPlayable
from solver.moments import moments_of
from solver.result import PROVEN, Arrangement
from solver.style import manners_in
from solver.watch import OutOfTime, Standing, Stopped, Watch
from tests.solver.brute import Page
from tests.solver.conditioned import tiny_conditioned
from tests.solver.instances import Instance
from tests.solver.made import case_of
from tests.solver.oracles import Book
from tests.solver.ruled_book import TooMany
from undersong.check import check
from undersong.ideas import Ideas, by_idea
from undersong.session import Session

CASE = case_of("D", "G A7", "D")
MANNERS = [name for name in manners_in("song") if name != "alternating"]
NAMES = (*MANNERS, "lower", "higher", "no-bars", "no-little-finger")
MOST = 20_000


def session_of(case: Instance) -> Session:
    tune, instrument, hand, style, _ = case.asked
    return Session(tune, instrument=instrument, hand=hand, style=style)


def stopped_above(grip: Grip) -> list[int]:
    return [f for f, finger in zip(grip.frets[1:], grip.fingers[1:], strict=True) if finger >= 0]


def across(grip: Grip) -> bool:
    used = [finger for finger in grip.fingers if finger >= 0]
    return len(used) != len(set(used))


def least(case: Instance, manner: str, allowed: Callable[[Grip], bool]) -> int | None:
    """ms of the cheapest sequence of that manner whose grips are all allowed."""
    style = replace(case.style, manner=manner)
    moments = moments_of(case.tune, style, len(case.instrument.courses))
    book = Book(moments, case.instrument, case.hand, style, case.weights, MOST)
    if not book.count():
        return None
    page = Page(book, case.tune)
    left = np.ones(len(page.standing), np.bool_)
    for index, standings in enumerate(book.standings):
        fits = np.array([allowed(s.choice.grip) for s in standings], np.bool_)
        left &= fits[page.standing[:, index]]
    return int(page.cost.sum(axis=1)[left].min()) if left.any() else None


def expected(case: Instance, best: Arrangement, name: str) -> int | None:
    frets = [fret for choice in best.choices for fret in stopped_above(choice.grip)]
    rules: dict[str, Callable[[Grip], bool]] = {
        "lower": lambda grip: all(fret < max(frets) for fret in stopped_above(grip)),
        "higher": lambda grip: all(fret > min(frets) for fret in stopped_above(grip)),
        "no-bars": lambda grip: not across(grip),
        "no-little-finger": lambda grip: 4 not in grip.down,
    }
    if name in rules:
        return least(case, case.style.manner, rules[name])
    return least(case, name, lambda _: True)


def compared(seed: int) -> int:
    """How many ideas of a tiny case were compared with what the sequences say."""
    case = tiny_conditioned(seed).case
    count = 0
    try:
        found = session_of(case).by_idea(case.weights)
    except NotPlayable:
        assert least(case, case.style.manner, lambda _: True) is None
        return 0
    for idea in found.ideas:
        if "the best stops no string" in idea.why:
            assert not any(stopped_above(choice.grip) for choice in found.best.choices)
            continue
        try:
            told = expected(case, found.best, idea.name)
        except TooMany:
            continue
        assert (idea.arrangement and idea.arrangement.cost) == told, idea.name
        assert bool(idea.why) == (told is None)
        count += 1
    return count


def test_each_idea_is_the_best_there_is() -> None:
    assert sum(map(compared, range(3))) >= 20


@pytest.mark.slow
@pytest.mark.parametrize("part", range(5))
def test_each_idea_is_the_best_there_is_again_and_again(part: int) -> None:
    first = 80_000 + 1_000 * part
    assert sum(map(compared, range(first, first + 60))) >= 300


@pytest.fixture(scope="module")
def found() -> Ideas:
    return session_of(CASE).by_idea()


def test_every_idea_is_there_once_and_sound(found: Ideas) -> None:
    assert tuple(idea.name for idea in found.ideas) == NAMES
    assert found.proven
    for idea in found.ideas:
        if idea.arrangement is None:
            assert idea.why
            continue
        assert check(idea.arrangement) == ()
        assert idea.arrangement.proof.status == PROVEN
        assert idea.more == idea.arrangement.cost - found.best.cost


def test_a_wish_more_never_costs_less(found: Ideas) -> None:
    for idea in found.ideas[len(manners_in("song")) - 1 :]:
        assert idea.more is None or idea.more >= 0
        assert not idea.already or idea.arrangement is found.best


def test_what_is_pinned_stays_pinned_and_what_contradicts_it_says_so() -> None:
    fifths = Conditions(pins=(Pin(Bars(1, 1), BassRole("fifth"), beat=3),))
    case = case_of("D", "G", "D")
    pinned = session_of(case).by_idea(conditions=fifths)
    by_name = {idea.name: idea for idea in pinned.ideas}
    assert by_name["roots"].arrangement is None
    assert "bar 1, beat 3" in by_name["roots"].why
    walking = by_name["walking"].arrangement
    assert walking is not None
    assert walking.conditions == fifths


def test_out_of_time_the_rest_is_unknown() -> None:
    def tell(standing: Standing) -> None:
        if standing.stage.startswith("lower"):
            raise OutOfTime("the time is up")

    late = by_idea(session_of(CASE), None, NONE, watch=Watch(seconds=600, tell=tell))
    lower = next(idea for idea in late.ideas if idea.name == "lower")
    assert (lower.arrangement, lower.proven, late.proven) == (None, False, False)
    assert "no time" in lower.why


def test_a_stopped_search_gives_nothing() -> None:
    watch = Watch()
    watch.stop.now()
    with pytest.raises(Stopped):
        session_of(CASE).by_idea(watch=watch)
