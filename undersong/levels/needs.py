"""What a level needs: how hard its bars must be at least, and which caps would have to give.

Exact passes over the level's own graph, nothing over the tune looked at.

Public: needed, nearest, reach_of.
"""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, replace
from typing import TYPE_CHECKING

from fretboard.frets import HIGHEST_SEMITONE
from fretboard.instrument import Instrument
from solver.arrays import FAR
from solver.charges import counted
from solver.conditions.limits import MOST_PERCENT, BarLimit, Limits
from solver.errors import ConditionError, NotPlayable, StyleError, Unfulfillable
from solver.floors import floored, shift_cap, shift_caps
from solver.hurry import least_hurry
from solver.keeping import EVERY_SHAPE, Keeping
from solver.limiting import limited
from solver.passes import Costs, first_way, furthest, outlook
from solver.question import Question
from solver.recalled import Recalled
from solver.watch import Standing, Watch
from undersong.session import Session

if TYPE_CHECKING:
    from undersong.levels.version import Version


def needed(version: "Version", most: Mapping[int, int], watch: Watch) -> dict[int, int]:
    """For bars that cannot be as easy as asked: percents that do, none of which could be lower
    with the others as they are, nor is above the version's ceilings; nothing where it is not the
    bars' ratings that stand in the way, or where no ratings within the ceilings do.
    """
    room = _Room.within(version, watch)
    tops = version.tops
    caps = {bar: min(most.get(bar, MOST_PERCENT), tops.get(bar, MOST_PERCENT)) for bar in most}
    if not room.possible(tops):
        return {}
    raised: list[int] = []
    while not room.possible(caps):
        bar = room.stuck(caps)
        left = [b for b in sorted(caps) if b not in raised]
        there = [b for b in reversed(left) if b <= bar] or left
        raised.append(there[0])
        caps[there[0]] = tops.get(there[0], MOST_PERCENT)
    found: dict[int, int] = {}
    for bar in raised:
        low = min(most[bar], tops.get(bar, MOST_PERCENT))
        if not room.possible({**caps, bar: low}):
            high = caps[bar]
            met = max((known.rated.get(bar, 0) for known in version.solved), default=low)
            if low < met < high and room.possible({**caps, bar: met}):
                high = met  # which has been met before
            while high - low > 1:  # low does not do, high does
                middle = (low + high) // 2
                if room.possible({**caps, bar: middle}):
                    high = middle
                else:
                    low = middle
            found[bar] = low = high
        caps[bar] = low
    return found


def reach_of(version: "Version", percents: Mapping[int, int], watch: Watch) -> dict[int, int]:
    """For each bar the most percent, up to what is given, that the version can be rated there by
    its own caps, whatever the other bars are."""
    room = _Room.within(version, watch)
    out: dict[int, int] = {}
    for bar, percent in percents.items():
        low, high = 0, percent + 1  # it can be rated low, and high is not asked
        while high - low > 1:
            middle = (low + high) // 2
            room.floors = {bar: middle}
            low, high = (middle, high) if room.possible({}) else (low, middle)
        out[bar] = low
    return out


