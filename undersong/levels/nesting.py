"""Levels nested by construction: no bar of an easier version is harder than the next one's.

From the hardest down: each version is the best under its own caps that is in no bar harder than the
version above it; so each is proven by itself, given those above. Where an easier level cannot be so
easy in a bar, its shifts counted, what it needs there is found (``undersong.levels.needs``) and
asked of every version above it, of each as much as the one below it would then like best, so that
none is held between a floor and a cap; then all begins again. Where a version above cannot be as
hard as that, the easier level is to need no more there than the other reaches. Nothing is made
harder than the hand can do for an easier level's sake, but where it is so by itself. What is asked
of a bar only ever rises, such ceilings only ever fall, or a level is given up, so this ends. A
level is given up where it cannot be met at all, or where no version above it can be as hard as it
needs.

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
from solver.errors import ArrangeError, NotFound, StyleError
from solver.moments import refuse_lacking
from solver.result import Taught
from solver.search import Answer
from solver.watch import OutOfTime, Watch
from undersong.compared import named_bars
from undersong.levels.level import Level
from undersong.levels.level_set import LevelSet, Made
from undersong.levels.needs import nearest, needed, reach_of
from undersong.levels.version import Cannot, Demands, Percents, Solved, Version
from undersong.rated import Rater
from undersong.session import Session
from undersong.sheet.text_bar import tempo_words
from undersong.tempo_within import ALL, tempo_within
from undersong.wording import listed, many


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
        refuse_lacking(session.tune, session.style.texture)  # in the words of what was asked for
        raise lacking[0]


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
        own = mine.in_style(level.style(mine.style))
        played = frozenset(moment.bar for moment in own.search.moments(conditions))
        return Version(level, own, conditions, weights, played, self.rater)

    def made(self) -> tuple[Made, ...]:
        """Every level, the easiest first."""
        alone = {}
        for number in sorted(self.versions, reverse=True):
            version = self.versions[number]
            alone[number] = version.alone(self.watch)
            if alone[number] >= FAR:
                why = version.why(Demands({}, {}), self.watch, no_way=True)
                near = nearest(version, self._unbound(version), self.watch)
                self._give_up(number, str(why), near, isinstance(why, NotFound))
        found: dict[int, Solved] = {}
        try:
            while not self._descend(found):
                pass
        except OutOfTime:
            if not found:
                raise
            for number in sorted(set(self.versions) - set(found)):
                self._late(number)
        for number, solved in found.items():
            version = self.versions[number]
            made = version.session.certified(solved.answer, version.weights, solved.conditions)
            taught = Taught(number, version.level.teaches)
            self.gone[number] = Made(
                version.level,
                replace(made, level=taught),
                raised=self._printed(version.least),
                alone=alone[number],
            )
        return tuple(self.gone[number] for number in sorted(self.gone))

    def _descend(self, found: dict[int, Solved]) -> bool:
        """All versions from the hardest down, put into ``found`` anew as they come; whether that
        is all, and nothing must rise or be given up. A version may take half of the time that is
        left, so that one which is hard to find does not cost the others."""
        self.rounds += 1
        found.clear()
        above: Solved | None = None
        for number in sorted(self.versions, reverse=True):
            asked = self._asked(self.versions[number], above)
            share = self.watch.within(self.watch.left / 2)
            try:
                above = self.versions[number].solve(asked, share)
            except Cannot:
                self._rise(number, asked)
                return False
            except OutOfTime:
                if self.watch.left <= 0:
                    raise
                self._late(number)
                return False
            found[number] = above
        return True

    def _late(self, number: int) -> None:
        """Gives a level up for which there was no time."""
        harder = min((other for other in self.versions if other > number), default=0)
        beside = f" that is in no bar harder than on level {harder}" if harder else ""
        self._give_up(
            number,
            f"no way to play it{beside} was found in the time there was; allow more time, or ask "
            "for less",
            (),
            out_of_time=True,
        )

    def _asked(self, version: Version, above: Solved | None) -> Demands:
        if above is None:
            least = version.least
            return Demands(self._hand(version) if least else {}, least)
        most = {bar: above.rated.get(bar, 0) for bar in sorted(version.played)}
        near = None if self.close is None else near_to(above.answer, self.close)
        return Demands(most, version.least, near)

    def _hand(self, hardest: Version) -> dict[int, int]:
        """What each bar may be rated at most for an easier level's sake: all that the hand can do,
        or what the hardest version is rated there anyway."""
        free = hardest.solve(Demands({}, {}), self.watch).rated
        return {bar: max(ALL, free.get(bar, 0)) for bar in sorted(hardest.played)}

    def _reach(self, version: Version, percents: Percents) -> dict[int, int]:
        """For each bar the most percent, up to what is given, that the version may be rated."""
        hand = self._hand(self.versions[max(self.versions)])
        most = {bar: min(percent, hand.get(bar, ALL)) for bar, percent in percents.items()}
        return reach_of(version, most, self.watch)

    def _printed(self, played: Iterable[int]) -> tuple[int, ...]:
        """Played bars by their printed numbers."""
        tune = self.session.tune
        return tuple(sorted({tune.bars[tune.played[bar - 1].written].number for bar in played}))

    def _rise(self, number: int, asked: Demands) -> None:
        """Asks more of the versions above, or gives a level up."""
        version = self.versions[number]
        if version.floors and number == max(self.versions):
            self._too_easy_above(number)
            return
        more = needed(version, asked.most, self.watch)
        more = more or self._as_it_would_be(version, asked)
        if not more:
            if version.floors:
                self._too_easy_above(number)
            elif version.ceilings:
                self._clash(number, min(n for n in self.versions if n > number))
            else:
                near = self._more_shifts(version, asked)
                why = version.why(asked, self.watch)
                self._give_up(number, str(why), near, isinstance(why, NotFound))
            return
        if not self._raised(number, more, as_liked=True):
            self._raised(number, more, as_liked=False)

    def _raised(self, number: int, more: Percents, as_liked: bool) -> bool:
        """Asks so much of every version above, or as much as the one below it would then like best,
        where that is more; whether each by itself can hold it, which is seen for what is liked."""
        before = {other: version.floors.get(number, {}) for other, version in self.versions.items()}
        liked, hand = dict(more), self._hand(self.versions[max(self.versions)])
        for other in sorted(other for other in self.versions if other > number):
            harder, own = self.versions[other], dict(before[other])
            for bar, percent in liked.items():
                own[bar] = max(own.get(bar, 0), percent)
            harder.floors[number] = own
            if not as_liked:
                continue
            try:
                rated = harder.solve(Demands(hand, harder.least), self.watch).rated
            except Cannot:
                for each, floors in before.items():
                    self.versions[each].floors.pop(number, None)
                    if floors:
                        self.versions[each].floors[number] = floors
                return False
            liked = {bar: max(percent, rated.get(bar, 0)) for bar, percent in liked.items()}
        return True

    def _as_it_would_be(self, version: Version, asked: Demands) -> dict[int, int]:
        """How hard the version is by itself in the bars in which it is too hard: what does where
        the bars' ratings alone are not what stands in the way; nothing where it cannot be met."""
        try:
            found = version.solve(Demands(version.ceilings, version.least), self.watch)
        except Cannot:
            return {}
        return {
            bar: found.rated[bar] for bar, most in asked.most.items() if found.rated[bar] > most
        }

    def _unbound(self, version: Version) -> Session:
        """The version's session, but with frets beyond its highest."""
        style = replace(version.level, highest=None).style(self.session.style)
        own = version.session
        return own if style == own.style else self.session.in_style(style)

    def _more_shifts(self, version: Version, asked: Demands) -> tuple[str, ...]:
        """That the level can be met with a few more shifts in a bar, where that is so."""
        most = version.level.shifts
        for more in (1, 2, 4) if most is not None else ():
            level = replace(version.level, shifts=(most or 0) + more)
            try:
                replace(version, level=level, solved=[], quotas=()).solve(asked, self.watch)
            except Cannot:
                continue
            shifts = many(level.shifts or 0, "shift")
            return (f"it can with {shifts} of the hand a bar (shifts = {level.shifts})",)
        return ()

    def _too_easy_above(self, number: int) -> None:
        """A version cannot be as hard as an easier level needs, the hardest of those that need
        something: that level is to need it in other bars, or it is given up."""
        harder = self.versions[number]
        asker = max(harder.floors)
        easier = self.versions[asker]
        tops = self._reach(harder, harder.floors[asker])
        lower = {
            bar: percent
            for bar, percent in tops.items()
            if percent < min(harder.floors[asker][bar], easier.ceilings.get(bar, MOST_PERCENT))
        }
        if not lower:
            self._clash(asker, number)
            return
        easier.ceilings |= lower
        for version in self.versions.values():
            version.floors.pop(asker, None)

    def _clash(self, easier: int, harder: int) -> None:
        """Gives the easier level up, since the harder cannot be as hard as it needs."""
        asker, other = self.versions[easier], self.versions[harder]
        needs = needed(replace(asker, ceilings={}), asker.ceilings, self.watch)
        needs = needs or other.floors.get(easier, {})
        tops = self._reach(other, needs)
        beyond = [bar for bar, percent in needs.items() if percent > max(ALL, tops[bar])]
        if beyond:
            self._beyond_the_hand(asker, {bar: needs[bar] for bar in beyond})
            return
        short = {bar: percent for bar, percent in needs.items() if tops[bar] < percent}
        alike: dict[tuple[int, int], list[int]] = {}
        for bar, percent in sorted((short or needs).items()):
            alike.setdefault((percent, tops[bar]), []).append(bar)
        words = [
            f"{named_bars(self.session.tune, bars)} cannot be easier than {percent} % here"
            + (f" nor harder than {top} % there" if short else "")
            for (percent, top), bars in alike.items()
        ]
        together = "" if short else ", and there not all of them can be so hard at once"
        asked = replace(other, floors={easier: needs})
        near = nearest(asked, self._unbound(asked), self.watch)
        loosened = [f"{each} on level {harder}" for each in near if each.startswith("it can with")]
        self._give_up(
            easier,
            f"no bar may be harder than on level {harder}, but {', '.join(words)}{together}",
            (*loosened, f"it can without level {harder}"),
        )

    def _beyond_the_hand(self, version: Version, needs: Percents) -> None:
        """Gives a level up that needs more of the hand than it can do, where harder ones do not."""
        alike: dict[int, list[int]] = {}
        for bar, percent in sorted(needs.items()):
            alike.setdefault(percent, []).append(bar)
        words = listed(
            [
                f"{percent} % in {named_bars(self.session.tune, bars)}"
                for percent, bars in alike.items()
            ]
        )
        own = version.solve(Demands({}, {}), self.watch)
        made = version.session.certified(own.answer, version.weights, own.conditions)
        slower, tune = tempo_within(made).per_minute, self.session.tune
        near: tuple[str, ...] = ()
        if slower is not None:
            tempo = tempo_words(replace(tune.tempo, per_minute=slower))
            near = (f"its own best is within the hand at {tempo}",)
        self._give_up(
            version.level.number,
            f"it needs more than all that this hand can do, {words}, and harder levels are not "
            "made so hard for its sake",
            near,
        )

    def _give_up(
        self, number: int, why: str, near: tuple[str, ...], out_of_time: bool = False
    ) -> None:
        level = self.versions.pop(number).level
        self.gone[number] = Made(level, why=why, nearest=near, out_of_time=out_of_time)
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
