"""Why a bar is played so: against every sequence counted out (``tests.solver.brute``), against
min-marginals, and by recounting bills here."""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from solver.conditions import NONE, Conditions
from solver.conditions.bars import Bars
from solver.conditions.pins import kept_bars
from solver.errors import ArrangeError
from solver.passes import explore, outlook
from solver.question import Apart
from solver.result import PROVEN, Arrangement
from solver.style import Style
from solver.watch import Watch
from tests.solver.brute import Page, moments_asked
from tests.solver.instances import Instance, tiny
from tests.solver.oracles import Book
from tests.solver.ruled_book import TooMany
from tests.undersong.arranged import chart
from tests.undersong.running import run
from undersong.levels import Level
from undersong.session import Session
from undersong.sheet.write import write
from undersong.why import explain_bar
from undersong.why.others import sentence
from undersong.why.text import explanation_text

MOST = 30_000
TUNE = chart("key: D\nmetre: 4/4\n|: D | G A7 | Bm | A7 :|\n| G | D |\n")


@lru_cache
def session() -> Session:
    return Session(TUNE)


@lru_cache
def best() -> Arrangement:
    return session().arrange()


def cases(count: int, first: int = 0) -> Iterator[tuple[Instance, Page, Session, Arrangement]]:
    """Tiny cases that have an answer and few enough sequences to look at every one."""
    found = 0
    for seed in range(first, first + 40 * count):
        case = tiny(seed)
        try:
            moments = moments_asked(case, NONE)
            asked = (case.instrument, case.hand, case.style, case.weights)
            book = Book(moments, *asked, most=MOST)
            one = Session(case.tune, instrument=case.instrument, hand=case.hand, style=case.style)
            answer = one.arrange(case.weights)
        except (TooMany, ArrangeError):
            continue
        yield case, Page(book, case.tune), one, answer
        found += 1
        if found == count:
            return
    raise AssertionError("too few cases")


def fretted(arrangement: Arrangement, bar: int) -> tuple[object, ...]:
    return tuple(
        (choice.grip.frets, choice.struck)
        for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True)
        if moment.bar == bar
    )


def in_bar(page: Page, row: int, bar: int) -> tuple[object, ...]:
    return tuple(
        (choice.grip.frets, choice.struck)
        for moment, choice in zip(page.book.moments, page.choices(row), strict=True)
        if moment.bar == bar
    )


def test_other_choices_are_the_best_of_all_that_differ_there() -> None:
    none = 0
    for case, page, one, answer in cases(25):
        bar = answer.moments[-1].bar
        number = case.tune.bars[answer.moments[-1].written].number
        found = explain_bar(answer, number, more=3, session=one)
        assert found.bar == bar, "tiny tunes have no repeats"
        total = page.cost.sum(axis=1)
        kinds: dict[tuple[object, ...], int] = {}
        for row in range(len(total)):
            there = in_bar(page, row, bar)
            kinds[there] = min(kinds.get(there, int(total[row])), int(total[row]))
        assert kinds.pop(fretted(answer, bar)) == answer.cost
        prices = sorted(kinds.values())[:3]
        assert [other.arrangement.cost for other in found.others] == prices
        assert found.proven
        none += not prices
    assert none, "some case leaves no other choice, and says so"


def test_the_first_other_choice_costs_its_min_marginal() -> None:
    for case, _, one, answer in cases(10, 5000):
        asked = one.search.question(case.weights, NONE, watch=Watch())
        ahead = outlook(asked.graph, asked.costs)
        seen = explore(asked.graph, asked.costs, ahead, 1 << 40)
        bar = answer.moments[0].bar
        least = []
        for index, moment in enumerate(asked.moments):
            if moment.bar != bar:
                continue
            shape = asked.graph.layers[index].shape[seen.nodes[index]]
            shapes, choice = asked.graph.layers[index].shapes, answer.choices[index]
            other = (shapes.frets[shape] != np.array(choice.grip.frets)).any(axis=1)
            other |= (shapes.struck[shape] != np.array(choice.struck)).any(axis=1)
            least += (seen.to[index] + seen.on[index])[other].tolist()
        number = case.tune.bars[answer.moments[0].written].number
        found = explain_bar(answer, number, more=1, session=one)
        assert [o.arrangement.cost for o in found.others] == ([min(least)] if least else [])


def test_room_is_counted_as_by_looking_at_every_sequence() -> None:
    narrow = 0
    for case, page, one, answer in cases(15, 9000):
        bar = answer.moments[-1].bar
        number = case.tune.bars[answer.moments[-1].written].number
        found = explain_bar(answer, number, more=0, session=one)
        rows = [page.choices(row) for row in range(len(page.standing))]
        outside = [i for i, moment in enumerate(answer.moments) if moment.bar != bar]
        same = [row for row in rows if all(row[i] == answer.choices[i] for i in outside)]
        for account in found.accounts:
            index, room = account.index, account.room
            assert room is not None
            played = answer.choices[index]
            kinds = {(row[index].grip.frets, row[index].struck) for row in same}
            assert room.through == len(kinds)
            known = {(row[index].grip.frets, row[index].struck) for row in rows}
            assert len(known) <= room.allowed == room.fitting
            fingers = {
                row[index].grip.fingers
                for row in rows
                if (row[index].grip.frets, row[index].struck) == (played.grip.frets, played.struck)
            }
            assert len(fingers) <= room.fingerings
            narrow += len(kinds) < room.fitting
    assert narrow, "somewhere the neighbours rule choices out"


