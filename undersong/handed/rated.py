"""How difficult a tab is, and whether there is time for it.

Rated is the tab in the fingers that are written, where they are all written and nothing is changed,
else the arrangement nearest to it, in the fingers that cost least; and of that only the bars that
the tab has.

Public: rating_of, too_fast, beyond, in_time_at.
"""

from typing import TYPE_CHECKING

from scoring.difficulty import BarRating, Rating
from undersong.tempo_within import ALL, quickest, rated_at

if TYPE_CHECKING:
    from undersong.handed.checking import Checked


def rating_of(checked: "Checked") -> Rating | None:
    """None where there is no arrangement near the tab, or none of its bars begins anything."""
    played = checked.fingered or checked.nearest
    if played is None:
        return None
    bars = tuple(bar for bar in played.difficulty.bars if bar.bar not in checked.not_there)
    return Rating(bars) if bars else None


def too_fast(rating: Rating) -> tuple[BarRating, ...]:
    """The bars whose hardest moment needs more time than there is."""
    return tuple(bar for bar in rating.bars if bar.parts.hurry > ALL)


def beyond(rating: Rating) -> tuple[BarRating, ...]:
    """The bars rated above what the hand can do, which have the time all the same: what is added
    for shifts, fingers laid across and fingers put down makes them so."""
    return tuple(bar for bar in rating.bars if bar.rating > ALL >= bar.parts.hurry)


def in_time_at(checked: "Checked") -> int | None:
    """The highest number of beats a minute, up to the tune's own, at which the same fingers have
    the time everywhere; None where even the slowest tempo has not."""
    nearest, tune = checked.fingered or checked.nearest, checked.subject.tune
    if nearest is None:
        return None
    there = {bar.bar for bar in getattr(rating_of(checked), "bars", ())}

    def in_time(per_minute: int) -> bool:
        rating = rated_at(nearest, per_minute)
        return all(bar.parts.hurry <= ALL for bar in rating.bars if bar.bar in there)

    return quickest(in_time, tune.tempo.per_minute)
