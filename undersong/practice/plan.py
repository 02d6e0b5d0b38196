"""The practice plan: which places, in which bars, at which tempi, how often, with which rests.

The hardest change comes first: that of the bar with the highest rating, of equals the one that
hurries most. It is practised in two bars: with the bar before where the change stands at the bar's
beginning, else with the bar after. A change that is practised already, in the same hands, is not
taken again. After each round stands a rest of whole bars, in which the hand goes back to the
beginning; it is as long as that way needs at the target tempo. Common practice, no source.

Public: plan_for, Plan, Spot, PAUSE, WARM_UP.
"""

from dataclasses import dataclass, replace
from functools import cached_property

from fretboard.grip import Grip
from scoring.choice import Choice
from scoring.difficulty import BarRating, Parts, rate
from solver.result import Arrangement
from tune.time import Tempo
from undersong.practice.excerpt import excerpt, tempo_of
from undersong.practice.ladder import HAS_TIME, Ladder, Rung, fastest_within, ladder
from undersong.practice.wishes import Wishes
from undersong.sheet.errors import SheetError

PAUSE = 30
"""Seconds of rest after each place (common practice, no source)."""

WARM_UP = 120
"""Seconds."""

MOST_REST = 8
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

    @cached_property
    def rest_ticks(self) -> int:
        """How long the rest after each round is."""
        tune = self.arrangement.tune
        return self.rest * tune.bars[tune.played[self.last - 1].written].metre.bar

    def seconds(self, rung: Rung) -> float:
        """How long a rung takes: its rounds, each with its rest."""
        loop = self.at(rung.tempo).tune
        music = sum(loop.tempo_at(n).milliseconds(bar.length) for n, bar in enumerate(loop.bars))
        rest = loop.tempo_at(len(loop.bars) - 1).milliseconds(self.rest_ticks)
        return self.rounds * (music + rest) / 1000


@dataclass(frozen=True)
class Plan:
    """spots: the hardest first; whole: the fastest tempo up to the tune's own at which the hand has
    time in every bar, None for none; easiest: the easiest bar in which the hand moves, to warm up
    with, None where it never does."""

    arrangement: Arrangement
    wishes: Wishes
    spots: tuple[Spot, ...]
    whole: Rung | None
    easiest: BarRating | None

    @property
    def seconds(self) -> float:
        """Warming up, all loops, and the rests between them."""
        loops = sum(spot.seconds(rung) for spot in self.spots for rung in spot.rungs)
        return WARM_UP + loops + PAUSE * len(self.spots)


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
        hands = _hands(arrangement, place)
        inside = any(spot.first <= bar.bar <= spot.last for spot in spots)
        if hands in known or inside:
            continue
        known.add(hands)
        spots.append(_spot(arrangement, bar, place, wishes))
    target = arrangement.tune.tempo.per_minute
    last = len(arrangement.tune.played)

    def rated_at(tempo: int) -> int:
        return excerpt(arrangement, 1, last, tempo).difficulty.hardest

    fastest = fastest_within(rated_at, HAS_TIME, target)
    whole = None if fastest is None else Rung(fastest, rated_at(fastest))
    easiest = min(moving, key=lambda bar: (bar.rating, bar.bar), default=None)
    return Plan(arrangement, wishes, tuple(spots), whole, easiest)


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


def _hands(arrangement: Arrangement, index: int) -> object:
    """What makes two changes the same to practise: the grips, and the time between them."""
    before = max(0, index - 1)
    return (
        arrangement.choices[before].grip,
        arrangement.choices[index].grip,
        arrangement.moments[before].ms,
    )


def _spot(arrangement: Arrangement, bar: BarRating, place: int, wishes: Wishes) -> Spot:
    first, last = _loop(arrangement, bar.bar, place)
    target = tempo_of(arrangement, first)

    def rated_at(tempo: int) -> int:
        return excerpt(arrangement, first, last, tempo).difficulty.hardest

    def hurry_at(tempo: int) -> int:
        loop = excerpt(arrangement, first, last, tempo)
        return max((_parts(loop, at).hurry for at in range(1, len(loop.moments))), default=0)

    found = ladder(rated_at, hurry_at, target.per_minute)
    spot = Spot(
        arrangement, bar.bar, first, last, bar.parts, target, found, rest=1, rounds=wishes.rounds
    )
    while spot.rest < MOST_REST and not _goes_back(spot):
        spot = replace(spot, rest=spot.rest + 1)
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
