"""The practice plan: which places, in which bars, at which tempi, how often, with which rests.

The hardest change comes first: that of the bar with the highest rating, of equals the one that
hurries most. It is practised in two bars: with the bar before where the change stands at the bar's
beginning, else with the bar after. What stands in a loop already is not taken again: the same
fingers on the same frets before and after, whatever strings are open or silent besides and however
much time there is; where the reach decides, the same wide shape, wherever it is come from. After
each round stands a rest of whole bars, in which the hand goes back to the
beginning; it is as long as that way needs at the target tempo. Common practice, no source.

Public: plan_for, Plan, Spot, PAUSE, WARM_UP.
"""

from dataclasses import dataclass, replace

from fretboard.grip import Grip
from scoring.choice import Choice
from scoring.difficulty import BarRating, Parts, rate
from solver.conditions.few_shapes import learned
from solver.result import Arrangement
from tune.time import Tempo
from tune.tune import Bar
from undersong.practice.excerpt import excerpt, tempo_of
from undersong.practice.ladder import HAS_TIME, Ladder, Rung, ladder
from undersong.practice.wishes import Wishes
from undersong.sheet.errors import SheetError
from undersong.sound.sound_options import MOST_GAP
from undersong.tempo_within import rated_at, tempo_within

PAUSE = 30
"""Seconds of rest after each place (common practice, no source)."""

WARM_UP = 120
"""Seconds."""

MOST_REST = 4
"""Bars."""


