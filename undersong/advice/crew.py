"""A crew: other processes of this machine that share in the work of this one.

Each has two tasks at a time, so that it seldom waits, and this process does tasks itself meanwhile.
They hear no Ctrl-C and end with this one. What a process could not do, because it died or for
whatever reason, is done here, where what is wrong can be told.

Public: Crew, crew, spare, HERE.
"""

import multiprocessing as mp
import time
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import Any, Protocol

from solver.watch import Watch
from undersong.advice.weighing import Weigher
from undersong.processes import cores, deaf

MOST = 4
"""Processes in all, at most: each holds tables of its own, 300 to 500 MiB for a tune of 32 bars."""

AT_A_TIME = 2
"""Tasks that a process has: one to do, one to go on with."""

PAUSE = 0.1
"""Seconds between looks at the watch while only others work."""

HERE = 0
"""The number of this process; the others' begin at 1."""


class Task(Protocol):
    """What can be done in any process; until: ``time.monotonic()``, the same clock in all, when
    the time for it is over."""

    @property
    def until(self) -> float: ...

    def run(self, weigher: Weigher, watch: Watch) -> Any: ...


More = Callable[[int], Task | None]
"""The number of a process → the next task for it, None where there is none."""


def spare() -> int:
    """How many processes besides this one the machine has room for."""
    return min(MOST, cores()) - 1


@dataclass
class _Member:
    """tasks: those that it has, the one that it does first."""

    number: int
    process: BaseProcess
    line: Connection
    tasks: deque[Task] = field(default_factory=deque)


class Crew:
    """The other processes, and the weigher of this one."""

    def __init__(self, members: list[_Member], weigher: Weigher) -> None:
        self._members, self.weigher = members, weigher

    def done(self, more: More, watch: Watch) -> Iterator[tuple[Task, Any]]:
        """(task, result) of every task there is, in the order in which they are done.

        Raises whatever a task raises here, and Stopped.
        """
        again: deque[Task] = deque()
        while True:
            for member in self._members:
                _fill(member, more)
            own = again.popleft() if again else more(HERE)
            if own is not None:
                yield own, own.run(self.weigher, watch.within(_left(own)))
            lines = {member.line: member for member in self._members if member.tasks}
            if own is None and not lines:
                return
            if watch.stop.stopped:
                watch.look()
            for line in wait(list(lines), 0 if own is not None else PAUSE):
                member = lines[line]  # type: ignore[index]  # a line is what was asked for
                try:
                    result = member.line.recv()
                except (EOFError, OSError):
                    self._members.remove(member)
                    again += member.tasks
                    continue
                yield member.tasks.popleft(), result


def _fill(member: _Member, more: More) -> None:
    while len(member.tasks) < AT_A_TIME and (task := more(member.number)) is not None:
        member.tasks.append(task)
        with suppress(OSError):  # it is gone, which is seen when its answer is waited for
            member.line.send(task)


@contextmanager
def crew(count: int, weigher: Weigher) -> Iterator[Crew]:
    """So many other processes, ended at the end; the module that runs must be one that they can
    import without running it again (``if __name__ == "__main__"``)."""
    members: list[_Member] = []
    try:
        for number in range(1, count + 1):
            members.append(_hired(number, weigher))
        yield Crew(list(members), weigher)
    finally:
        for member in members:
            member.process.terminate()
            member.process.join()
            member.line.close()


def _hired(number: int, weigher: Weigher) -> _Member:
    context = mp.get_context("spawn")
    here, there = context.Pipe()
    process = context.Process(target=_work, args=(there, weigher), daemon=True)
    with deaf():
        process.start()
    there.close()
    return _Member(number, process, here)


def _work(line: Connection, weigher: Weigher) -> None:
    """Does what comes along the line until there is nobody at the other end, or until something
    goes wrong, which is then done, and told, there."""
    with suppress(Exception):
        while True:
            task = line.recv()
            line.send(task.run(weigher, Watch(_left(task))))


def _left(task: Task) -> float:
    """Seconds, none below zero."""
    return max(0.0, task.until - time.monotonic())
