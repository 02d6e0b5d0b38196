"""Levels nested by construction: no bar of an easier version is harder than the next one's.

From the hardest down: each version is the best under its own caps that is in no bar harder than the
version above it; so each is proven by itself, given those above: the exact pass finds it, and once
all are there, CP-SAT has to say the same. Where an easier level cannot be so easy in a bar, its
shifts counted, what it needs there is found (``undersong.levels.needs``) and asked of every version
above it, of each as much as the one below it would then like best, so that none is held between a
floor and a cap; then all begins again. Where a version above cannot be as hard as that, the easier
level is to need no more there than the other reaches. Nothing is made harder than the hand can do
for an easier level's sake, but where it is so by itself.

A level is given up where it cannot be met by itself; where what the versions above can be rated at
most leaves it no way; where no version above can be as hard at once as it was found to need, which
is no proof; or where there is no time. Then all that was asked of bars is forgotten. Each round
raises a floor, lowers a ceiling, or gives a level up, so this ends.

Level by level, not jointly: the versions have different moments, so that a joint model would be
five graphs tied bar by bar, while each alone is solved by one pass. What that may cost is told: no
nested set costs less than the sum of what each level costs by itself.

Public: make_levels, near_to.
"""

import time
from collections.abc import Iterable, Sequence
from dataclasses import replace

from scoring.weights import Weights
from solver.arrays import FAR
from solver.conditions import NONE, Conditions
from solver.conditions.limits import MOST_PERCENT
from solver.conditions.near import Near, Placed
from solver.errors import ArrangeError, ConditionError, StyleError
from solver.moments import refuse_lacking
from solver.result import Taught
from solver.search import Answer
from solver.watch import OutOfTime, Watch
from undersong.levels.giving_up import (
    Reason,
    cannot_alone,
    held_down,
    impossible,
    not_together,
)
from undersong.levels.level import Level
from undersong.levels.level_set import LevelSet, Made
from undersong.levels.needs import needed, reach_of
from undersong.levels.version import Cannot, Demands, Percents, Solved, Version
from undersong.rated import Rater
from undersong.session import Session
from undersong.tempo_within import ALL


def make_levels(
    session: Session,
    levels: Sequence[Level],
    weights: Weights | None = None,
    conditions: Conditions = NONE,
    *,
    close: int | None = None,
    watch: Watch | None = None,
) -> LevelSet:
    """A version for each level, nested.

    session: tune, instrument, hand, and the style that levels change; conditions: asked of every
    version; close: ms for each string that has another fret than in the next harder version where
    both strike something at once, None where they may differ for nothing. Raises what
    ``Session.arrange`` raises for conditions that cannot be, ConditionError for limits, which are
    the levels' own, and for other frets to be near to beside ``close``, ArrangeError for a tune
    that lacks what every level needs, OutOfTime where there was no time for every level, Stopped.
    """
    begun = time.perf_counter()
    _refuse_doubled(conditions, close)
    _refuse_lacking_all(session, levels)
    nest = _Nest(session, levels, weights or Weights(), conditions, close, watch or Watch())
    made = nest.made()
    return LevelSet(made, nest.rounds, time.perf_counter() - begun)


def _refuse_doubled(conditions: Conditions, close: int | None) -> None:
    """Refuses what every version has of its own already."""
    if conditions.limits is not None:
        raise ConditionError(
            f"limits ({conditions.limits}): each level has limits of its own; write these into the "
            "levels"
        )
    if conditions.near is not None and close is not None:
        raise ConditionError(
            "near: versions are to be close to one another, so they cannot be near to other frets "
            "as well; leave out one of them"
        )


def _refuse_lacking_all(session: Session, levels: Sequence[Level]) -> None:
    """Refuses a tune that lacks the chords or the melody of every level, as one arrangement would
    be; where some level can do without, the others say what they lack."""
    lacking: list[ArrangeError] = []
    for level in levels:
        try:
            refuse_lacking(session.tune, level.style(session.style, session.instrument).texture)
        except StyleError:
            return  # the level's own fault, told with the level
        except ArrangeError as error:
            lacking.append(error)
        else:
            return
    if lacking:
        refuse_lacking(session.tune, session.style.texture)  # in the words of what was asked for
        raise lacking[0]


