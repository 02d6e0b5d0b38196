"""The crew: other processes that share in the work, die, cannot, and are let go."""

import os
import pickle
from collections import deque
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
from undersong.advice.crew import HERE, Task, crew, spare
from undersong.advice.keys import KeysAsked, keys
from undersong.advice.weighing import Weigher
from undersong.api import read_tune


@dataclass(frozen=True)
class Told:
    """Says which process did it."""

    number: int
    seconds: float = 9.0

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


def test_processes_are_as_many_as_there_is_room_for() -> None:
    assert 0 <= spare() < 4


def test_shared_work_gives_the_same_table(tmp_path: Path) -> None:
    wanted = choices(("D-A-d", "D-A-A", "C-G-c"), capos=(0, 5), semitones=tuple(range(-5, 7)))
    tables = [keys(KeysAsked(chart(tmp_path), wanted, rows=3), others=others) for others in (0, 1)]
    one, other = (
        [(row.best, row.also, row.arrangement.choices, row.cost, row.proven) for row in table.rows]
        for table in tables
    )
    assert one == other
    assert tables[0].problems >= 16, "or nobody is hired"
    for name in ("cannot", "ruled_out", "least", "not_looked_at", "looked_at"):
        assert getattr(tables[0], name) == getattr(tables[1], name)


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
