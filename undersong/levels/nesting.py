"""Levels nested by construction: no bar of an easier version is harder than the next one's.

From the hardest down: each version is the best under its own caps that is in no bar harder than
the version above it; so each is proven by itself, given those above. Where an easier level cannot
be so easy in a bar, what it needs there is found (``undersong.levels.needs``) and asked of every
version above it; then all begins again. What is asked of a bar only ever rises, or a level is given
up, so this ends. A level is given up where it cannot be met at all, or where no version above it
can be as hard as it needs.

Level by level, not jointly: the versions have different moments, so that a joint model would be
five graphs tied bar by bar, while each alone is solved by one pass. What that may cost is told: no
nested set costs less than the sum of what each level costs by itself.

Public: make_levels, Version, near_to.
"""

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from scoring.weights import Weights
from solver.arrays import FAR
from solver.conditions import NONE, Conditions
from solver.conditions.bars import Bars
from solver.conditions.few_shapes import LearnedShape, learned
from solver.conditions.limits import MOST_PERCENT, BarLimit
from solver.conditions.near import Near, Placed
from solver.conditions.pins import Pin, manners_of
from solver.conditions.quota import Quota
from solver.errors import ArrangeError, NotFound, NotPlayable, StyleError, Unfulfillable
from solver.moments import moments_of, refuse_lacking
from solver.search import Answer
from solver.watch import Watch
from undersong.compared import printed_bars
from undersong.levels.fingerings import settled, settling
from undersong.levels.level import Level
from undersong.levels.level_set import LevelSet, Made
from undersong.levels.needs import nearest, needed
from undersong.rated import rated_bars
from undersong.session import Session