class _Nest:
    """Every level's version; rounds: how often all began again from the hardest; before: the most
    versions of a round that is over, nested as well."""

    def __init__(
        self,
        session: Session,
        levels: Sequence[Level],
        weights: Weights,
        conditions: Conditions,
        close: int | None,
        watch: Watch,
    ) -> None:
        self.session, self.close, self.watch = session, close, watch
        self.rounds = 0
        self.before: dict[int, Solved] = {}
        self.rater = Rater(session.instrument, session.hand)
        self.gone: dict[int, Made] = {}
        self.versions: dict[int, Version] = {}
        for level in levels:
            try:
                self.versions[level.number] = self._version(level, weights, conditions)
            except ArrangeError as error:
                self.gone[level.number] = Made(level, why=str(error))

    def _version(self, level: Level, weights: Weights, conditions: Conditions) -> Version:
        mine, conditions = self.session, level.conditions(conditions)
        own = mine.in_style(level.style(mine.style, mine.instrument))
        played = frozenset(moment.bar for moment in own.search.moments(conditions))
        return Version(level, own, conditions, weights, played, self.rater)

    def made(self) -> tuple[Made, ...]:
        """Every level, the easiest first."""
        alone, every = {}, dict(self.versions)
        for number, version in sorted(every.items(), reverse=True):
            alone[number] = version.alone(self.watch)
            if alone[number] >= FAR:
                self._give_up(version, impossible(version, self.session, self._share))
        found: dict[int, Solved] = {}
        try:
            while not self._descend(found):
                pass
        except OutOfTime:
            if not found and not self._earlier:
                raise
        found = max(found, self._earlier, key=len)
        for number in sorted(set(self.versions) - set(found)):
            self._late(number)
        for number, solved in found.items():
            version = every[number]
            answer = version.proven(solved, self.watch)
            made = version.session.certified(answer, version.weights, solved.conditions)
            taught = Taught(number, version.level.teaches)
            self.gone[number] = Made(
                version.level,
                replace(made, level=taught),
                raised=self._printed(solved.asked.least),
                alone=alone[number],
                unsettled=solved.unsettled,
            )
        return tuple(self.gone[number] for number in sorted(self.gone))

    @property
    def _earlier(self) -> dict[int, Solved]:
        """The most versions of a round that is over, of levels that can be met."""
        late = {number for number, made in self.gone.items() if made.out_of_time}
        return {n: solved for n, solved in self.before.items() if n in self.versions or n in late}

    @property
    def _share(self) -> Watch:
        """Half of the time that is left: for one version, or for what stands in its way, so that
        one which is hard to find does not cost the others."""
        return self.watch.within(self.watch.left / 2)

    def _descend(self, found: dict[int, Solved]) -> bool:
        """All versions from the hardest down, put into ``found`` anew as they come; whether that
        is all, and nothing must rise or be given up."""
        self.rounds += 1
        if len(found) > len(self.before):
            self.before = dict(found)
        found.clear()
        above: Solved | None = None
        for number in sorted(self.versions, reverse=True):
            try:
                asked = self._asked(self.versions[number], above)
                try:
                    above = self.versions[number].solve(asked, self._share)
                except Cannot:
                    self._rise(number, asked, self._share)
                    return False
            except OutOfTime:
                if self.watch.left <= 0:
                    raise
                askers = self.versions[number].floors  # without what they need it was found before
                self._late(min(askers, default=number))
                return False
            found[number] = above
        return True

    def _asked(self, version: Version, above: Solved | None) -> Demands:
        if above is None:
            least = version.least
            return Demands(self._hand(self._share) if least else {}, least)
        most = {bar: above.rated.get(bar, 0) for bar in sorted(version.played)}
        near = None if self.close is None else near_to(above.answer, self.close)
        return Demands(most, version.least, near)

    def _hand(self, watch: Watch) -> dict[int, int]:
        """What each bar may be rated at most for an easier level's sake: all that the hand can do,
        or what the hardest version is rated there anyway. That was solved by itself before
        anything was asked of it."""
        hardest = self.versions[max(self.versions)]
        free = hardest.solve(Demands({}, {}), watch).rated
        return {bar: max(ALL, free.get(bar, 0)) for bar in sorted(hardest.played)}

    def _printed(self, played: Iterable[int]) -> tuple[int, ...]:
        """Played bars by their printed numbers."""
        tune = self.session.tune
        return tuple(sorted({tune.bars[tune.played[bar - 1].written].number for bar in played}))

    def _rise(self, number: int, asked: Demands, watch: Watch) -> None:
        """Asks more of the versions above, less of an easier one, or gives a level up."""
        version = self.versions[number]
        if number < max(self.versions):
            more = needed(version, asked.most, watch) or self._as_it_would_be(version, asked, watch)
            if more:
                if not self._raised(number, more, watch, as_liked=True):
                    self._raised(number, more, watch, as_liked=False)
                return
        try:
            version.solve(Demands({}, {}), watch)
        except Cannot as refused:
            self._give_up(version, cannot_alone(version, refused, watch))
            return
        if version.floors:
            self._too_easy(number, asked, watch)
        else:
            self._give_up(version, held_down(version, watch))

    def _raised(self, number: int, more: Percents, watch: Watch, *, as_liked: bool) -> bool:
        """Asks so much of every version above, or as much as the one below it would then like best,
        where that is more; whether each by itself can hold it, which is seen for what is liked."""
        before = {other: version.floors.get(number, {}) for other, version in self.versions.items()}
        liked, hand = dict(more), self._hand(watch)
        for other in sorted(other for other in self.versions if other > number):
            harder, own = self.versions[other], dict(before[other])
            for bar, percent in liked.items():
                own[bar] = max(own.get(bar, 0), percent)
            harder.floors[number] = own
            if not as_liked:
                continue
            try:
                harder.solve(Demands({}, harder.least), watch)  # often within the hand, and sooner
                rated = harder.solve(Demands(hand, harder.least), watch).rated
            except Cannot:
                for each, floors in before.items():
                    self.versions[each].floors.pop(number, None)
                    if floors:
                        self.versions[each].floors[number] = floors
                return False
            liked = {bar: max(percent, rated.get(bar, 0)) for bar, percent in liked.items()}
        return True

    def _as_it_would_be(self, version: Version, asked: Demands, watch: Watch) -> dict[int, int]:
        """How hard the version is by itself in the bars in which it is too hard: what does where
        the bars' ratings alone are not what stands in the way; nothing where it cannot be met."""
        try:
            found = version.solve(Demands(version.tops, version.least), watch)
        except Cannot:
            return {}
        return {
            bar: found.rated[bar] for bar, most in asked.most.items() if found.rated[bar] > most
        }

    def _too_easy(self, number: int, asked: Demands, watch: Watch) -> None:
        """A version cannot be as hard as easier levels need: one that needs more in a bar than this
        one can be rated there is to need it in other bars; where each bar could be had by itself,
        the level whose bars cannot be had together is given up, or else the easiest."""
        harder, hand = self.versions[number], self._hand(watch)
        for asker in sorted(harder.floors, reverse=True):
            easier, floors = self.versions[asker], harder.floors[asker]
            most = {bar: min(percent, hand.get(bar, ALL)) for bar, percent in floors.items()}
            lower = {
                bar: percent
                for bar, percent in reach_of(harder, most, watch).items()
                if percent < min(floors[bar], easier.tops.get(bar, MOST_PERCENT))
            }
            if lower:
                easier.ceilings[number] = easier.ceilings.get(number, {}) | lower
                for version in self.versions.values():
                    version.floors.pop(asker, None)
                return
        blamed = min(harder.floors)
        for asker, needs in sorted(harder.floors.items()):
            if not harder.can(replace(asked, least=needs), watch):
                blamed = asker
                break
        reason = not_together(self.session.tune, number, harder.floors[blamed])
        self._give_up(self.versions[blamed], reason)

    def _late(self, number: int) -> None:
        """Gives a level up for which there was no time."""
        harder = min((other for other in self.versions if other > number), default=0)
        beside = f" that is in no bar harder than on level {harder}" if harder else ""
        why = f"no way to play it{beside} was found in the time there was"
        reason = Reason(f"{why}; allow more time, or ask for less", unproven=True)
        self._give_up(self.versions[number], reason, out_of_time=True)

    def _give_up(self, version: Version, reason: Reason, *, out_of_time: bool = False) -> None:
        """Without the level; what was asked of bars is forgotten, since it may have been for its
        sake."""
        level = version.level
        del self.versions[level.number]
        self.gone[level.number] = Made(
            level,
            why=reason.why,
            nearest=reason.nearest,
            out_of_time=out_of_time,
            unproven=reason.unproven,
        )
        for other in self.versions.values():
            other.floors.clear()
            other.ceilings.clear()


def near_to(found: Answer, price: int) -> Near:
    """As near as can be to the version's frets, where something is struck."""
    rows = tuple(
        Placed(moment.bar, moment.offset, choice.grip.frets)
        for moment, choice in zip(found.moments, found.choices, strict=True)
        if moment.chord is not None and any(choice.struck)
    )
    return Near(rows, price)
