"""How difficult a moment is for the hand, in percent of what it can do; no weight touches it.

Two things make a moment difficult: the way there, by the time that it needs out of the time there
is, and holding it, by the widest stretch out of the greatest that those two fingers have. The
greater of the two counts, and a little is added for what the hand has to think of besides:
``SHIFT`` for a shift of the whole hand, ``LAID`` for a finger laid across strings anew, ``FINGER``
for each finger put down. The sum, at most ``MOST``, is the moment's rating; it never falls when one
of its parts grows. Everything belongs to one move, so that a search can forbid or price it. The
first moment of all is reached for free: only its stretch counts.

A bar's rating is that of its hardest moment, a tune's that of its hardest bar, beside it the
median: of the bars in which anything begins, the lower of the two in the middle. It is a figure to
compare bars by, for one hand at one tempo; it does not say what is good for a hand. Rating and
additions: common practice, no source; the times and distances have their sources where they are
counted (``scoring.move``, ``fretboard.hand``).

Percents are whole numbers, counted up.

Public: step_difficulty, stretch_difficulty, bar_difficulties, rate, percent, Rating, BarRating,
Parts, MOST, SHIFT, LAID, FINGER.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from statistics import median_low

import numpy as np

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Bools, Choice, Ints, Shapes
from scoring.counts import barred, barred_anew, shifts
from scoring.moment import Moment
from scoring.move import Move
from scoring.terms.holding import distance

MOST = 1000
"""Percent: whatever is more difficult than that is as good as impossible."""

SHIFT, LAID, FINGER = 10, 10, 2
"""Percent added for a shift of the hand, for laying a finger across strings, for each finger put
down (common practice, no source)."""


@dataclass(frozen=True)
class Parts:
    """What makes a moment difficult. needed, time: ms that the most pressed finger needs, the
    hand's shift before it, and that it has (those of the hand where no finger is put down); 0
    needed where nothing moves. stretch: percent of the greatest; shift: the whole hand travels;
    laid: a finger is laid across strings anew; fingers: how many are put down."""

    needed: int = 0
    time: int = 0
    stretch: int = 0
    shift: bool = False
    laid: bool = False
    fingers: int = 0

    def __post_init__(self) -> None:
        if min(self.needed, self.time, self.stretch, self.fingers) < 0:
            raise ValueError("no part of a difficulty is below nothing")

    @property
    def hurry(self) -> int:
        """Percent of its time that the move needs."""
        return int(percent(np.array([self.needed]), np.array([self.time]))[0])

    @property
    def added(self) -> int:
        """Percent for what the hand has to think of besides."""
        return SHIFT * self.shift + LAID * self.laid + FINGER * self.fingers

    @property
    def rating(self) -> int:
        """Percent, all parts together."""
        return min(MOST, max(self.hurry, self.stretch) + self.added)


@dataclass(frozen=True)
class BarRating:
    """bar: as played, from 1; parts: of its hardest moment, the first of equals; shifts: of the
    hand, by which its moments are reached; changes: moments at which the fingers stop something
    else than before; barred: times that a finger is laid across strings anew, in the first shape of
    all too."""

    bar: int
    parts: Parts
    shifts: int = 0
    changes: int = 0
    barred: int = 0

    @property
    def rating(self) -> int:
        """Percent."""
        return self.parts.rating


@dataclass(frozen=True)
class Rating:
    """bars: one for every played bar in which a moment begins, in order."""

    bars: tuple[BarRating, ...]

    def __post_init__(self) -> None:
        if not self.bars:
            raise ValueError("there is nothing to rate where no moment begins")

    @cached_property
    def hardest_bar(self) -> BarRating:
        """The first of the hardest bars."""
        return max(self.bars, key=lambda bar: bar.rating)

    @property
    def hardest(self) -> int:
        """Percent of the hardest bar."""
        return self.hardest_bar.rating

    @property
    def median(self) -> int:
        """Percent of the bar in the middle, the lower of two."""
        return median_low(bar.rating for bar in self.bars)

    @property
    def by_bar(self) -> dict[int, int]:
        """Played bar's number → percent."""
        return {bar.bar: bar.rating for bar in self.bars}


def step_difficulty(move: Move) -> Ints:
    """(n,): percent of the moment that the move arrives at."""
    return _parts(move).rating


