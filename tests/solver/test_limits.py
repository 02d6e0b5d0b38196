"""Limits: what can be asked, in what words, and the sentence where nothing is left.

That the search finds what brute force and a plain model find under them is
``test_oracles_conditions``'s business.
"""

from dataclasses import replace

import pytest

from fretboard.presets import hand, instrument
from scoring.difficulty import bar_difficulties
from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.limits import BarLimit, Limits
from solver.conditions.words import parts_of
from solver.errors import ConditionError, NotPlayable
from solver.result import PROVEN, Arrangement, Proof
from solver.search import Answer, Search
from solver.style import Style
from tests.solver.laid_out import tune
from undersong.check import check

SONG = tune("4/4", "D", "G", "A7", "D")


@pytest.fixture(scope="module")
def search() -> Search:
    return Search(SONG, instrument("standard"), hand("medium"), Style())


def solved(search: Search, limits: Limits | None) -> Answer:
    return search.solve(Weights(), Conditions(limits=limits))


def rated(search: Search, found: Answer) -> dict[int, int]:
    return bar_difficulties(found.choices, found.moments, search.instrument, search.hand)


def checked(search: Search, found: Answer, limits: Limits) -> set[str]:
    made = Arrangement(
        search.tune, search.instrument, search.hand, search.style, Weights(), found.moments,
        found.choices, Proof(PROVEN, found.bound, found.cost - found.bound),
        Conditions(limits=limits),
    )  # fmt: skip
    return {fault.rule for fault in check(made)}


@pytest.mark.parametrize(
    ("limits", "says"),
    [
        ({}, "say what is limited"),
        ({"fingers": 6}, "between 0 and 5, not 6"),
        ({"fingers": -1}, "between 0 and 5"),
        ({"reach": 1001}, "between 0 and 1000"),
        ({"time": -1}, "between 0 and 1000"),
        ({"fret": 99}, "the highest fret"),
        ({"bars": (BarLimit(2, 10), BarLimit(2, 20))}, "played bar 2 has two limits"),
    ],
)
def test_limits_that_cannot_be(limits: dict[str, object], says: str) -> None:
    with pytest.raises(ConditionError, match=says):
        Limits(**limits)  # type: ignore[arg-type]


def test_limits_of_a_bar_that_cannot_be() -> None:
    with pytest.raises(ConditionError, match="counted from 1"):
        BarLimit(0, 10)
    with pytest.raises(ConditionError, match="at least 30 % and at most 20 %"):
        BarLimit(1, 20, 30)
    with pytest.raises(ConditionError, match="between 0 and 1000, not 1001"):
        BarLimit(1, 1001)


def test_a_bar_that_is_not_played(search: Search) -> None:
    with pytest.raises(ConditionError, match="played bar 9; the tune has 4 bars"):
        solved(search, Limits(bars=(BarLimit(9, 10),)))


def test_words() -> None:
    limits = Limits(1, 60, 80, 11, False, (BarLimit(1, 20), BarLimit(2, 40, 10)))
    told = [part.words for part in parts_of(Conditions(limits=limits))]
    assert told == [
        "at most 1 finger down at once",
        "no stretch above 60 % of the hand's greatest",
        "no move that needs more than 80 % of its time",
        "no fret above 6+",
        "no finger laid across strings",
        "no more than 20 to 40 % in each of 2 bars, no less than 10 % in 1 bar",
    ]
    for part in parts_of(Conditions(limits=limits)):
        assert part.alone.limits is not None
        assert str(part.alone.limits) == part.words
        assert part.without.limits is not None
        assert part.words not in str(part.without.limits)


def test_a_lower_cap_costs_no_less(search: Search) -> None:
    free = solved(search, None)
    most = rated(search, free)
    costs = [free.cost]
    for less in (0, 10, 20):
        bars = tuple(BarLimit(bar, max(0, percent - less)) for bar, percent in most.items())
        try:
            found = solved(search, Limits(bars=bars))
        except NotPlayable:
            break
        assert all(rated(search, found)[limit.bar] <= limit.most for limit in bars)
        assert checked(search, found, Limits(bars=bars)) == set()
        costs.append(found.cost)
    assert costs == sorted(costs)
    assert costs[0] == costs[1]


def test_a_floor_that_is_held_already_changes_nothing(search: Search) -> None:
    free = solved(search, None)
    bars = tuple(BarLimit(bar, least=percent) for bar, percent in rated(search, free).items())
    assert solved(search, Limits(bars=bars)).choices == free.choices


def test_a_floor_is_reached_and_checked(search: Search) -> None:
    free = solved(search, None)
    floor = rated(search, free)[2] + 5
    limits = Limits(bars=(BarLimit(2, least=floor),))
    found = solved(search, limits)
    assert rated(search, found)[2] >= floor
    assert found.optimal
    assert found.cost >= free.cost
    assert checked(search, found, limits) == set()
    assert "limits" in checked(search, free, limits)


def test_the_sentence_names_bar_and_limit(search: Search) -> None:
    with pytest.raises(NotPlayable, match=r"^bar 2: G cannot be played with 'no finger down'$"):
        solved(search, Limits(fingers=0, reach=90))
    with pytest.raises(NotPlayable, match=r"^bar 2: G cannot be .*'no more than 0 % in this bar'"):
        solved(search, Limits(bars=(BarLimit(2, 0), BarLimit(4, 90))))
    with pytest.raises(NotPlayable, match=r"^bar 3: .*'no less than 999 % in this bar'"):
        solved(search, Limits(bars=(BarLimit(3, least=999),)))


def test_time_is_kept_to(search: Search) -> None:
    """The checker counts it from each finger's way."""
    for percent in (90, 60, 45):
        limits = Limits(time=percent)
        try:
            found = solved(search, limits)
        except NotPlayable:
            continue
        assert checked(search, found, limits) == set()
        tight = replace(limits, time=1)
        assert "limits" in checked(search, found, tight)