class _Room:
    """A level's question without limits, and whether some leave a way."""

    def __init__(
        self,
        question: Question,
        limits: Limits | None,
        floors: Mapping[int, int],
        recalled: Recalled,
        watch: Watch,
        shifts: Mapping[int, int] | None = None,
    ) -> None:
        self.question, self.limits, self.floors, self.watch = question, limits, floors, watch
        self.shifts = {} if shifts is None else shifts
        costs = question.costs
        self.own = costs if limits is None else limited(costs, question.graph, limits)
        self.recalled = recalled

    @classmethod
    def within(cls, version: "Version", watch: Watch) -> "_Room":
        """With nothing in the graph that the level's own limits rule out, and with the caps on the
        shifts of each bar: the player's own, and the level's in those bars that the version counts
        them in."""
        limits = version.level.limits(version.session.instrument)
        asked = replace(version.base, limits=limits, quotas=())
        search = version.session.search
        question = search.question(version.weights, asked, watch=watch, lean=True)
        quotas = (*version.base.quotas, *version.quotas)
        caps = [quota for quota in quotas if shift_cap(quota) is not None]
        shifts = shift_caps(caps, question.tune, question.moments)
        return cls(question, None, version.least, search.recalled, watch, shifts)

    @classmethod
    def of(cls, version: "Version", session: Session, keeping: Keeping, watch: Watch) -> "_Room":
        """With only the shapes that are kept, in the session's style; for caps of its own."""
        asked, search = replace(version.base, limits=None, quotas=()), session.search
        question = search.question(version.weights, asked, watch=watch, keeping=keeping)
        return cls(question, None, version.least, search.recalled, watch)

    def possible(self, caps: Mapping[int, int]) -> bool:
        """Whether the level's own limits and those of bars leave a way."""
        graph, costs = self.question.graph, self._with(caps)
        self._look()
        if self.floors or self.shifts:
            found = floored(graph, costs, self.floors, self.recalled, self.shifts)[0]
            return bool(found.bound < FAR)
        return bool(outlook(graph, costs, self.recalled).bound < FAR)

    def leaves(self, limits: Limits | None, shifts: int | None = None) -> bool:
        """Whether those limits, in place of the level's own, leave a way; shifts: as many at most
        in every bar."""
        self._look()
        graph, costs = self.question.graph, self.question.costs
        left = costs if limits is None else limited(costs, graph, limits, self.recalled)
        if not self.floors:
            ahead = outlook(graph, left, self.recalled)
            if ahead.bound >= FAR:
                return False
            if shifts is None or self._most_shifts(first_way(left, ahead)) <= shifts:
                return True
        bars = {moment.bar for moment in self.question.moments}
        caps = None if shifts is None else dict.fromkeys(sorted(bars), shifts)
        return bool(floored(graph, left, self.floors, self.recalled, caps)[0].bound < FAR)

    def _most_shifts(self, way: Sequence[int]) -> int:
        """Of the hand in one bar, along the layers' nodes."""
        graph, found = self.question.graph, Counter[int]()
        for index, link in enumerate(graph.links):
            before, after = link.before, link.after
            move = before.shape[[way[index]]], after.shape[[way[index + 1]]]
            if counted("shifts", before.held, after.held, move)[0]:
                found[graph.moments[index + 1].bar] += 1
        return max(found.values(), default=0)

    def stuck(self, caps: Mapping[int, int]) -> int:
        """The first played bar up to which the caps leave no way: that none reaches it, or that
        what its whole bar is to be cannot be had under them."""
        moments = self.question.moments
        reached = furthest(self.question.graph, self._with(caps))
        if reached + 1 < len(moments):
            return moments[reached + 1].bar
        bars = sorted(caps)
        low, high = -1, len(bars) - 1  # the caps up to low leave a way, those up to high do not
        while high - low > 1:
            middle = (low + high) // 2
            if self.possible({bar: caps[bar] for bar in bars[: middle + 1]}):
                low = middle
            else:
                high = middle
        return bars[high]

    def _look(self) -> None:
        last = self.question.moments[-1].bar
        self.watch.look(Standing("looking for what a level needs", last, last))

    def _with(self, caps: Mapping[int, int]) -> Costs:
        """The costs under the level's own limits and those of bars."""
        if not caps:
            return self.own
        bars = tuple(BarLimit(bar, percent) for bar, percent in caps.items())
        return limited(self.own, self.question.graph, Limits(bars=bars), self.recalled)


def _fret(fret: int, instrument: Instrument) -> str:
    """A cap on frets as a levels file has it."""
    counted = " from the capo" if instrument.capo else ""
    return f"fret {instrument.label(fret, from_capo=True)}{counted} (highest)"


_CAPS: tuple[tuple[str, int, Callable[[int, Instrument], str]], ...] = (
    ("fingers", 5, lambda n, _: f"{n} finger{'s' * (n > 1)} down at once (fingers = {n})"),
    (
        "reach",
        MOST_PERCENT,
        lambda n, _: f"a stretch of {n} % of the hand's greatest (reach = {n})",
    ),
    ("time", MOST_PERCENT, lambda n, _: f"moves that need {n} % of their time (time = {n})"),
    ("fret", HIGHEST_SEMITONE, _fret),
)
"""A limit, the greatest that it can be, and its words, with its key in a levels file."""