Percents = Mapping[int, int]
"""Played bar's number → percent."""


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
    ``Session.arrange`` raises for conditions that cannot be, ArrangeError for a tune that lacks
    what every level needs, OutOfTime where there was no time for every level, Stopped.
    """
    begun = time.perf_counter()
    _refuse_lacking_all(session, levels)
    nest = _Nest(session, levels, weights or Weights(), conditions, close, watch or Watch())
    made = nest.made()
    return LevelSet(made, nest.rounds, time.perf_counter() - begun)


def _refuse_lacking_all(session: Session, levels: Sequence[Level]) -> None:
    """Refuses a tune that lacks the chords or the melody of every level, as one arrangement would
    be; where some level can do without, the others say what they lack."""
    lacking: list[ArrangeError] = []
    for level in levels:
        try:
            refuse_lacking(session.tune, level.style(session.style).texture)
        except StyleError:
            return  # the level's own fault, told with the level
        except ArrangeError as error:
            lacking.append(error)
        else:
            return
    if lacking:
        raise lacking[0]


@dataclass(frozen=True)
class _Asked:
    """What one version is to hold besides its own caps."""

    most: Percents
    least: Percents
    near: Near | None = None

    @property
    def bars(self) -> tuple[BarLimit, ...]:
        """Both as limits of bars."""
        return tuple(
            BarLimit(bar, self.most.get(bar, MOST_PERCENT), self.least.get(bar, 0))
            for bar in sorted({*self.most, *self.least})
        )

    def milder(self, other: "_Asked") -> bool:
        """Whether whatever holds the other holds this."""
        return (
            self.near == other.near
            and all(other.most.get(bar, MOST_PERCENT) <= most for bar, most in self.most.items())
            and all(other.least.get(bar, 0) >= least for bar, least in self.least.items())
        )


@dataclass(frozen=True)
class Solved:
    """What was asked of a version, the best that holds it, and the bars' ratings, as played;
    pins: the fingerings that were settled for it."""

    asked: _Asked
    conditions: Conditions
    answer: Answer
    rated: Percents
    pins: tuple[Pin, ...] = ()


class _Cannot(Exception):  # noqa: N818  what it is
    """A level that cannot be met as asked."""


@dataclass
class Version:
    """One level's own session, and what was solved for it; played: bars in which something begins;
    floors: what bars need at least, by the easier level that needs it; quotas: the cap on shifts
    for the bars that broke it."""

    level: Level
    session: Session
    base: Conditions
    weights: Weights
    played: frozenset[int]
    solved: list[Solved] = field(default_factory=list)
    floors: dict[int, dict[int, int]] = field(default_factory=dict)
    quotas: tuple[Quota, ...] = ()

    @property
    def least(self) -> dict[int, int]:
        """The greatest of what is needed, by bar as played."""
        out: dict[int, int] = {}
        for floors in self.floors.values():
            for bar, percent in floors.items():
                out[bar] = max(out.get(bar, 0), percent)
        return out

    def conditions(self, asked: _Asked, pins: tuple[Pin, ...] = ()) -> Conditions:
        return replace(
            self.base,
            pins=(*self.base.pins, *pins),
            limits=self.level.limits(self.session.instrument.capo, asked.bars),
            quotas=(*self.base.quotas, *self.quotas),
            near=self.base.near if asked.near is None else asked.near,
        )

    def solve(self, asked: _Asked, watch: Watch) -> Solved:
        """The best, not solved again where the best of something milder will do.

        Raises _Cannot where there is none.
        """
        for known in self.solved:
            if known.asked.milder(asked) and self._holds(known, asked):
                return replace(known, asked=asked, conditions=self.conditions(asked, known.pins))
        solved = self._solved(asked, (), watch)
        if self.level.one_fingering:

            def again(pins: tuple[Pin, ...]) -> Solved | None:
                try:
                    return self._solved(asked, pins, watch)
                except _Cannot:
                    return None

            solved = settling(solved, self._open_shapes, again)
        self.solved.append(solved)
        return solved

    def _solved(self, asked: _Asked, pins: tuple[Pin, ...], watch: Watch) -> Solved:
        """The best with these fingerings and as few shifts as the level has."""
        while True:
            conditions = self.conditions(asked, pins)
            try:
                answer = self.session.search.solve(
                    self.weights, conditions, watch=watch, explain=False
                )
            except (NotPlayable, Unfulfillable, NotFound) as error:
                raise _Cannot(str(error)) from error
            here = self.session
            rated, shifted = rated_bars(answer.choices, answer.moments, here.instrument, here.hand)
            more = self._too_many_shifts(shifted)
            if not more:
                return Solved(asked, conditions, answer, rated, pins)
            self.quotas += more

    def _open_shapes(self, solved: Solved) -> tuple[Pin, ...]:
        """The shapes with several fingerings, but those near a bar whose shifts are counted: that
        nothing holds both is slow to prove."""
        tune, moments, choices = self.session.tune, solved.answer.moments, solved.answer.choices
        counted = {number for quota in self.quotas for number in quota.bars.of(tune)}
        near = {number + step for number in counted for step in (-1, 0, 1)}
        shapes = (
            learned(choice.grip)
            for moment, choice in zip(moments, choices, strict=True)
            if moment.written in near
        )
        left = {LearnedShape(shape.frets) for shape in shapes if shape is not None}
        return settled(choices, left)

    def alone(self, watch: Watch) -> int:
        """ms that the level costs at least by itself; FAR where it cannot be met."""
        conditions = self.conditions(_Asked({}, {}))
        try:
            return self.session.search.least(self.weights, conditions, watch)
        except NotPlayable:
            return int(FAR)

    def why(self, asked: _Asked, watch: Watch) -> str:
        """Why nothing holds what is asked, in one sentence."""
        try:
            self.session.search.solve(self.weights, self.conditions(asked), watch=watch)
        except (NotPlayable, Unfulfillable, NotFound) as error:
            return str(error)
        raise AssertionError("a level that cannot be met, and can")

    def _holds(self, known: Solved, asked: _Asked) -> bool:
        return all(known.rated[bar] <= most for bar, most in asked.most.items()) and all(
            known.rated[bar] >= least for bar, least in asked.least.items()
        )

    def _too_many_shifts(self, shifted: Percents) -> tuple[Quota, ...]:
        """The cap on shifts for the bars that break it; it is asked of no others, which is exact:
        an answer that keeps it everywhere is the best of those that keep it somewhere."""
        most, tune = self.level.shifts, self.session.tune
        if most is None:
            return ()
        numbers = {
            tune.bars[tune.played[bar - 1].written].number
            for bar, count in shifted.items()
            if count > most
        }
        return tuple(
            Quota("shifts", most=most, bars=Bars(number, number), each=True)
            for number in sorted(numbers)
        )


class _Nest:
    """Every level's version; rounds: how often all began again from the hardest."""

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
        self.gone: dict[int, Made] = {}
        self.versions: dict[int, Version] = {}
        for level in levels:
            try:
                self.versions[level.number] = self._version(level, weights, conditions)
            except ArrangeError as error:
                self.gone[level.number] = Made(level, why=str(error))

    def _version(self, level: Level, weights: Weights, conditions: Conditions) -> Version:
        mine, conditions = self.session, level.conditions(conditions)
        style = level.style(mine.style)
        own = mine
        if style != mine.style:
            own = Session(mine.tune, instrument=mine.instrument, hand=mine.hand, style=style)
        manners = manners_of(own.tune, conditions.pins)
        moments = moments_of(own.tune, style, len(own.instrument.courses), manners)
        played = frozenset(moment.bar for moment in moments)
        return Version(level, own, conditions, weights, played)

    def made(self) -> tuple[Made, ...]:
        """Every level, the easiest first."""
        alone = {}
        for number in sorted(self.versions, reverse=True):
            version = self.versions[number]
            alone[number] = version.alone(self.watch)
            if alone[number] >= FAR:
                why = version.why(_Asked({}, {}), self.watch)
                self._give_up(number, why, nearest(self._unbound(version), self.watch))
        while True:
            self.rounds += 1
            found_all = self._descend()
            if found_all is not None:
                break
        for number, solved in found_all.items():
            version = self.versions[number]
            made = version.session.certified(solved.answer, version.weights, solved.conditions)
            self.gone[number] = Made(
                version.level, made, raised=self._printed(version.least), alone=alone[number]
            )
        return tuple(self.gone[number] for number in sorted(self.gone))

    def _descend(self) -> dict[int, Solved] | None:
        """All versions from the hardest down; None where something must rise, or be given up."""
        out: dict[int, Solved] = {}
        above: Solved | None = None
        for number in sorted(self.versions, reverse=True):
            asked = self._asked(self.versions[number], above)
            try:
                above = self.versions[number].solve(asked, self.watch)
            except _Cannot:
                self._rise(number, asked)
                return None
            out[number] = above
        return out

    def _asked(self, version: Version, above: Solved | None) -> _Asked:
        if above is None:
            return _Asked({}, version.least)
        most = {bar: above.rated.get(bar, 0) for bar in sorted(version.played)}
        near = None if self.close is None else near_to(above.answer, self.close)
        return _Asked(most, version.least, near)

    def _printed(self, played: Percents) -> tuple[int, ...]:
        """Played bars by their printed numbers."""
        tune = self.session.tune
        return tuple(sorted({tune.bars[tune.played[bar - 1].written].number for bar in played}))

    def _rise(self, number: int, asked: _Asked) -> None:
        """Asks more of the versions above, or gives a level up."""
        version = self.versions[number]
        more = needed(version, asked.most, self.watch)
        if not more:
            if version.floors:
                self._too_easy_above(number)
            else:
                near = self._more_shifts(version, asked)
                self._give_up(number, version.why(asked, self.watch), near)
            return
        for other, harder in self.versions.items():
            if other > number:
                mine = harder.floors.setdefault(number, {})
                for bar, percent in more.items():
                    mine[bar] = max(mine.get(bar, 0), percent)

    def _unbound(self, version: Version) -> Version:
        """The version with frets beyond its highest in the graph; its limits still forbid them."""
        mine = self.session
        style = replace(version.level, highest=None).style(mine.style)
        free = Session(mine.tune, instrument=mine.instrument, hand=mine.hand, style=style)
        return replace(version, session=free)

    def _more_shifts(self, version: Version, asked: _Asked) -> tuple[str, ...]:
        """That the level can be met with a few more shifts in a bar, where that is so."""
        most = version.level.shifts
        for more in (1, 2, 4) if most is not None else ():
            level = replace(version.level, shifts=(most or 0) + more)
            try:
                replace(version, level=level, solved=[], quotas=()).solve(asked, self.watch)
            except _Cannot:
                continue
            return (f"it can with {level.shifts} shifts of the hand a bar",)
        return ()

    def _too_easy_above(self, number: int) -> None:
        """A version cannot be as hard as an easier level needs: that level, the hardest of those
        that need something, is given up."""
        asker = max(self.versions[number].floors)
        floors = self.versions[number].floors[asker]
        bars = ", ".join(
            f"{printed_bars(self.session.tune, (bar,))} ({percent} %)"
            for bar, percent in sorted(floors.items())
        )
        self._give_up(
            asker,
            f"level {asker} needs to be harder than level {number} can be, in bars {bars}",
            (f"without level {number}, it may be met",),
        )

    def _give_up(self, number: int, why: str, near: tuple[str, ...]) -> None:
        level = self.versions.pop(number).level
        self.gone[number] = Made(level, why=why, nearest=near)
        for version in self.versions.values():
            version.floors.pop(number, None)


def near_to(found: Answer, price: int) -> Near:
    """As near as can be to the version's frets, where something is struck."""
    rows = tuple(
        Placed(moment.bar, moment.offset, choice.grip.frets)
        for moment, choice in zip(found.moments, found.choices, strict=True)
        if moment.chord is not None and any(choice.struck)
    )
    return Near(rows, price)
