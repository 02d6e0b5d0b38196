"""Weights under which what a player likes is the best there is, or nearest to it.

Inverse optimisation by cutting planes over the search's own graph: under the present weights the
best answer of all is found; where it is cheaper than what is liked it becomes a rival; then whole
weights are sought, as near to the present ones as can be, under which no rival met so far is
cheaper (``solver.learning``, where the measure stands too); and so on, until the search itself
proves that what is liked is best. Where no weights do that, those are sought that leave the least
distance in ms, summed over the likes, and likes that contradict one another are told.

A whole file is liked just as it is. Of pins it is only known what they fix: the liked way is then
the best that holds them, found anew under each round's weights; so where that fails, other ways
with the same pins might still have been best, and it is said that this is not proven.

Nothing is changed by this; it only suggests.

Public: learn_weights, Lesson, Lot, ALREADY, BEST, NEAREST, UNFINISHED.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scoring.terms import TERMS
from scoring.weights import DEFAULTS, Weights
from solver.conditions import NONE, Conditions
from solver.errors import ArrangeError
from solver.learning import Learned, Liked, Range, fit, floors, nearest, tolls
from solver.watch import OutOfTime, Standing, Watch
from undersong.learn.likes import (
    NAMES,
    FileLike,
    Group,
    Like,
    PinLike,
    Sessions,
    groups_of,
    liked_pins,
)
from undersong.wording import many

if TYPE_CHECKING:
    from undersong.session import Session

__all__ = [
    "ALREADY",
    "BEST",
    "NEAREST",
    "UNFINISHED",
    "FileLike",
    "Lesson",
    "Lot",
    "PinLike",
    "learn_weights",
    "liked_pins",
]

ALREADY, BEST, NEAREST, UNFINISHED = "already best", "best", "nearest best", "unfinished"

MOST_ROUNDS = 200
MASTER_SECONDS = 10.0
"""What one search for weights may take."""


@dataclass(frozen=True)
class Lot:
    """What became of one like (of a tune's pins together): ms above the best under the weights from
    before, and under those suggested; None where there was no time to see. besides: for pins, the
    bars without one that the best has otherwise under the weights suggested, by name; empty for
    none, None where that was not looked at."""

    name: str
    before: int | None
    after: int | None
    besides: str | None = None


@dataclass(frozen=True)
class Lesson:
    """end: ``ALREADY``, ``BEST``, ``NEAREST`` or ``UNFINISHED``; weights: those suggested, the
    present ones where there are none better; lots: one a like; clear: what is liked is cheaper than
    every rival that differs in any amount, so that it is what comes out; least: the change (for
    ``NEAREST`` the distance) is proven the least; change: in the measure of ``solver.learning``;
    against: names of likes that contradict one another, none of which can be left out; sure:
    whether that is proven; rounds: how often weights were tried."""

    end: str
    present: Weights
    weights: Weights
    lots: tuple[Lot, ...]
    clear: bool
    least: bool
    change: int
    against: tuple[str, ...]
    sure: bool
    rounds: int

    @property
    def changed(self) -> dict[str, tuple[int, int]]:
        """Weight's name → (ms now, ms suggested), for those that differ."""
        pairs = {name: (self.present[name], self.weights[name]) for name in NAMES}
        return {name: pair for name, pair in pairs.items() if pair[0] != pair[1]}


def learn_weights(
    likes: Sequence[Like],
    weights: Weights | None = None,
    *,
    session: "Session | None" = None,
    conditions: Conditions = NONE,
    rounds: int = MOST_ROUNDS,
    watch: Watch | None = None,
) -> Lesson:
    """The weights to suggest for what is liked.

    weights: the present ones; session, conditions: of the tune that pins stand in, the liked pins
    among the conditions or not. Out of time, or after so many rounds, the best weights tried are
    told, and ``end`` is ``UNFINISHED``. Raises ArrangeError where nothing is liked or a liked
    arrangement breaks a rule, what ``Session.arrange`` raises where a tune cannot be played as
    asked, and Stopped.
    """
    if not likes:
        raise ArrangeError("name at least one arrangement that is liked, or pin what is liked")
    if rounds < 1:
        raise ArrangeError(f"learning takes one round at least, not {rounds}")
    watch = Watch() if watch is None else watch
    present = Weights() if weights is None else weights
    learner = _Learner(present, session, conditions, rounds, watch)
    return learner.lesson(tuple(likes))


class _NoFit(Exception):  # noqa: N818  what was found, no error
    """No weights make the likes best."""


@dataclass(frozen=True)
class _Tried:
    """Weights that were tried, and how far each group was from the best under them; clear: no
    answer of other amounts costs as little as what is liked."""

    weights: tuple[int, ...]
    distances: tuple[int, ...]
    clear: bool
    change: int = 0
    least: bool = True

    @property
    def distance(self) -> int:
        return sum(self.distances)


class _Learner:
    def __init__(
        self,
        present: Weights,
        session: "Session | None",
        conditions: Conditions,
        rounds: int,
        watch: Watch,
    ) -> None:
        self.present, self.session, self.conditions = present, session, conditions
        self.rounds, self.watch, self.round = rounds, watch, 0
        now = tuple(present[name] for name in NAMES)
        usual = tuple(DEFAULTS[name] for name in NAMES)
        high = tuple(term.about.limit for term in TERMS)
        self.range = Range(now, floors(now, usual), high, tolls(now, usual))
        self.tried: dict[int, _Tried] = {}
        self.apart = False
        self.sessions: Sessions = []

    def lesson(self, likes: tuple[Like, ...]) -> Lesson:
        groups = groups_of(likes, self.session, self.conditions, self.sessions)
        try:
            first = self._try(groups, self.range.present)
        except OutOfTime:
            lots = tuple(Lot(group.name, None, None) for group in groups)
            return self._told(UNFINISHED, None, lots, (), False)
        if not first.distance and first.clear:
            return self._told(ALREADY, first, _lots(groups, first, first), (), True)
        best, end, sure = first, UNFINISHED, False
        against: tuple[str, ...] = ()
        try:
            try:
                found = self._fit(groups)
                best, end = found, BEST
            except _NoFit:
                found, proven = self._nearest(groups)
                best, end = found, NEAREST
                best = replace(best, least=best.least and proven)
                against, sure = self._against(likes)
        except OutOfTime:
            seen = [first, *self.tried.values()]
            if end == UNFINISHED:
                best = min(seen, key=lambda one: (one.distance, one.change))
        if end == BEST and best.weights == first.weights:
            end = ALREADY
        return self._told(end, best, _lots(groups, first, best), against, sure)

    def _told(
        self,
        end: str,
        best: _Tried | None,
        lots: tuple[Lot, ...],
        against: tuple[str, ...],
        sure: bool,
    ) -> Lesson:
        weights = self.present
        if best is not None:
            weights = _priced(best.weights)
        return Lesson(
            end,
            self.present,
            weights,
            lots,
            best is not None and best.clear,
            best is not None and best.least,
            0 if best is None else best.change,
            against,
            sure,
            self.round,
        )

    def _try(self, groups: Sequence[Group], weights: tuple[int, ...]) -> _Tried:
        """Asks the search; what it finds is kept with the groups."""
        self.round += 1
        priced = _priced(weights)
        distances, clear = [], True
        for group in groups:
            watch = self.watch.saying(self._standing)
            best, liked = group.best(priced, watch), group.liked(priced, watch)
            group.rivals[best] = group.ways[liked] = None
            distances.append(max(0, liked.cost(weights) - best.cost(weights)))
            clear &= best == liked
        made = _Tried(weights, tuple(distances), clear, self._change(weights))
        self.tried[self.round] = made
        return made

    @property
    def _standing(self) -> str:
        """The round, and the least distance that any weights tried so far have left."""
        if self.apart:
            return f"round {self.round}, which likes contradict one another"
        if not self.tried:
            return f"round {self.round}"
        least = min(one.distance for one in self.tried.values())
        return f"round {self.round}, {least} ms from the best so far"

    def _change(self, weights: tuple[int, ...]) -> int:
        parts = zip(self.range.toll, weights, self.range.present, strict=True)
        return sum(toll * abs(new - now) for toll, new, now in parts)

    def _fit(self, groups: Sequence[Group]) -> _Tried:
        """Weights under which every like is best: clearly so, or else in a tie; _NoFit for none."""
        for margin in (1, 0):
            while True:
                learned = self._master(groups, margin)
                if learned is None:
                    break
                found = self._try_learned(groups, learned)
                if not found.distance and (found.clear or not margin):
                    return replace(found, least=learned.optimal and _all_known(groups))
        raise _NoFit

    def _master(self, groups: Sequence[Group], margin: int) -> Learned | None:
        self.watch.look(Standing(f"{self._standing}, looking for weights", 0, 0))
        seconds = min(MASTER_SECONDS, self.watch.left)
        return fit([_liked(group) for group in groups], self.range, margin, self.watch, seconds)

    def _try_learned(self, groups: Sequence[Group], learned: Learned) -> _Tried:
        if self.round >= self.rounds:
            raise OutOfTime(f"{many(self.rounds, 'round')} did not do; allow more")
        return self._try(groups, learned.weights)

    def _nearest(self, groups: Sequence[Group]) -> tuple[_Tried, bool]:
        """The weights that leave the least distance, and whether that is proven."""
        best: _Tried | None = None
        while True:
            seconds = min(MASTER_SECONDS, self.watch.left)
            self.watch.look(Standing(f"{self._standing}, looking for weights", 0, 0))
            likes = [_liked(group) for group in groups]
            learned = nearest(likes, self.range, self.watch, seconds)
            found = replace(self._try_learned(groups, learned), least=learned.optimal)
            if best is None or found.distance < best.distance:
                best = found
            if best.distance <= learned.distance or likes == [_liked(g) for g in groups]:
                return best, best.distance <= learned.distance and _all_known(groups)

    def _against(self, likes: tuple[Like, ...]) -> tuple[tuple[str, ...], bool]:
        """Likes that contradict one another, none of which can be left out, and whether that is
        proven; each is left out in turn."""
        left, sure, self.apart = list(likes), True, True
        try:
            for like in likes:
                if len(left) == 1:
                    break
                fewer = [one for one in left if one is not like]
                try:
                    self._fit_alone(fewer)
                except _NoFit:
                    left = fewer
        except OutOfTime:
            sure = False
        sure &= all(isinstance(like, FileLike) for like in left)
        return tuple(like.name for like in left), sure

    def _fit_alone(self, likes: Sequence[Like]) -> None:
        groups = groups_of(likes, self.session, self.conditions, self.sessions)
        found = self._try(groups, self.range.present)
        if found.distance:
            self._fit(groups)


def _liked(group: Group) -> Liked:
    return Liked(tuple(group.ways), tuple(group.rivals))


def _all_known(groups: Sequence[Group]) -> bool:
    """Whether each group's liked way is one and known, so that proofs about it are proofs."""
    return all(group.fixed is not None for group in groups)


def _lots(groups: Sequence[Group], first: _Tried, best: _Tried) -> tuple[Lot, ...]:
    rows = zip(groups, first.distances, best.distances, strict=True)
    now, then = _priced(first.weights), _priced(best.weights)
    return tuple(
        Lot(group.name, before, after, group.besides(now, then)) for group, before, after in rows
    )


def _priced(weights: tuple[int, ...]) -> Weights:
    return Weights.of(dict(zip(NAMES, weights, strict=True)))
