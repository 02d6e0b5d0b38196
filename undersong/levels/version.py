"""One level's own version: what is asked of it, and what was solved for it.

Public: Version, Demands, Solved, Cannot, Percents, least_of.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from scoring.weights import Weights
from solver.arrays import FAR
from solver.conditions import Conditions
from solver.conditions.bars import Bars
from solver.conditions.few_shapes import LearnedShape, learned
from solver.conditions.limits import MOST_PERCENT, BarLimit
from solver.conditions.near import Near
from solver.conditions.pins import Pin
from solver.conditions.quota import Quota
from solver.errors import NotFound, NotPlayable, Unfulfillable
from solver.search import Answer
from solver.watch import OutOfTime, Watch
from undersong.levels.fingerings import Ways, settled, settling
from undersong.levels.level import Level
from undersong.rated import Rater
from undersong.session import Session

Percents = Mapping[int, int]
"""Played bar's number → percent."""


@dataclass(frozen=True)
class Demands:
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

    def milder(self, other: "Demands") -> bool:
        """Whether whatever holds the other holds this."""
        return (
            self.near == other.near
            and all(other.most.get(bar, MOST_PERCENT) <= most for bar, most in self.most.items())
            and all(other.least.get(bar, 0) >= least for bar, least in self.least.items())
        )


@dataclass(frozen=True)
class Solved:
    """What was asked of a version, the best that holds it, and the bars' ratings, as played;
    searched: the conditions that it was found under, the same or milder ones; pins: the fingerings
    that were settled for it; unsettled: there was no time to look for all."""

    asked: Demands
    conditions: Conditions
    searched: Conditions
    answer: Answer
    rated: Percents
    pins: tuple[Pin, ...] = ()
    unsettled: bool = False


class Cannot(Exception):  # noqa: N818  what it is
    """A level that cannot be met as asked; proven: else a way was only not found."""

    def __init__(self, why: str, *, proven: bool = True) -> None:
        self.proven = proven
        super().__init__(why)


def least_of(each: Iterable[Percents]) -> dict[int, int]:
    """The least of the percents of each bar."""
    out: dict[int, int] = {}
    for percents in each:
        for bar, percent in percents.items():
            out[bar] = min(out.get(bar, percent), percent)
    return out


@dataclass
class Version:
    """One level's own session, and what was solved for it; played: bars in which something begins;
    rater: rates its answers; floors: what bars need at least, by the easier level that needs it;
    ceilings: what bars of a harder level can be rated at most, where that was too little, by that
    level; quotas: the cap on shifts for the bars that broke it."""

    level: Level
    session: Session
    base: Conditions
    weights: Weights
    played: frozenset[int]
    rater: Rater
    solved: list[Solved] = field(default_factory=list)
    floors: dict[int, dict[int, int]] = field(default_factory=dict)
    ceilings: dict[int, dict[int, int]] = field(default_factory=dict)
    quotas: tuple[Quota, ...] = ()

    @property
    def least(self) -> dict[int, int]:
        """The greatest of what is needed, by bar as played."""
        out: dict[int, int] = {}
        for floors in self.floors.values():
            for bar, percent in floors.items():
                out[bar] = max(out.get(bar, 0), percent)
        return out

    @property
    def tops(self) -> dict[int, int]:
        """The least of the ceilings, by bar as played."""
        return least_of(self.ceilings.values())

    def can(self, asked: Demands, watch: Watch) -> bool:
        """Whether the version can be met as asked."""
        try:
            self.solve(asked, watch)
        except Cannot:
            return False
        return True

    def conditions(self, asked: Demands, pins: tuple[Pin, ...] = ()) -> Conditions:
        return replace(
            self.base,
            pins=(*self.base.pins, *pins),
            limits=self.level.limits(self.session.instrument, asked.bars),
            quotas=(*self.base.quotas, *self.quotas),
            near=self.base.near if asked.near is None else asked.near,
        )

    def solve(self, asked: Demands, watch: Watch) -> Solved:
        """The best, not solved again where the best of something milder will do.

        Raises Cannot where there is none.
        """
        if any(asked.most.get(bar, least) < least for bar, least in asked.least.items()):
            raise Cannot("a bar is to be harder than it may be")
        for known in self.solved:
            if known.asked.milder(asked) and self._holds(known, asked):
                return replace(known, asked=asked, conditions=self.conditions(asked, known.pins))
        solved = self._solved(asked, (), watch)
        if self.level.one_fingering:
            late = False

            def again(pins: tuple[Pin, ...]) -> Solved | None:
                nonlocal late
                try:
                    return self._solved(asked, pins, watch)
                except Cannot:
                    return None
                except OutOfTime:  # what there is stands
                    late = True
                    return None

            solved = settling(solved, self._open_shapes, again)
            solved = replace(solved, unsettled=late)
        self.solved.append(solved)
        return solved

    def _solved(self, asked: Demands, pins: tuple[Pin, ...], watch: Watch) -> Solved:
        """The best with these fingerings and as few shifts as the level has."""
        while True:
            conditions = self.conditions(asked, pins)
            try:
                answer = self.session.search.cheapest(self.weights, conditions, watch)
            except (NotPlayable, Unfulfillable, NotFound) as error:
                raise Cannot(str(error), proven=not isinstance(error, NotFound)) from error
            rated, shifted = self.rater.bars(answer.choices, answer.moments)
            more = self._too_many_shifts(shifted)
            if not more:
                return Solved(asked, conditions, conditions, answer, rated, pins)
            self.quotas += more

    def proven(self, solved: Solved, watch: Watch) -> Answer:
        """The same answer with what CP-SAT says of it: it is the best, and the first of equals,
        under what is milder, so that it is under what it was asked to hold. As it is where that was
        said already, or there is no time for it.

        Raises RuntimeError where CP-SAT finds another than the exact pass, Stopped.
        """
        if not solved.answer.by_pass:
            return solved.answer
        search = self.session.search
        try:
            proven = search.solve(self.weights, solved.searched, watch=watch, explain=False)
        except OutOfTime:
            return solved.answer
        if proven.optimal and proven.choices != solved.answer.choices:
            raise RuntimeError("CP-SAT's answer is not the one that the exact pass found")
        return proven if proven.optimal else solved.answer

    def _open_shapes(self, solved: Solved) -> tuple[Ways, ...]:
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
        conditions = self.conditions(Demands({}, {}))
        try:
            return self.session.search.least(self.weights, conditions, watch)
        except NotPlayable:
            return int(FAR)

    def why(
        self, asked: Demands, watch: Watch, *, no_way: bool = False
    ) -> NotPlayable | Unfulfillable | NotFound:
        """Why nothing that holds what is asked is there, or was found in the time; its message is
        one sentence. no_way: whether it is known that no way leads through the tune."""
        conditions, search = self.conditions(asked), self.session.search
        try:
            if no_way and conditions.limits is not None and not conditions.quotas:
                search.refuse(self.weights, conditions, conditions.limits, watch)
            search.solve(self.weights, conditions, watch=watch)
        except (NotPlayable, Unfulfillable, NotFound) as error:
            return error
        raise AssertionError("a level that cannot be met, and can")

    def _holds(self, known: Solved, asked: Demands) -> bool:
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
