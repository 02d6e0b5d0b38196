"""A session: one tune, one instrument, one hand, arranged as often as the player's wishes change.

What did not change since the last time is kept, so that a weight that moves is answered in a
fraction of the first answer's time.

Public: Session, Price, WrongAnswer.
"""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.weights import Weights
from solver.conditions import NONE, Conditions
from solver.conditions.pinned import BassManner
from solver.conditions.words import parts_of
from solver.errors import NotFound, NotPlayable, Unfulfillable
from solver.result import PROVEN, UNPROVEN, Arrangement, Proof
from solver.search import Answer, Search
from solver.style import Style
from solver.watch import OutOfTime, Watch
from tune.tune import Tune

if TYPE_CHECKING:
    from collections.abc import Sequence

    from solver.clash import Clash
    from solver.demands import Wanted
    from solver.grips import Grips
    from solver.question import Apart
    from undersong.alternatives import Alternatives
    from undersong.ideas import Ideas
    from undersong.levels import Level, LevelSet
    from undersong.mends import Mend


class WrongAnswer(RuntimeError):  # noqa: N818  what it is, not only that something failed
    """The search gave an answer that the independent check refuses: a fault of this program.

    faults: what the check found, one sentence each.
    """

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
        super().__init__(
            f"the answer was thrown away because it failed its check: {faults[0]}{more}; "
            "this is a fault of the program, please report it with the tune and the settings"
        )


@dataclass(frozen=True)
class Price:
    """What one condition costs: words: the condition as a player would say it; least, most: ms
    against the answer without it, below 0 only for a bass manner of its own, which changes what is
    asked; they differ where one of the two is not proven; ``most`` is None where it is not known,
    and ``why`` says why."""

    words: str
    least: int
    most: int | None
    why: str = ""

    def __str__(self) -> str:
        if self.most is None:
            return f"{self.words}: {self.why}"
        if self.least == self.most:
            more = "more" if self.most >= 0 else "less"
            return f"{self.words}: {abs(self.most)} ms {more} than without it"
        return f"{self.words}: {self.least} to {self.most} ms more than without it"


