"""Alternatives: the best arrangement and others near it that are truly different.

Each one is the best of all that keep their distance from every one before it, so the first is the
best there is and they are sorted. The distance is counted in played bars that differ as heard or
fretted (``undersong.compared.bars_apart``); it is asked of the search and counted again here.

Public: alternatives, Alternatives, Alternative, bars_to_differ_in, ENOUGH, MOST, MOST_PERCENT.
"""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scoring.weights import Weights
from solver.conditions import NONE, Conditions
from solver.conditions.pins import manners_of
from solver.errors import ArrangeError, NotFound, Unfulfillable
from solver.moments import moments_of
from solver.question import Apart
from solver.result import PROVEN, Arrangement
from solver.watch import OutOfTime, Standing, Watch
from undersong.compared import bars_apart
from undersong.wording import many

if TYPE_CHECKING:
    from undersong.session import Session

MOST, MOST_PERCENT = 50, 1000

ENOUGH, DEARER, NO_MORE, UNPROVEN = "enough", "dearer", "no more", "unproven"

_SURE = ("exploring", "proving")
"""Stages of the search whose bound holds for every way there is."""

_ENDLESS = 1 << 40
"""More ms than anything costs: a search with such a bound is about to find that there is none."""


@dataclass(frozen=True)
class Alternative:
    """more: ms that it costs more than the best (less where the costliest moment comes first, and
    it saves elsewhere); bars: numbers of the played bars in which it differs from the best."""

    arrangement: Arrangement
    more: int
    bars: tuple[int, ...]


@dataclass(frozen=True)
class Alternatives:
    """found: the best first; end: why there are no more: ``ENOUGH``, ``DEARER``, ``NO_MORE`` or
    ``UNPROVEN``; why: the same as a sentence."""

    found: tuple[Alternative, ...]
    end: str
    why: str

    @property
    def best(self) -> Arrangement:
        return self.found[0].arrangement

    @property
    def proven(self) -> bool:
        """Whether everything said here is proven."""
        return self.end != UNPROVEN


class _Beyond(Exception):  # noqa: N818  what the search came to, no error
    """Whatever answers are left cost more than the limit."""


def alternatives(
    session: "Session",
    count: int = 5,
    within: int = 10,
    differ: int = 4,
    weights: Weights | None = None,
    conditions: Conditions = NONE,
    *,
    watch: Watch | None = None,
) -> Alternatives:
    """At most ``count`` arrangements (1 to ``MOST``), the best among them, that cost no more than
    ``within`` percent above the best (0 to ``MOST_PERCENT``) and differ from one another in at
    least ``differ`` played bars.

    Where the costliest moment comes first, it is not to be dearer by more than that either. The
    conditions hold for each. Out of time, what was found so far is given, and ``end`` says so.
    Raises ArrangeError for numbers that cannot be, and what ``Session.arrange`` raises where
    there is not even a best one.
    """
    _check(session, count, within, differ, conditions)
    watch = Watch() if watch is None else watch
    best = session.arrange(weights, conditions, watch=_watching(watch, f"1 of {count}"))
    found = [Alternative(best, 0, ())]
    ends = _Ends(best, differ, within)
    if best.proof.status != PROVEN:
        return Alternatives(tuple(found), UNPROVEN, ends.best_unproven())
    while len(found) < count:
        apart = [Apart(one.arrangement.choices, differ) for one in found]
        told = _watching(
            watch, f"{len(found) + 1} of {count}", None if ends.by_worst else ends.limit
        )
        try:
            other = session.arrange(weights, conditions, apart=apart, watch=told)
        except Unfulfillable:
            return Alternatives(tuple(found), NO_MORE, ends.no_more(len(found)))
        except _Beyond:
            return Alternatives(tuple(found), DEARER, ends.all_dearer())
        except (NotFound, OutOfTime):
            return Alternatives(tuple(found), UNPROVEN, ends.unproven(len(found)))
        _verify([one.arrangement for one in found], other, differ)
        proven = other.proof.status == PROVEN
        if ends.beyond(other):
            if not proven:
                return Alternatives(tuple(found), UNPROVEN, ends.unproven(len(found)))
            return Alternatives(tuple(found), DEARER, ends.dearer_than(other))
        more = other.asked_cost - best.asked_cost
        found.append(Alternative(other, more, bars_apart(best, other)))
        if not proven:
            return Alternatives(tuple(found), UNPROVEN, ends.last_unproven(len(found), other))
    return Alternatives(tuple(found), ENOUGH, ends.enough(len(found)))


def bars_to_differ_in(session: "Session", conditions: Conditions = NONE) -> int:
    """How many played bars have something to play in them."""
    manners = manners_of(session.tune, conditions.pins)
    courses = len(session.instrument.courses)
    moments = moments_of(session.tune, session.style, courses, manners)
    return len({moment.bar for moment in moments})


