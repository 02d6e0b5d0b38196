"""The quickest tempo at which an answer, with the very same hands, is within what the hand can do.

A move's time grows as the tempo falls, its way and its reach do not; so a slower tempo never rates
a bar higher, and where the reach alone is too much, no tempo helps.

Public: Within, tempo_within, quickest, rated_at, ALL, SLOWEST.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from scoring.difficulty import Rating, rate
from solver.result import Arrangement

ALL = 100
"""Percent: what the hand can do."""

SLOWEST = 10
"""Beats a minute: the least that a tempo may be (``tune.time.Tempo``)."""


@dataclass(frozen=True)
class Within:
    """over: played bars rated beyond ``ALL`` at the tune's tempo, in order; never: those of them
    that stay so at any tempo; per_minute: the quickest tempo, in the tune's own first beat unit, at
    which all the others are within it, None where there are no others."""

    over: tuple[int, ...]
    never: tuple[int, ...]
    per_minute: int | None


def tempo_within(arrangement: Arrangement) -> Within:
    """Which bars are beyond ``ALL``, and what tempo would mend it; each tempo that is looked at is
    rated anew, and so is the one that is told."""
    over = _beyond(arrangement.difficulty)
    if not over:
        return Within((), (), None)
    never = _beyond(rated_at(arrangement, SLOWEST))
    if set(over) <= never:
        return Within(tuple(sorted(over)), tuple(sorted(over)), None)
    found = quickest(
        lambda tempo: _beyond(rated_at(arrangement, tempo)) <= never,
        arrangement.tune.tempo.per_minute,
    )
    return Within(tuple(sorted(over)), tuple(sorted(over & never)), found)


def quickest(will_do: Callable[[int], bool], most: int) -> int | None:
    """The quickest tempo up to ``most`` that will do, in beats a minute, None for none; what will
    do at one tempo must do at every slower one."""
    if will_do(most):
        return most
    low, high = SLOWEST, most
    if low >= high or not will_do(low):
        return None
    while high - low > 1:  # low will do, high will not
        middle = (low + high) // 2
        if will_do(middle):
            low = middle
        else:
            high = middle
    return low


def rated_at(arrangement: Arrangement, per_minute: int) -> Rating:
    """The same choices, rated at another tempo; changes of tempo are scaled alike."""
    tune = arrangement.tune.at_tempo(per_minute)
    moments = [
        replace(each, ms=tune.tempo_at(each.written).milliseconds(each.length))
        for each in arrangement.moments
    ]
    return rate(arrangement.choices, moments, arrangement.instrument, arrangement.hand)


def _beyond(rating: Rating) -> set[int]:
    return {bar.bar for bar in rating.bars if bar.rating > ALL}