@dataclass(frozen=True)
class Spot:
    """One place to practise.

    bar: the played bar of the change; first, last: the played bars of its loop; parts: what makes
    it hard at the target tempo; target: that tempo; ladder: its tempi; rest: bars of rest after
    each round; rounds: how often the loop is played at each tempo.
    """

    arrangement: Arrangement
    bar: int
    first: int
    last: int
    parts: Parts
    target: Tempo
    ladder: Ladder
    rest: int
    rounds: int

    @property
    def rungs(self) -> tuple[Rung, ...]:
        return self.ladder.rungs

    def at(self, per_minute: int) -> Arrangement:
        """The loop by itself at a tempo."""
        return excerpt(self.arrangement, self.first, self.last, per_minute)

    @property
    def reaches(self) -> bool:
        """Whether the reach decides, which is the same at every tempo."""
        return _reaches(self.parts)

    @property
    def steady(self) -> bool:
        """Whether every tempo asks the same, as the reach decides."""
        return self.reaches and len({rung.rating for rung in self.rungs}) == 1

    @property
    def harder(self) -> int | None:
        """The played bar of the loop that asks more than the change's own at the target tempo,
        which decides what the whole loop asks; None where none does."""
        if self.rungs[-1].rating <= self.parts.rating:
            return None
        bars = self.at(self.target.per_minute).difficulty.bars
        hardest = max(bars, key=lambda bar: bar.rating)
        played = self.first - 1 + hardest.bar
        return None if played == self.bar else played

    @property
    def rest_beats(self) -> int:
        """How long the rest after each round is, in beats of the loop's first bar."""
        return -(-self.rest * self._bar(self.last).metre.bar // self._bar(self.first).metre.beat)

    @property
    def rest_ticks(self) -> int:
        return self.rest_beats * self._bar(self.first).metre.beat

    def _bar(self, played: int) -> Bar:
        tune = self.arrangement.tune
        return tune.bars[tune.played[played - 1].written]


@dataclass(frozen=True)
class Plan:
    """spots: the hardest first; whole: the fastest tempo up to the tune's own at which the hand has
    time in every bar but those of ``never``, played bars in which it has time at no tempo;
    easiest: the easiest bar in which the hand moves, to warm up with, None where it never does."""

    arrangement: Arrangement
    wishes: Wishes
    spots: tuple[Spot, ...]
    whole: Rung
    never: tuple[int, ...]
    easiest: BarRating | None


def plan_for(arrangement: Arrangement, wishes: Wishes | None = None) -> Plan:
    """The plan; no places where the hand need not move or stretch at all.

    Raises SheetError where the arrangement has no moment.
    """
    wishes = wishes or Wishes()
    if not arrangement.moments:
        raise SheetError("there is nothing to practise: no string is struck in this tune")
    moving = [bar for bar in arrangement.difficulty.bars if bar.rating > 0]
    spots: list[Spot] = []
    known: set[object] = set()
    for bar in sorted(moving, key=lambda bar: (-bar.rating, -bar.parts.hurry, bar.bar)):
        if len(spots) == wishes.spots:
            break
        place = _hardest_moment(arrangement, bar)
        hands = _change(arrangement, place, _reaches(bar.parts))
        inside = any(spot.first <= bar.bar <= spot.last for spot in spots)
        if hands in known or inside:
            continue
        spots.append(_spot(arrangement, bar, place, wishes))
        known |= {
            _change(arrangement, index, reach)
            for index, moment in enumerate(arrangement.moments)
            for reach in (True, False)
            if spots[-1].first <= moment.bar <= spots[-1].last
        }
    within = tempo_within(arrangement)
    tempo = within.per_minute or arrangement.tune.tempo.per_minute
    whole = Rung(tempo, rated_at(arrangement, tempo).hardest)
    easiest = min(moving, key=lambda bar: (bar.rating, bar.bar), default=None)
    return Plan(arrangement, wishes, tuple(spots), whole, within.never, easiest)


def _hardest_moment(arrangement: Arrangement, bar: BarRating) -> int:
    """The index of the bar's first moment that is as hard as the bar."""
    inside = [i for i, moment in enumerate(arrangement.moments) if moment.bar == bar.bar]
    for index in inside:
        if index and _parts(arrangement, index).rating == bar.rating:
            return index
    return inside[0]


def _parts(arrangement: Arrangement, index: int) -> Parts:
    """What makes the moment hard, from the one before it."""
    choices = arrangement.choices[index - 1 : index + 1]
    moments = tuple(
        replace(moment, bar=number)
        for number, moment in enumerate(arrangement.moments[index - 1 : index + 1], 1)
    )
    return rate(choices, moments, arrangement.instrument, arrangement.hand).bars[-1].parts


def _reaches(parts: Parts) -> bool:
    """Whether the reach decides, not the haste."""
    return parts.stretch > parts.hurry


def _change(arrangement: Arrangement, index: int, reach: bool) -> object:
    """What makes two changes the same to practise: what the fingers stop, and what before."""
    shape = learned(arrangement.choices[index].grip)
    return shape if reach else (learned(arrangement.choices[max(0, index - 1)].grip), shape)


def _spot(arrangement: Arrangement, bar: BarRating, place: int, wishes: Wishes) -> Spot:
    first, last = _loop(arrangement, bar.bar, place)
    target = tempo_of(arrangement, first)

    def rating_at(tempo: int) -> int:
        return excerpt(arrangement, first, last, tempo).difficulty.hardest

    def hurry_at(tempo: int) -> int:
        loop = excerpt(arrangement, first, last, tempo)
        return max((_parts(loop, at).hurry for at in range(1, len(loop.moments))), default=0)

    found = ladder(rating_at, hurry_at, target.per_minute)
    spot = Spot(
        arrangement, bar.bar, first, last, bar.parts, target, found, rest=1, rounds=wishes.rounds
    )
    while not _goes_back(spot):
        longer = replace(spot, rest=spot.rest + 1)
        if longer.rest > MOST_REST or longer.rest_beats > MOST_GAP:
            break
        spot = longer
    return spot


def _loop(arrangement: Arrangement, bar: int, place: int) -> tuple[int, int]:
    """The two played bars of a change; one where the tune has no more."""
    begins = place == 0 or arrangement.moments[place - 1].bar < bar
    end = len(arrangement.tune.played)
    if bar > 1 and (begins or bar == end):
        return bar - 1, bar
    return bar, min(bar + 1, end)


def _goes_back(spot: Spot) -> bool:
    """Whether the rest gives the hand, off the strings, the time to go back to the beginning."""
    loop = spot.at(spot.target.per_minute)
    if not loop.moments:
        return True
    last = loop.choices[-1].grip
    silent = (-1,) * len(last.frets)
    free = Choice(Grip(silent, silent, last.place), (False,) * len(silent), None)
    ms = loop.tune.tempo_at(len(loop.tune.bars) - 1).milliseconds(spot.rest_ticks)
    waiting = replace(loop.moments[-1], ms=ms, damped=False, bar=1)
    back = rate(
        (free, loop.choices[0]),
        (waiting, replace(loop.moments[0], bar=2)),
        loop.instrument,
        loop.hand,
    )
    return back.bars[-1].parts.hurry <= HAS_TIME