def test_prices_split_into_there_and_elsewhere_by_the_bills() -> None:
    answer = best()
    found = explain_bar(answer, 3, time=2, more=3, session=session())
    assert len(found.others) == 3
    for other in found.others:
        there = {"in": 0, "out": 0}
        for index, moment in enumerate(answer.moments):
            ms = other.arrangement.bill.at(index) - answer.bill.at(index)
            there["in" if moment.bar == found.bar else "out"] += ms
        assert (other.there, other.elsewhere, other.conditions) == (there["in"], there["out"], 0)
        assert other.more == other.arrangement.cost - answer.cost >= 0
        assert f"{other.more} ms more" in sentence(answer, other) or not other.more
    assert found.bar == 7
    assert [other.more for other in found.others] == sorted(other.more for other in found.others)
    assert found.cost == sum(
        answer.bill.at(i) for i, moment in enumerate(answer.moments) if moment.bar == 7
    )


def test_the_conditions_hold_for_other_choices() -> None:
    kept = Conditions(pins=kept_bars(best(), Bars(3, 3)))
    answer = session().arrange(conditions=kept)
    found = explain_bar(answer, 3, session=session())
    assert found.others == ()
    assert found.proven
    assert "no other choice there" in found.end
    assert all(account.room and account.room.allowed == 1 for account in found.accounts)
    elsewhere = explain_bar(answer, 2, more=1, session=session())
    assert fretted(elsewhere.others[0].arrangement, 3) == fretted(answer, 3)


def test_a_file_that_calls_itself_best_and_is_not_is_told_so(tmp_path: Path) -> None:
    second = explain_bar(best(), 2, more=1, session=session()).others[0]
    claims = replace(second.arrangement, proof=best().proof)
    assert claims.proof.status == PROVEN
    found = explain_bar(claims, 2, more=1, session=session())
    assert found.better == second.more > 0
    assert found.others[0].more == -second.more
    assert f"costs {second.more} ms less" in explanation_text(found)
    assert explain_bar(best(), 2, more=0, session=session()).better == 0


def test_the_page_stays_within_its_width_and_adds_up() -> None:
    found = explain_bar(best(), 2, session=session())
    for width in (40, 80, 120):
        page = explanation_text(found, width)
        assert max(map(len, page.splitlines())) <= width
        assert page.isascii()
    for account in found.accounts:
        assert sum(ms for _, _, ms in account.terms) == account.cost


@pytest.mark.parametrize(
    ("bar", "time", "more", "says"),
    [
        (9, 1, 3, "no bar 9; it has bars 1 to 6"),
        (5, 2, 3, "bar 5 is played once"),
        (1, 3, 3, "bar 1 is played 2 times"),
        (1, 1, 21, "0 to 20 other choices"),
    ],
)
def test_bars_and_times_that_are_not_there(bar: int, time: int, more: int, says: str) -> None:
    with pytest.raises(ArrangeError, match=says):
        explain_bar(best(), bar, time, more, session=session())


def test_out_of_time_is_told() -> None:
    found = explain_bar(best(), 2, session=session(), watch=Watch(seconds=0.0))
    assert not found.proven
    assert found.others == ()


def test_the_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    write(best(), "mine.json")
    ended = run("why", "mine.json", "--bar", "2", "--time", "2", "--more", "1")
    assert ended.code == 0
    assert "bar 2 (2nd time)" in ended.out
    assert "would cost" in ended.out
    ended = run("why", "harrow-lane", "--bar", "1", "--more", "0")
    assert ended.code == 0
    assert "Harrow Lane, bar 1" in ended.out
    for option in (("--hand", "small"), ("--pin", "1: 0-0-0"), ("--bass", "roots")):
        ended = run("why", "mine.json", "--bar", "2", *option)
        assert ended.code == 2
        assert option[0] in ended.told
        assert "settings of its own" in ended.told


def test_what_cannot_be_played_is_no_explanation() -> None:
    ended = run("why", "harrow-lane", "--bar", "1", "--pin", "1: 1-1-1")
    assert ended.code == 1
    assert len(ended.lines) == 1


RAISED = """X:1
T:Crates on the Stairs
M:3/4
L:1/4
Q:1/4=160
K:D
"A"A2d|"G"f2F|"A"bFG|"G"A"Am"bG|"G"E2D|]
"""


def test_a_bar_that_must_be_hard_has_the_choices_that_a_search_finds(tmp_path: Path) -> None:
    """It may become hard at another moment than in the best answer."""
    (tmp_path / "raised.abc").write_text(RAISED, encoding="utf-8")
    levels = (
        Level(1, "Walking.", "walking", texture="bass", barred=False),
        Level(2, "Held.", "held", texture="bass", highest=7),
    )
    found = Session(tmp_path / "raised.abc", style=Style(texture="bass", manner="held")).levels(
        levels
    )
    made = found.made[1].arrangement
    assert made is not None
    assert 4 in found.made[1].raised
    (number,) = (bar.number for bar in made.tune.played if made.tune.bars[bar.written].number == 4)
    apart = [Apart(made.choices, 1, frozenset((number,)))]
    again = Session(made.tune, style=made.style)
    other = again.arrange(made.weights, made.conditions, apart=apart)
    explained = explain_bar(made, 4, more=1)
    assert explained.proven
    assert [each.more for each in explained.others] == [other.asked_cost - made.asked_cost]
