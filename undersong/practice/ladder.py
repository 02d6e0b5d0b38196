"""A ladder of tempi, from one at which the hand has time to the one that is aimed at.

The hand has time where the rating (``scoring.difficulty``) of every move in the loop is at most
100 %. Each rung is rated by the bars' own moves at its tempo; nothing is estimated. Where stretches
and what the hand must think of besides come to more than 100 % at any tempo, the ladder begins at
the fastest tempo that is as easy as the slowest, and says so.

A ladder begins at no more than ``BEGIN`` of the target, also where the hand has time from the
start, and a rung is about ``STEP`` faster than the one before (common practice, no source).

Public: Rung, Ladder, ladder, BEGIN, STEP, HAS_TIME.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, log

from undersong.tempo_within import ALL, SLOWEST, quickest

BEGIN = 70
"""Percent of the target tempo."""

STEP = 8
"""Percent."""

MOST_RUNGS = 10

HAS_TIME = ALL
"""Percent: a rating up to that."""

RatedAt = Callable[[int], int]
"""Beats a minute → percent; it never falls when the tempo grows."""


@dataclass(frozen=True)
class Rung:
    """tempo: beats a minute; rating: percent at that tempo; hurry: percent of its time that the
    most hurried move needs."""

    tempo: int
    rating: int
    hurry: int = 0

    @property
    def has_time(self) -> bool:
        return self.rating <= HAS_TIME


@dataclass(frozen=True)
class Ladder:
    """rungs: from slow to fast, the last at the target; fastest: the fastest tempo up to the target
    at which the hand has time, None where it has at none."""

    rungs: tuple[Rung, ...]
    fastest: int | None


def ladder(rated_at: RatedAt, hurry_at: RatedAt, target: int) -> Ladder:
    """target: beats a minute."""
    fastest = quickest(lambda tempo: rated_at(tempo) <= HAS_TIME, target)
    start = fastest
    if start is None:
        least = rated_at(SLOWEST)
        start = quickest(lambda tempo: rated_at(tempo) <= least, target) or target
    start = max(SLOWEST, min(start, target * BEGIN // 100))
    tempi = _tempi(start, target)
    return Ladder(tuple(Rung(tempo, rated_at(tempo), hurry_at(tempo)) for tempo in tempi), fastest)


def _tempi(start: int, target: int) -> list[int]:
    """Whole beats a minute, each the same share faster than the one before."""
    if start >= target:
        return [target]
    steps = min(MOST_RUNGS - 1, ceil(log(target / start) / log(1 + STEP / 100) - 1e-9))
    share = (target / start) ** (1 / steps)
    return sorted({round(start * share**step) for step in range(steps)} | {target})