class _Loosened:
    """A level with one of its caps loosened: for each the smallest graph that tells whether there
    is a way then, laid out when it is first asked. wider: the level's session without its highest
    fret."""

    def __init__(self, version: "Version", wider: Session, limits: Limits, watch: Watch) -> None:
        self.version, self.wider, self.limits, self.watch = version, wider, limits, watch
        self._rooms: dict[tuple[int, Keeping], _Room | None] = {}

    def leaves(self, name: str, limits: Limits | None, shifts: int | None = None) -> bool:
        """Whether the limits, in which no other cap than ``name`` is looser, leave a way; shifts:
        as many at most in every bar."""
        own = self.version.session
        if name in ("", "time"):
            room = self._room(own, self.limits)
        elif name == "fret":
            room = self._room(self.wider, _but(self.limits, "fret", None))
        elif self._room(own, None) is None:  # some chord has no bass note as low as that
            return False
        else:  # a hand that waits may wait higher up where the bass may go higher
            alike = own.style.bass_ceiling == self.wider.style.bass_ceiling
            room = self._room(own if alike else self.wider, None)
        return room is not None and room.leaves(limits, shifts)

    def least(self, name: str, low: int, high: int) -> int | None:
        """The least value of a cap that does, the level's cap on shifts included; None where none
        does. low does not; high does without the cap on shifts."""
        shifts = self.version.level.shifts
        room = self._room(self.version.session, self.limits)
        if name == "time" and room is not None and not room.floors:
            found = least_hurry(room.question.graph, room.question.costs)
            least = high if found is None else found
        else:
            least = self._least(name, low, high, None)
        if shifts is None or self.leaves(name, _but(self.limits, name, least), shifts):
            return least
        if not self.leaves(name, _but(self.limits, name, high), shifts):
            return None
        return self._least(name, least, high, shifts)

    def _least(self, name: str, low: int, high: int, shifts: int | None) -> int:
        while high - low > 1:  # low does not do, high does
            middle = (low + high) // 2
            if self.leaves(name, _but(self.limits, name, middle), shifts):
                high = middle
            else:
                low = middle
        return high

    def free(self) -> bool:
        """Whether there is a way without any limits."""
        rooms = (self._room(each, None) for each in (self.version.session, self.wider))
        return any(room is not None and room.leaves(None) for room in rooms)

    def _room(self, session: Session, limits: Limits | None) -> _Room | None:
        """With only the shapes within the limits; None where that leaves some moment none."""
        base = self.version.base
        keeping = EVERY_SHAPE if limits is None else Keeping.of(replace(base, limits=limits))
        key = id(session), keeping
        if key not in self._rooms:
            try:
                self._rooms[key] = _Room.of(self.version, session, keeping, self.watch)
            except (NotPlayable, Unfulfillable, ConditionError, StyleError):
                self._rooms[key] = None
        return self._rooms[key]


def nearest(version: "Version", wider: Session, watch: Watch) -> tuple[str, ...]:
    """Changes of one cap, as little as does, under which the level can be met, its cap on shifts
    included; without other conditions that reach over the tune looked at. wider: the level's
    session without its highest fret. Raises OutOfTime and Stopped."""
    limits = version.level.limits(version.session.instrument)
    if limits is None:
        return ()
    loosened = _Loosened(version, wider, limits, watch)
    out: list[str] = []
    for name, top, words in _CAPS:
        value = getattr(limits, name)
        if value is None or not loosened.leaves(name, _but(limits, name, top)):
            continue
        if loosened.leaves("", limits):
            return ()
        least = loosened.least(name, value, top)
        if least is not None:
            out.append(f"it can with {words(least, version.session.instrument)}")
    barred = _but(limits, "barred", True)
    if not limits.barred and loosened.leaves("barred", barred, version.level.shifts):
        out.append("it can with fingers laid across strings (barred = true)")
    if not out and loosened.free():
        out.append("no single cap that is loosened is enough; loosen two or more of them")
    return tuple(out)


def _but(limits: Limits, name: str, value: int | bool | None) -> Limits | None:
    """The limits with another value for one."""
    values = {each.name: getattr(limits, each.name) for each in fields(limits)}
    return Limits.of(**{**values, name: value})
