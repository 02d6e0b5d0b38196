"""The way to end a search from another thread.

It stands by itself so that who only looks at the watch does not load the solver's library.

Public: Stop, Stoppable.
"""

import threading
from typing import Protocol


class Stoppable(Protocol):
    """A solver at work."""

    def stop_search(self) -> None: ...


class Stop:
    """Lets another thread end the solving that is going on; who begins afterwards sees ``stopped``,
    and whoever solves step by step looks again between the steps."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._solver: Stoppable | None = None
        self.stopped = False

    def now(self) -> None:
        with self._lock:
            self.stopped = True
            if self._solver is not None:
                self._solver.stop_search()

    def watch(self, solver: Stoppable | None) -> None:
        with self._lock:
            self._solver = solver