def stretch_difficulty(shapes: Shapes) -> Ints:
    """(n,): percent of the greatest stretch between two fingers that stop strings."""
    most = np.zeros(len(shapes), np.int32)
    for pair in combinations(range(5), 2):
        greatest = np.full(len(shapes), shapes.hand.greatest[pair], np.int32)
        most = np.maximum(most, percent(distance(shapes, *pair), greatest))
    return most


def rate(
    choices: Sequence[Choice], moments: Sequence[Moment], instrument: Instrument, hand: Hand
) -> Rating:
    """What is played, rated; choices: one for every moment.

    Raises ValueError where there is no moment, or not one choice for each.
    """
    if not moments or len(choices) != len(moments):
        raise ValueError("a rating needs moments, and one choice for each")
    shapes = Shapes.of([(choice.grip, choice.struck) for choice in choices], instrument, hand)
    first = shapes.take(np.zeros(1, np.intp))
    parts = [Parts(stretch=int(stretch_difficulty(first)[0]))] * len(moments)
    changes, laid = [False] * len(moments), [bool(barred(first)[0])] * len(moments)
    kinds: dict[tuple[int, bool], list[int]] = {}
    for index, before in enumerate(moments[:-1]):
        kinds.setdefault((before.ms, before.damped), []).append(index)
    for (ms, damped), tails in kinds.items():
        rows = np.array(tails, np.intp)
        move = Move(shapes.take(rows), shapes.take(rows + 1), ms, damped)
        found = _parts(move)
        changed = _stops(move.before) != _stops(move.after)
        for row, tail in enumerate(tails):
            parts[tail + 1] = one = found.at(row)
            changes[tail + 1], laid[tail + 1] = bool(changed[row].any()), one.laid
    bars: dict[int, list[int]] = {}
    for index, moment in enumerate(moments):
        bars.setdefault(moment.bar, []).append(index)
    return Rating(
        tuple(
            BarRating(
                bar,
                max((parts[index] for index in inside), key=lambda part: part.rating),
                sum(parts[index].shift for index in inside),
                sum(changes[index] for index in inside),
                sum(laid[index] for index in inside),
            )
            for bar, inside in bars.items()
        )
    )


def bar_difficulties(
    choices: Sequence[Choice], moments: Sequence[Moment], instrument: Instrument, hand: Hand
) -> dict[int, int]:
    """Played bar's number → percent, for every bar in which a moment begins."""
    return rate(choices, moments, instrument, hand).by_bar


@dataclass(frozen=True)
class _Columns:
    """(n,) each: ``Parts`` of n moves."""

    needed: Ints
    time: Ints
    stretch: Ints
    shift: Bools
    laid: Bools
    fingers: Ints

    @property
    def rating(self) -> Ints:
        share = np.maximum(percent(self.needed, self.time), self.stretch)
        added = SHIFT * self.shift + LAID * self.laid + FINGER * self.fingers
        return np.asarray(np.minimum(MOST, share + added), np.int32)

    def at(self, row: int) -> Parts:
        return Parts(
            int(self.needed[row]),
            int(self.time[row]),
            int(self.stretch[row]),
            bool(self.shift[row]),
            bool(self.laid[row]),
            int(self.fingers[row]),
        )


def _parts(move: Move) -> _Columns:
    """The most pressed finger, the first of equals, stands for the way; a hand that travels with
    no finger to put down has the whole moment."""
    way, shift = move.fingers, move.whole.ms
    needed = np.where(way.moves, way.ms + shift[:, None], 0)
    free = way.free(move.ms, move.damped)
    down = way.moves.sum(axis=1)
    pressed = np.where(way.moves, percent(needed, free), -1).argmax(axis=1)
    rows = np.arange(len(shift))
    return _Columns(
        np.where(down > 0, needed[rows, pressed], shift).astype(np.int32),
        np.where(down > 0, free[rows, pressed], move.ms).astype(np.int32),
        stretch_difficulty(move.after),
        shifts(move),
        barred_anew(move),
        down.astype(np.int32),
    )


def _stops(shapes: Shapes) -> Ints:
    """(n, courses): what stops each string, 8 · fret + finger, -1 for nothing."""
    return np.where(shapes.fingers >= 0, 8 * shapes.frets + shapes.fingers, -1)


def percent(needed: Ints, there_is: Ints) -> Ints:
    """Percent, counted up, to ``MOST``; ``MOST`` where something is needed and there is nothing."""
    share = -(-100 * needed.astype(np.int64) // np.maximum(there_is, 1))
    capped = np.minimum(np.where(there_is > 0, share, MOST), MOST)
    return np.where(needed > 0, capped, 0).astype(np.int32)
