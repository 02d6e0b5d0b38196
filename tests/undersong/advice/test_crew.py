"""The crew: other processes that share in the work, die, cannot, and are let go."""

import math
import os
import pickle
import time
from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from fretboard.hand import Hand
from fretboard.presets import hand
from scoring.weights import Weights
from solver.watch import Stopped, Watch
from tests.undersong.advice.keyed import chart, choices
from tune.chord import parse_chord
from tune.tune import Tune
from undersong.advice import bounding
from undersong.advice import keys as making
from undersong.advice.crew import HERE, Crew, Task, crew, spare
from undersong.advice.keys import KeysAsked, keys
from undersong.advice.weighing import Weigher
from undersong.api import read_tune


@dataclass(frozen=True)
class Told:
    """Says which process did it."""

    number: int
    until: float = math.inf

    def run(self, weigher: Weigher, watch: Watch) -> tuple[int, int]:
        return self.number, os.getpid()


@dataclass(frozen=True)
class Dies(Told):
    here: int = 0

    def run(self, weigher: Weigher, watch: Watch) -> tuple[int, int]:
        if os.getpid() != self.here:
            os._exit(3)
        return super().run(weigher, watch)


@dataclass(frozen=True)
class Slow(Told):
    """Takes a while; says how many seconds there were for it."""

    def run(self, weigher: Weigher, watch: Watch) -> Any:
        time.sleep(0.5)
        return self.number, watch.seconds


@dataclass(frozen=True)
class Fails(Told):
    def run(self, weigher: Weigher, watch: Watch) -> tuple[int, int]:
        raise ValueError("not with this tune")


def weigher(tune: Tune | None = None) -> Weigher:
    return Weigher(read_tune("harrow-lane") if tune is None else tune, Hand(), Weights())


def shared(tasks: list[Task], others: int, watch: Watch | None = None) -> list[Any]:
    """The results; the first tasks for the others, so that they have some."""
    left = deque(tasks)

    def more(who: int) -> Task | None:
        may = who != HERE or not others or len(left) < len(tasks) - 1
        return left.popleft() if left and may else None

    with crew(others, weigher()) as hired:
        return [result for _, result in hired.done(more, Watch() if watch is None else watch)]


def test_every_task_is_done_once_by_one_process_or_another() -> None:
    results = shared([Told(number) for number in range(40)], 1)
    assert sorted(number for number, _ in results) == list(range(40))
    assert len({process for _, process in results}) == 2
    assert {process for _, process in shared([Told(1), Told(2)], 0)} == {os.getpid()}


def test_what_a_process_dies_of_is_done_here() -> None:
    tasks: list[Task] = [Dies(n, here=os.getpid()) for n in range(4)]
    results = shared(tasks, 1)
    assert sorted(results) == [(n, os.getpid()) for n in range(4)]


def test_what_goes_wrong_there_is_told_here() -> None:
    with pytest.raises(ValueError, match="not with this tune"):
        shared([Fails(0), Told(1), Told(2)], 1)


def test_work_that_is_stopped_ends() -> None:
    watch = Watch()
    watch.stop.now()
    with pytest.raises(Stopped):
        shared([Told(number) for number in range(9)], 1, watch)


def test_a_task_that_waits_for_another_has_the_less_time() -> None:
    """The clock is that of the whole work, not of the task's own beginning."""
    until = time.monotonic() + 60
    left = dict(shared([Slow(number, until) for number in range(3)], 1))
    assert left[1] <= left[0] - 0.5


def test_processes_are_as_many_as_there_is_room_for() -> None:
    assert 0 <= spare() < 4


def test_shared_work_gives_the_same_table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    hired = []

    @contextmanager
    def counted(count: int, weigher: Weigher) -> Iterator[Crew]:
        hired.append(count)
        with crew(count, weigher) as found:
            yield found

    monkeypatch.setattr(making, "crew", counted)
    wanted = choices(("D-A-d", "D-A-A", "C-G-c"), capos=(0, 5), semitones=tuple(range(-5, 7)))
    tables = [keys(KeysAsked(chart(tmp_path), wanted, rows=3), others=others) for others in (0, 1)]
    one, other = (
        [(row.best, row.also, row.arrangement.choices, row.cost, row.proven) for row in table.rows]
        for table in tables
    )
    assert one == other
    assert hired == [0, 1]
    for name in ("cannot", "ruled_out", "least", "not_looked_at", "looked_at"):
        assert getattr(tables[0], name) == getattr(tables[1], name)


def test_so_it_is_whichever_is_weighed_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Frets that do no good hold places until it is known what the tune costs without them; what
    was given up because of them must be weighed again."""
    wanted = choices(
        ("D-A-d", "D-A-A"), capos=(0,), semitones=(0, -2, 5, 7), extras=((), (1,), (8,), (1, 8))
    )
    long = "title: Long Hall\nkey: D\nmetre: 4/4\n" + "| D | G | A | D | Bm | Em | A | D |\n" * 2
    asked = KeysAsked(chart(tmp_path, long), wanted, rows=2)
    usual, first = keys(asked), bounding._promising_first
    monkeypatch.setattr(
        bounding,
        "_promising_first",
        lambda *all_: sorted(first(*all_), key=lambda group: -len(group[0].extra)),
    )
    other = keys(asked)
    for table in (usual, other):
        assert table.proven
        assert not table.not_looked_at
    assert [row.best for row in usual.rows] == [row.best for row in other.rows]
    assert usual.ruled_out + usual.no_better == other.ruled_out + other.no_better


def test_a_tune_and_a_hand_that_were_used_go_along_a_line() -> None:
    one = parse_chord("D/F#")
    assert one.degrees["third"] == 6
    assert pickle.loads(pickle.dumps(one)) == one
    for own in (Hand(), hand("beginner"), hand("noter"), Hand(span_mm=180)):
        again = pickle.loads(pickle.dumps(own))
        assert again == own
        assert dict(again.greatest) == dict(own.greatest)
        with pytest.raises(TypeError):
            again.greatest[0, 1] = 9
