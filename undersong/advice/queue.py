"""The queue of combinations: who is given which next, so that tables are made once.

Public: Queue.
"""

from collections import deque
from collections.abc import Iterable

from fretboard.fingering import untuned
from fretboard.instrument import Instrument
from undersong.advice.combinations import Combination

Group = tuple[Combination, ...]
"""Combinations that are one fret problem."""


class Queue:
    """Fret problems in order, those on the same strings for the same process, then those of the
    same fretboard, then of one that no other process is at, as long as there are others for the
    others."""

    def __init__(self, ordered: Iterable[Group]) -> None:
        self._waiting: dict[Instrument, deque[Group]] = {}
        for group in ordered:
            self._waiting.setdefault(group[0].instrument, deque()).append(group)
        self._taken: dict[int, tuple[Instrument, deque[Group]]] = {}
        self._back: list[Group] = []

    def next(self, who: int) -> Group | None:
        """What that process does next."""
        last, own = self._taken.get(who, (None, deque()))
        if not own and self._waiting:
            strings = self._strings_after(last)
            own = self._waiting.pop(strings)
            self._taken[who] = strings, own
        if own:
            return own.popleft()
        others = max((left for _, left in self._taken.values()), key=len, default=deque())
        return others.pop() if others else None

    def _strings_after(self, last: Instrument | None) -> Instrument:
        """What comes after those strings, of what is waiting."""
        taken = {untuned(strings) for strings, _ in self._taken.values()}
        if last is not None:
            same = [each for each in self._waiting if untuned(each) == untuned(last)]
            if same:
                return same[0]
        free = (each for each in self._waiting if untuned(each) not in taken)
        return next(free, next(iter(self._waiting)))

    def back(self, group: Group) -> None:
        """It could not be done in the time."""
        self._back.append(group)

    @property
    def left(self) -> list[Group]:
        """What was not done."""
        waiting = [*self._waiting.values(), *(own for _, own in self._taken.values())]
        return [*self._back, *(group for groups in waiting for group in groups)]
