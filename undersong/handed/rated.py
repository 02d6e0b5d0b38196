"""How difficult a tab is, and whether there is time for it.

Rated is the arrangement nearest to the tab, in its easiest fingers, and of that only the bars that
the tab has.

Public: rating_of, too_fast, beyond, in_time_at.
"""

from typing import TYPE_CHECKING

from scoring.difficulty import BarRating, Rating, rate
from solver.moments import moments_of

if TYPE_CHECKING:
    from undersong.handed.checking import Checked

ALL = 100
"""Percent: what the hand can do."""


def rating_of(checked: "Checked") -> Rating | None:
    """None where there is no arrangement near the tab, or none of its bars begins anything."""
    if checked.nearest is None:
        return None
    written = [bar.written for bar in checked.subject.tune.played]
    bars = tuple(
        bar
        for bar in checked.nearest.difficulty.bars
        if written[bar.bar - 1] not in checked.missing
    )
    return Rating(bars) if bars else None


def too_fast(rating: Rating) -> tuple[BarRating, ...]:
    """The bars whose hardest moment needs more time than there is."""
    return tuple(bar for bar in rating.bars if bar.parts.hurry > ALL)


def beyond(rating: Rating) -> tuple[BarRating, ...]:
    """The bars rated above what the hand can do, which have the time all the same: what is added
    for shifts, fingers laid across and fingers put down makes them so."""
    return tuple(bar for bar in rating.bars if bar.rating > ALL >= bar.parts.hurry)


def in_time_at(checked: "Checked") -> int | None:
    """The highest number of beats a minute, below that of the tune, at which the same fingers have
    the time everywhere; None where even the slowest tempo has not."""
    nearest, tune = checked.nearest, checked.subject.tune
    if nearest is None:
        return None
    there = {bar.bar for bar in getattr(rating_of(checked), "bars", ())}
    low, high = 10, tune.tempo.per_minute
    if not _in_time(checked, low, there):
        return None
    while high - low > 1:  # the time there is grows as the tempo falls
        middle = (low + high) // 2
        low, high = (middle, high) if _in_time(checked, middle, there) else (low, middle)
    return low


def _in_time(checked: "Checked", per_minute: int, there: set[int]) -> bool:
    nearest = checked.nearest
    assert nearest is not None, "only an arrangement can be in time"
    slower = nearest.tune.at_tempo(per_minute)
    moments = moments_of(slower, nearest.style, len(nearest.instrument.courses))
    rating = rate(nearest.choices, moments, nearest.instrument, nearest.hand)
    return all(bar.parts.hurry <= ALL for bar in rating.bars if bar.bar in there)
