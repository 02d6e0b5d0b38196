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
from solver.moments import moments_of
from solver.passing import Passing, moved
from solver.result import Arrangement
from solver.style import Style
from solver.watch import OutOfTime, Standing, Watch
from tune.tune import Tune


@dataclass
class Weigher:
    """A tune, a hand and weights, and what was made for them: the tune moved by so many semitones,
    its moments by style, the last tuning weighed of each fretboard."""

    tune: Tune
    hand: Hand
    weights: Weights
    _tunes: dict[int, Tune] = field(default_factory=dict)
    _moments: dict[tuple[Style, int], tuple[Moment, ...]] = field(default_factory=dict)
    _last: dict[Instrument, Passing] = field(default_factory=dict)

    def moved(self, semitones: int) -> Tune:
        """The tune in another key."""
        if semitones not in self._tunes:
            self._tunes[semitones] = self.tune.transposed(semitones)
        return self._tunes[semitones]

    def moments(self, style: Style, courses: int) -> tuple[Moment, ...]:
        """Those of the tune where it is."""
        if (style, courses) not in self._moments:
            self._moments[style, courses] = moments_of(self.tune, style, courses)
        return self._moments[style, courses]

    def passing(self, instrument: Instrument, style: Style) -> Passing:
        """What another tuning of the same fretboard has made is taken over."""
        key = untuned(instrument)
        last = self._last.get(key)
        if last is None or (last.instrument, last.style) != (instrument, style):
            last = Passing(instrument, self.hand, style, self.weights, last)
            self._last[key] = last
        return last


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
        own = weigher.moments(self.style, len(self.instrument.courses))
        passing, tune = weigher.passing(self.instrument, self.style), weigher.moved(self.by)
        ms, exact, cannot = 0, False, ""
        try:
            least = passing.least(
                moved(own, self.by), tune, self.enough, partial(_looked, watch, own)
            )
            ms, exact = least.ms, least.exact
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
    """A key to solve on some strings; until: when the time for it is over."""

    instrument: Instrument
    style: Style
    by: int
    until: float

    def run(self, weigher: Weigher, watch: Watch) -> Arrangement | None:
        """Checked; None where there was no time."""
        from undersong.session import Session  # which loads the solver's library

        session = Session(
            weigher.moved(self.by),
            instrument=self.instrument,
            hand=weigher.hand,
            style=self.style,
            grips=weigher.passing(self.instrument, self.style).grips,
        )
        try:
            return session.arrange(weigher.weights, watch=watch)
        except OutOfTime:
            return None
