"""The watch on a search: how long it may take, who is told how it stands, and who may stop it.

Public: Watch, Standing, OutOfTime, Stopped.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from solver.errors import ArrangeError
from solver.stop import Stop


class OutOfTime(ArrangeError):  # noqa: N818  what happened, not only that something failed
    """The time ran out before any arrangement was found."""


class Stopped(ArrangeError):  # noqa: N818
    """The caller stopped the search."""


@dataclass(frozen=True)
class Standing:
    """How a search stands. stage: what is being done, in a few words; done, total: how much of
    it, in units such as bars as played, 0 where that is not told; bound: no answer costs less (ms);
    best: what the best answer met so far costs (ms); None for what is not known yet."""

    stage: str
    done: int
    total: int
    bound: int | None = None
    best: int | None = None
    unit: str = "bar"

    @property
    def gap(self) -> int | None:
        """ms that the best so far may be above the best there is."""
        if self.bound is None or self.best is None:
            return None
        return max(0, self.best - self.bound)


@dataclass
class Watch:
    """seconds: how long everything may take, from when the watch is made; tell: is told how the
    search stands, from the thread that searches; stop: ``stop.now()`` ends it, from any thread."""

    seconds: float = 60.0
    tell: Callable[[Standing], None] | None = None
    stop: Stop = field(default_factory=Stop)
    begun: float = field(default_factory=time.perf_counter)

    @property
    def left(self) -> float:
        """Seconds left, none below zero."""
        return max(0.0, self.begun + self.seconds - time.perf_counter())

    def within(self, seconds: float) -> "Watch":
        """A watch for a part of the work, from now on: no longer than is left, told and stopped
        alike."""
        return Watch(min(self.left, seconds), self.tell, self.stop)

    def saying(self, words: str | Callable[[], str]) -> "Watch":
        """The same watch, told those words, or what they are by then, before each stage."""
        heard = self.tell
        if heard is None:
            return self

        def tell(at: Standing) -> None:
            now = words if isinstance(words, str) else words()
            heard(replace(at, stage=f"{now}, {at.stage}"))

        return replace(self, tell=tell)

    def look(self, standing: Standing | None = None) -> None:
        """Tells how the search stands; Stopped or OutOfTime where it must end."""
        if self.stop.stopped:
            raise Stopped("the search was stopped")
        if self.left <= 0:
            raise OutOfTime(
                f"{self.seconds:g} s were not enough to find any arrangement; allow more time, or "
                "ask for less"
            )
        if self.tell is not None and standing is not None:
            self.tell(standing)
