"""Ratings and shifts of an answer's bars, every move of one length counted at once.

Public: rated_bars, shifts_of.
"""

from collections.abc import Callable, Sequence

import numpy as np

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice, Ints, Shapes
from scoring.counts import shifts
from scoring.difficulty import step_difficulty, stretch_difficulty
from scoring.moment import Moment
from scoring.move import Move


def rated_bars(
    choices: Sequence[Choice], moments: Sequence[Moment], instrument: Instrument, hand: Hand
) -> tuple[dict[int, int], dict[int, int]]:
    """Played bar's number → its rating in percent, as ``scoring.difficulty.bar_difficulties`` has
    it, and → the shifts of the hand that lead to its moments."""
    shapes = Shapes.of([(choice.grip, choice.struck) for choice in choices], instrument, hand)
    percents = np.zeros(len(choices), np.int32)
    shifted = np.zeros(len(choices), np.int32)
    percents[:1] = stretch_difficulty(shapes.take(np.zeros(1, np.intp)))
    kinds: dict[tuple[int, bool], list[int]] = {}
    for index, before in enumerate(moments[:-1]):
        kinds.setdefault((before.ms, before.damped), []).append(index)
    for (ms, damped), indexes in kinds.items():
        rows = np.array(indexes, np.intp)
        move = Move(shapes.take(rows), shapes.take(rows + 1), ms, damped)
        percents[rows + 1] = step_difficulty(move)
        shifted[rows + 1] = shifts(move)
    return _by_bar(moments, percents, max), _by_bar(moments, shifted, int.__add__)


def shifts_of(
    choices: Sequence[Choice], moments: Sequence[Moment], instrument: Instrument, hand: Hand
) -> dict[int, int]:
    """Played bar's number → shifts of the hand that lead to its moments."""
    return rated_bars(choices, moments, instrument, hand)[1]


def _by_bar(
    moments: Sequence[Moment], values: Ints, joined: Callable[[int, int], int]
) -> dict[int, int]:
    out: dict[int, int] = {}
    for moment, value in zip(moments, values.tolist(), strict=True):
        out[moment.bar] = joined(out[moment.bar], value) if moment.bar in out else value
    return out
