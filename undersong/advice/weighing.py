"""What keys and tunings of one tune cost at least, and their answers: work that any process can do.

Public: Weigher, Weigh, Weighed, Solve.
"""

import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial

from fretboard.fingering import untuned
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.moment import Moment
from scoring.weights import Weights
from solver.errors import NotPlayable
from solver.kinds import Kinds
from solver.moments import moments_of
from solver.passing import Passing
from solver.result import Arrangement
from solver.style import Style
from solver.watch import OutOfTime, Standing, Watch
from tune.tune import Tune

KEPT = 5
"""Of how many of the best so far what was laid out is kept."""


@dataclass
class Weigher:
    """A tune, a hand and weights, and what was made for them: the tune moved by so many semitones,
    its kinds of moments by style, the strings weighed last, and those that the best so far were
    weighed on, with what they cost (ms)."""

    tune: Tune
    hand: Hand
    weights: Weights
    _tunes: dict[int, Tune] = field(default_factory=dict)
    _kinds: dict[tuple[Style, int], Kinds] = field(default_factory=dict)
    _last: Passing | None = None
    _best: list[tuple[int, Passing]] = field(default_factory=list)

    def moved(self, semitones: int) -> Tune:
        """The tune in another key."""
        if semitones not in self._tunes:
            self._tunes[semitones] = self.tune.transposed(semitones)
        return self._tunes[semitones]

    def kinds(self, style: Style, courses: int) -> Kinds:
        """Of the tune's moments where it is."""
        if (style, courses) not in self._kinds:
            self._kinds[style, courses] = Kinds.of(moments_of(self.tune, style, courses))
        return self._kinds[style, courses]

    def passing(self, instrument: Instrument, style: Style) -> Passing:
        """What another tuning of the same fretboard has made is taken over."""
        known = [] if self._last is None else [self._last]
        known += [best for _, best in self._best]
        for each in known:
            if (each.instrument, each.style) == (instrument, style):
                return each
        alike = (each for each in known if untuned(each.instrument) == untuned(instrument))
        last = Passing(instrument, self.hand, style, self.weights, next(alike, None))
        self._last = last
        return last

    def keep(self, passing: Passing, ms: int) -> None:
        """One that may be asked for again, since the best so far cost that there."""
        self._best = sorted([*self._best, (ms, passing)], key=lambda best: best[0])[:KEPT]


@dataclass(frozen=True)
class Weighed:
    """ms: no answer costs less, and exact: the best costs just that; or cannot: what stands in the
    way (``NotPlayable.what``); took: seconds."""

    ms: int
    exact: bool
    cannot: str
    took: float


@dataclass(frozen=True)
class Weigh:
    """A key to weigh on some strings. by: semitones; enough: ms beyond which it is given up; until:
    when the time for it is over (``undersong.advice.crew.Task``)."""

    instrument: Instrument
    style: Style
    by: int
    enough: int | None
    until: float

    def run(self, weigher: Weigher, watch: Watch) -> Weighed | None:
        """None where there was no time."""
        begun = time.perf_counter()
        kinds = weigher.kinds(self.style, len(self.instrument.courses))
        passing, tune = weigher.passing(self.instrument, self.style), weigher.moved(self.by)
        ms, exact, cannot = 0, False, ""
        try:
            looked = partial(_looked, watch, kinds.moments)
            least = passing.least(kinds, self.by, tune, self.enough, looked)
            ms, exact = least.ms, least.exact
            if exact and (self.enough is None or ms <= self.enough):
                weigher.keep(passing, ms)
        except NotPlayable as error:
            cannot = error.what
        except OutOfTime:
            return None
        return Weighed(ms, exact, cannot, time.perf_counter() - begun)


def _looked(watch: Watch, moments: Sequence[Moment], left: int) -> None:
    """Tells how far a pass is, so many moments being left."""
    bars = moments[-1].bar
    watch.look(Standing("weighing", bars - moments[left - 1].bar, bars))


@dataclass(frozen=True)
class Solve:
    """A key to solve on some strings. anew: with nothing that was laid out to weigh it; until: when
    the time for it is over."""

    instrument: Instrument
    style: Style
    by: int
    anew: bool
    until: float

    def run(self, weigher: Weigher, watch: Watch) -> Arrangement | None:
        """Checked; None where there was no time."""
        from undersong.session import Session  # which loads the solver's library

        passing = None if self.anew else weigher.passing(self.instrument, self.style)
        session = Session(
            weigher.moved(self.by),
            instrument=self.instrument,
            hand=weigher.hand,
            style=self.style,
            grips=None if passing is None else passing.grips,
        )
        try:
            if passing is not None:
                kinds = weigher.kinds(self.style, len(self.instrument.courses))
                looked = partial(_looked, watch, kinds.moments)
                session.search.take_over(passing, kinds, self.by, looked)
            return session.arrange(weigher.weights, watch=watch)
        except OutOfTime:
            return None