class Session:
    """tune: a Tune, or what ``read_tune`` takes; instrument, hand: values, preset names or files
    (a hand also a measured span in mm); style: the default where not given; grips: those of
    another session with the same hand on the same fretboard; seconds: what the last search took."""

    def __init__(
        self,
        tune: Tune | str | Path,
        *,
        instrument: Instrument | str = "standard",
        hand: Hand | str | int = "medium",
        style: Style | None = None,
        grips: "Grips | None" = None,
    ) -> None:
        from fretboard import presets
        from undersong.api import read_tune

        self.tune = tune if isinstance(tune, Tune) else read_tune(tune)
        self.instrument = (
            instrument if isinstance(instrument, Instrument) else presets.instrument(instrument)
        )
        self.hand = hand if isinstance(hand, Hand) else presets.hand(hand)
        self.style = Style() if style is None else style
        self.seconds = 0.0
        self.search = Search(self.tune, self.instrument, self.hand, self.style, grips)

    def in_style(self, style: Style) -> "Session":
        """The same tune, strings and hand in another style; itself where it is no other."""
        if style == self.style:
            return self
        return Session(
            self.tune,
            instrument=self.instrument,
            hand=self.hand,
            style=style,
            grips=self.search.grips,
        )

    def arrange(
        self,
        weights: Weights | None = None,
        conditions: Conditions = NONE,
        *,
        apart: "Sequence[Apart]" = (),
        watch: Watch | None = None,
    ) -> Arrangement:
        """The best arrangement that holds the conditions, checked before it is given out.

        watch: the time limit, who is told how it stands, who may stop it; out of time the best
        found so far is given, its proof saying by how much it may miss. apart: other answers to
        keep a distance from.

        Raises NotPlayable where a bar cannot be played as asked, Unfulfillable and NotFound where
        no arrangement holds the conditions, ConditionError, ArrangeError for conditions and
        settings that cannot be, OutOfTime and Stopped where there is no answer yet, WrongAnswer
        where our own check fails.
        """
        weights = Weights() if weights is None else weights
        answer = self.search.solve(weights, conditions, apart=apart, watch=watch)
        self.seconds = answer.seconds
        return self.certified(answer, weights, conditions)

    def prices(self, arrangement: Arrangement, watch: Watch | None = None) -> tuple[Price, ...]:
        """What each of the arrangement's conditions costs against the best answer without it.

        The costliest moment's weight counts for nothing here; other prices that are owed count.
        """
        found: list[Price] = []
        for part in parts_of(arrangement.conditions, self.instrument.told):
            try:
                other = self.search.solve(arrangement.weights, part.without, watch=watch)
            except (OutOfTime, NotFound):
                found.append(Price(part.words, 0, None, "there was no time to see what it costs"))
                continue
            except (Unfulfillable, NotPlayable):
                found.append(Price(part.words, 0, None, "without it the rest cannot be held"))
                continue
            high, low = self._asked(arrangement), arrangement.proof.bound
            if arrangement.conditions.costliest is not None:
                low = high if arrangement.proof.status == PROVEN else 0
            shift = other.cost - self._without_worst(other, part.without, arrangement.weights)
            least, most = low - other.cost + shift, high - other.bound + shift
            if not any(isinstance(pin.pinned, BassManner) for pin in part.alone.pins):
                least, most = max(0, least), max(0, most)
            found.append(Price(part.words, least, most))
        return tuple(found)

    def alternatives(
        self,
        count: int = 5,
        within: int = 10,
        differ: int = 4,
        weights: Weights | None = None,
        conditions: Conditions = NONE,
        *,
        watch: Watch | None = None,
    ) -> "Alternatives":
        """The best and others near it, none like another; see ``undersong.alternatives``."""
        from undersong.alternatives import alternatives

        return alternatives(self, count, within, differ, weights, conditions, watch=watch)

    def by_idea(
        self,
        weights: Weights | None = None,
        conditions: Conditions = NONE,
        *,
        watch: Watch | None = None,
    ) -> "Ideas":
        """The best, and the best under one more wish at a time; see ``undersong.ideas``."""
        from undersong.ideas import by_idea

        return by_idea(self, weights, conditions, watch=watch)

    def levels(
        self,
        levels: "Sequence[Level] | None" = None,
        weights: Weights | None = None,
        conditions: Conditions = NONE,
        *,
        close: int | None = None,
        watch: Watch | None = None,
    ) -> "LevelSet":
        """Easier and harder versions, nested bar by bar: those of the style's texture where none
        are given; see ``undersong.levels.nesting``."""
        from undersong.levels import levels_for, make_levels

        levels = levels_for(self.style.texture) if levels is None else levels
        return make_levels(self, levels, weights, conditions, close=close, watch=watch)

    def clash(
        self,
        conditions: Conditions = NONE,
        weights: Weights | None = None,
        watch: Watch | None = None,
    ) -> "Clash | None":
        """Why the tune cannot be arranged so: which bars and demands clash, none of which can be
        dropped; None where it can. Raises OutOfTime and Stopped."""
        from undersong.mends import clash_of

        watch = Watch() if watch is None else watch
        weights = Weights() if weights is None else weights
        return clash_of(self.search, self.wanted(conditions), weights, watch)

    def mends(
        self,
        conditions: Conditions = NONE,
        weights: Weights | None = None,
        watch: Watch | None = None,
        *,
        most: int = 5,
    ) -> "tuple[Mend, ...]":
        """At most so many changes under which it can be arranged, the cheapest first, each solved
        and checked; empty where it can be as it is. Raises OutOfTime and Stopped."""
        from undersong.mends import mends_of

        watch = Watch() if watch is None else watch
        weights = Weights() if weights is None else weights
        clash = self.clash(conditions, weights, watch)
        if clash is None:
            return ()
        return mends_of(self.wanted(conditions), clash, weights, watch).best(most)

    def wanted(self, conditions: Conditions = NONE) -> "Wanted":
        """All that decides whether the tune can be played."""
        from solver.demands import Wanted

        return Wanted(self.tune, self.instrument, self.hand, self.style, conditions)

    def certified(self, answer: Answer, weights: Weights, conditions: Conditions) -> Arrangement:
        """The arrangement with the proof it deserves; WrongAnswer where it fails its check."""
        from undersong.check import check

        arrangement = self._unproven(answer, weights, conditions)
        if answer.optimal and answer.cost == answer.bound:
            arrangement = replace(arrangement, proof=Proof(PROVEN, answer.bound, 0))
        faults = [str(fault) for fault in check(arrangement)]
        if arrangement.asked_cost != answer.cost:
            faults.append(
                f"the search counted {answer.cost} ms, evaluation {arrangement.asked_cost}"
            )
        if answer.cost < answer.bound or (answer.optimal and answer.cost != answer.bound):
            faults.append(
                f"the answer costs {answer.cost} ms, which its bound of {answer.bound} rules out"
            )
        if faults:
            raise WrongAnswer(tuple(faults))
        return arrangement

    def _asked(self, arrangement: Arrangement) -> int:
        """ms asked, but for the weight of the costliest moment."""
        milder = replace(arrangement.conditions, costliest=None)
        return replace(arrangement, conditions=milder).asked_cost

    def _without_worst(self, answer: Answer, conditions: Conditions, weights: Weights) -> int:
        """ms that an answer costs but for the weight of the costliest moment."""
        if conditions.costliest is None:
            return answer.cost
        return self._asked(self._unproven(answer, weights, conditions))

    def _unproven(self, answer: Answer, weights: Weights, conditions: Conditions) -> Arrangement:
        return Arrangement(
            tune=self.tune,
            instrument=self.instrument,
            hand=self.hand,
            style=self.style,
            weights=weights,
            moments=answer.moments,
            choices=answer.choices,
            proof=Proof(UNPROVEN, answer.bound, max(0, answer.cost - answer.bound)),
            conditions=conditions,
        )
