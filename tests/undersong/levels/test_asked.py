"""Levels under what the player asks besides, and what a clock leaves of them."""

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import pytest

from scoring.weights import Weights
from solver.conditions import NONE, Conditions
from solver.conditions.bars import WHOLE
from solver.conditions.limits import Limits
from solver.conditions.near import Near, Placed
from solver.conditions.quota import Quota
from solver.errors import ConditionError
from solver.watch import OutOfTime, Watch
from tune.readers.abc import read_abc
from undersong.levels import LevelSet, levels_for
from undersong.levels.needs import _Room
from undersong.levels.version import Cannot, Demands, Solved, Version
from undersong.rated import Rater
from undersong.session import Session

STEADY = Conditions(quotas=(Quota("shifts", most=1, bars=WHOLE, each=True),))
HALL = read_abc("""X:1
T:Keys to the Hall
M:4/4
L:1/4
Q:1/4=112
K:D
"D"d2 A2|"Bm"B2 d2|"G"B2 d2|"A7"c2 e2|"D"d2 "G"B2|"Em"e2 "A7"c2|"D"d4|]
""")


def versions(session: Session, conditions: Conditions) -> Iterator[Version]:
    """One for each bundled level, as if there were no others."""
    rater = Rater(session.instrument, session.hand)
    for level in levels_for("song"):
        own = session.in_style(level.style(session.style, session.instrument))
        asked = level.conditions(conditions)
        played = frozenset(moment.bar for moment in own.search.moments(asked))
        yield Version(level, own, asked, Weights(), played, rater)


def test_what_a_level_needs_is_seen_under_the_players_own_cap_on_shifts() -> None:
    """By the whole search, which is asked for each set of caps anew."""
    dice, seen = random.Random(1), set()
    for version in versions(Session(HALL), STEADY):
        try:
            free = version.solve(Demands({}, {}), Watch())
        except Cannot:
            continue
        room = _Room.within(version, Watch())
        for _ in range(12):
            caps = {
                bar: max(0, p - dice.choice((0, 0, 5, 10, 20))) for bar, p in free.rated.items()
            }
            possible = version.can(Demands(caps, {}), Watch())
            assert room.possible(caps) == possible, (version.level.number, caps)
            seen.add(possible)
    assert seen == {True, False}


@pytest.mark.parametrize(
    ("asked", "close", "told"),
    [
        (Conditions(limits=Limits(fingers=2)), None, "each level has limits of its own"),
        (Conditions(near=Near((Placed(1, 0, (0, 0, 0)),), 40)), 30, "leave out one of them"),
    ],
)
def test_what_levels_have_of_their_own_is_not_asked_besides(
    asked: Conditions, close: int | None, told: str
) -> None:
    with pytest.raises(ConditionError, match=told):
        Session(HALL).levels(conditions=asked, close=close)


def stopped_after(count: int, session: Session, monkeypatch: pytest.MonkeyPatch) -> LevelSet | None:
    """The levels of whoever runs out of time when a version is solved for the n-th time; None
    where that is too soon for any."""
    watch, found_in = Watch(), Version.solve
    left = [count]

    def solve(self: Version, asked: Demands, share: Watch) -> Solved:
        left[0] -= 1
        if left[0] < 0:
            watch.seconds = 0.0
            raise OutOfTime("its time is over")
        return found_in(self, asked, share)

    with monkeypatch.context() as patched:
        patched.setattr(Version, "solve", solve)
        try:
            return session.levels(watch=watch)
        except OutOfTime:
            return None


def test_more_time_never_gives_fewer_levels(monkeypatch: pytest.MonkeyPatch) -> None:
    """A round that is begun again keeps what the one before has found."""
    session = Session("wet-boots-in-the-porch")
    counts = []
    for count in range(1, 24, 2):
        found = stopped_after(count, session, monkeypatch)
        counts.append(0 if found is None else len(found.met))
        for easier, harder in pairwise(() if found is None else found.met):
            above = harder.ratings
            assert all(percent <= above[bar] for bar, percent in easier.ratings.items())
    assert counts == sorted(counts)
    assert counts[0] < counts[-1]


def test_conditions_differ_by_what_they_say_of_a_bar() -> None:
    """Not by its place alone: what was found for one was taken for the other's."""
    one, other = (Near((Placed(1, 0, (fret, 0, 0)),), 40) for fret in (0, 2))
    assert one != other
    assert replace(NONE, near=one) != replace(NONE, near=other)
    asked = Demands({}, {}, one)
    assert asked.milder(replace(asked, near=Near(one.rows, 40)))
    assert not asked.milder(replace(asked, near=other))