def _check(
    session: "Session", count: int, within: int, differ: int, conditions: Conditions
) -> None:
    if not 1 <= count <= MOST:
        raise ArrangeError(f"ask for 1 to {MOST} alternatives, not {count}")
    if not 0 <= within <= MOST_PERCENT:
        raise ArrangeError(
            f"alternatives may cost 0 to {MOST_PERCENT} percent more than the best, not {within}"
        )
    bars = bars_to_differ_in(session, conditions)
    if not 1 <= differ <= bars:
        raise ArrangeError(
            f"alternatives can differ in {'1 bar' if bars == 1 else f'1 to {bars} bars'}, as many "
            f"as are played, not in {differ}"
        )


def _verify(earlier: list[Arrangement], other: Arrangement, differ: int) -> None:
    """WrongAnswer where the distance is not kept, or the order is not."""
    from undersong.session import WrongAnswer

    faults = []
    for number, one in enumerate(earlier, 1):
        bars = len(bars_apart(one, other))
        if bars < differ:
            faults.append(
                f"alternative {len(earlier) + 1} differs from {number} in {many(bars, 'bar')}, "
                f"not in {differ}"
            )
    if _order(other) < _order(earlier[-1]):
        faults.append(f"alternative {len(earlier) + 1} is better than the one before it")
    if faults:
        raise WrongAnswer(tuple(faults))


def _worst(arrangement: Arrangement) -> int:
    """ms of the costliest moment."""
    return max(map(arrangement.bill.at, range(len(arrangement.moments))))


def _order(arrangement: Arrangement) -> tuple[int, int]:
    """By what answers are ranked: the costliest moment where it comes first, then the cost."""
    worst = _worst(arrangement) if arrangement.conditions.costliest_first else 0
    return worst, arrangement.asked_cost


def _watching(watch: Watch, words: str, limit: int | None = None) -> Watch:
    """The same watch, told which alternative is looked for; it ends a search that is known to
    find nothing at or below the limit (ms)."""
    told = watch.saying(words)
    if limit is None:
        return told

    def tell(standing: Standing) -> None:
        if told.tell is not None:
            told.tell(standing)
        bound = standing.bound if standing.stage in _SURE else None
        if bound is not None and limit < bound < _ENDLESS:
            raise _Beyond

    return replace(watch, tell=tell)


@dataclass(frozen=True)
class _Ends:
    """Why there are no more, in sentences; limit: ms that an alternative may cost."""

    best: Arrangement
    differ: int
    within: int

    @property
    def limit(self) -> int:
        return self.best.asked_cost * (100 + self.within) // 100

    @property
    def by_worst(self) -> bool:
        return self.best.conditions.costliest is not None

    def beyond(self, other: Arrangement) -> bool:
        allowed = (100 + self.within) * _worst(self.best)
        if self.best.conditions.costliest_first and 100 * _worst(other) > allowed:
            return True
        return other.asked_cost > self.limit

    def enough(self, found: int) -> str:
        if found == 1:
            return "the best alone was asked for; it is proven"
        return f"each is proven the best that differs from all before it in {self._bars} or more"

    def all_dearer(self) -> str:
        return (
            f"nothing that costs at most {self.limit - self.best.asked_cost} ms more than the best "
            f"differs from all of these in {self._bars} or more, so the rest lies beyond "
            f"{self.within} %; that is proven"
        )

    def dearer(self, cost: int) -> str:
        more = cost - self.best.asked_cost
        return (
            f"the next that differs from all of these in {self._bars} or more would cost {more} ms "
            f"more than the best{self._percent(more)}, which is beyond {self.within} %; "
            "that is proven"
        )

    def dearer_than(self, other: Arrangement) -> str:
        if other.asked_cost > self.limit:
            return self.dearer(other.asked_cost)
        worst, mine = _worst(other), _worst(self.best)
        return (
            f"the next that differs from all of these in {self._bars} or more has a costliest "
            f"moment of {worst} ms, against {mine} ms in the best, which is beyond {self.within} "
            "%; that is proven"
        )

    def no_more(self, found: int) -> str:
        these = "the best" if found == 1 else f"all of these {found}"
        return f"no other arrangement differs from {these} in {self._bars} or more; that is proven"

    def unproven(self, found: int) -> str:
        return (
            f"there was no time to find or rule out a next one after {found}; allow more with "
            "the time limit"
        )

    def last_unproven(self, found: int, last: Arrangement) -> str:
        return (
            f"number {found} is not proven: it costs at most {last.proof.gap} ms more than the "
            "best that keeps its distance; allow more time"
        )

    def best_unproven(self) -> str:
        return (
            f"not even the best is proven yet (at most {self.best.proof.gap} ms above it), "
            "so no others were looked for; allow more time"
        )

    @property
    def _bars(self) -> str:
        return many(self.differ, "bar")

    def _percent(self, more: int) -> str:
        """In brackets, to a tenth of a percent, counted up."""
        if not self.best.asked_cost:
            return ""
        tenths = -(-1000 * more // self.best.asked_cost)
        return f" ({tenths // 10}.{tenths % 10} %)"
