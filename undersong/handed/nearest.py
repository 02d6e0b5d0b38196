"""The arrangement nearest to a tab, and what of its changes mends a fault.

Where only the manner asks for a change, the bass is left free. Where a wrong note would be left and
its neighbour changed instead, or a number that is played several times changed otherwise each time,
an answer without that is looked for, and taken where it changes no more. A number that stands for
several strokes, as in shapes, and would be changed otherwise for one than for another cannot be
typed so: an answer with one fret for all of them is taken, whatever else it changes.

Public: Near, nearest_to.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scoring.weights import Weights
from solver.conditions import Conditions
from solver.errors import ArrangeError
from solver.moments import moments_of
from solver.result import Arrangement
from solver.watch import Stopped, Watch
from undersong.handed.mending import (
    Asked,
    Change,
    Number,
    changes_of,
    near_to,
    number_of,
    rows_of,
    split_numbers,
    spots_of,
    strings,
)

if TYPE_CHECKING:
    from undersong.handed.reasons import Reasons
    from undersong.session import Session

Spot = tuple[int, int, int]
"""A played bar, a tick in it, and a string."""

MOST_TRIED = 12
"""Answers that are looked for where numbers would be changed otherwise for some strokes."""


@dataclass(frozen=True)
class Near:
    """nearest: the arrangement; changes: what it changes; manner: the bass manner that it was found
    in; asides: strings that the manner asked for alone would change besides those that mend; split:
    numbers for whose strokes no one fret was found; dropped: what nothing was asked of, as no fret
    of the stroke that it was taken for is right where it was typed."""

    nearest: Arrangement
    changes: tuple[Change, ...]
    manner: str
    asides: int = 0
    split: tuple[Number, ...] = ()
    dropped: tuple[Spot, ...] = ()

    @property
    def mends(self) -> tuple[Change, ...]:
        return tuple(change for change in self.changes if not change.wish)

    @property
    def many(self) -> tuple[int, int]:
        """How many strings are changed to mend something, and in all."""
        return strings(self.mends), strings(self.changes)


def nearest_to(
    session: "Session", asked: Asked, reasons: "Reasons", weights: Weights | None, watch: Watch
) -> Near:
    """asked: the tab's frets in the style that is asked. Raises ArrangeError, OutOfTime and
    Stopped."""
    own = _own(session, asked, reasons, weights, watch)
    style = session.style
    if not own.changes or style.manner == "free" or style.texture not in ("song", "bass"):
        return own
    other = session.in_style(replace(style, manner="free"))
    moments = moments_of(other.tune, other.style, len(other.instrument.courses))
    asked = rows_of(reasons.tab, reasons.here, moments)
    if not asked.rows:
        return own
    try:
        free = _own(other, asked, reasons, weights, watch)
    except Stopped:
        raise
    except ArrangeError:
        return own
    if free.many >= own.many:
        return own
    return replace(free, asides=max(0, strings(own.changes) - strings(free.mends)))


def _own(
    session: "Session", asked: Asked, reasons: "Reasons", weights: Weights | None, watch: Watch
) -> Near:
    """In the session's own manner."""
    ringing = reasons.wrong_ringing(asked)
    dropped: list[Spot] = []

    def found(wanted: dict[Spot, int | None]) -> Near:
        own = asked.without(dropped)
        near = near_to(own.instead(wanted | dict.fromkeys([*ringing, *dropped])).rows)
        answer = session.arrange(weights, Conditions(near=near), watch=watch)
        changes = changes_of(answer, own, reasons.here, reasons.judge)
        told = reasons.told(changes, own)
        return Near(answer, told, session.style.manner, dropped=tuple(dropped))

    def better(first: Near, wanted: dict[Spot, int | None]) -> Near | None:
        """With other wishes, where that changes no more."""
        if not asked.instead(wanted | dict.fromkeys([*ringing, *dropped])).rows:
            return None
        try:
            other = found(wanted)
        except Stopped:
            raise
        except ArrangeError:
            return None
        return other if other.many <= first.many else None

    first = found({})
    while spoiling := reasons.spoiling(first.changes, asked):
        dropped += spoiling
        fewer = better(first, {})
        if fewer is None:  # nothing else can be asked: what is changed is not told as a mend
            kept = (one for one in first.changes if not {*spoiling} & {*reasons.spots(one)})
            first = replace(first, changes=tuple(kept), dropped=tuple(dropped))
            break
        first = fewer
    wrong = reasons.left_wrong(first.changes, asked)
    if wrong and first.mends:
        first = better(first, dict.fromkeys(wrong)) or first
    for turn in (0, -1):  # as it is changed the first time, or the last
        wanted = _each_time(first.changes, turn, asked, reasons)
        same = better(first, wanted) if wanted else None
        if same is not None and not any(change.turns for change in same.mends):
            first = same
            break
    return _in_one(first, asked, reasons, found)


def _in_one(
    first: Near, asked: Asked, reasons: "Reasons", found: Callable[[dict[Spot, int | None]], Near]
) -> Near:
    """The same with one fret for each number that is changed otherwise for one of its strokes than
    for another, as far as there is one; found: an answer with other wishes."""
    wanted: dict[Spot, int | None] = {}
    best, tried = first, 0
    for number in split_numbers(first.changes, asked, reasons.here):
        spots = spots_of(number, asked, reasons.here)
        ways: list[tuple[tuple[int, int], int, int, Near]] = []
        news = {one.new for one in first.changes if number_of(one) == number}
        for new in sorted(news)[: MOST_TRIED - tried]:
            tried += 1
            try:
                near = found(wanted | dict.fromkeys(spots, new))
            except Stopped:
                raise
            except ArrangeError:
                continue
            if number not in split_numbers(near.changes, asked, reasons.here):
                ways.append((near.many, near.nearest.cost, new, near))
        if ways:
            _, _, new, best = min(ways, key=lambda way: way[:3])
            wanted |= dict.fromkeys(spots, new)
    return replace(best, split=split_numbers(best.changes, asked, reasons.here))


def _each_time(
    changes: Sequence[Change], turn: int, asked: Asked, reasons: "Reasons"
) -> dict[Spot, int | None]:
    """What is changed otherwise each time through, as it is changed that time, for all times."""
    ways: dict[tuple[int, int, int], list[int]] = {}
    for one in changes:
        if one.turns and not one.wish:
            ways.setdefault((one.line, one.column, one.course), []).append(one.new)
    wanted: dict[Spot, int | None] = {}
    for (bar, tick, course), index in asked.typed.items():
        column = reasons.here[index].at.column
        way = ways.get((column.line, column.column, course))
        if way is not None:
            wanted[bar, tick, course] = way[turn]
    return wanted
