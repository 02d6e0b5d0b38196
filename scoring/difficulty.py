"""How difficult a moment is for the hand, in percent of what it can do; no weight touches it.

Two things make a moment difficult: the way there, by the time that it needs out of the time there
is, and holding it, by the widest stretch out of the greatest that those two fingers have. The
greater of the two is the moment's difficulty, the greatest of its moments' the bar's. It is a
figure to compare bars by, for one hand at one tempo; it does not say what is good for a hand.
Common practice, no source; the times and distances have their sources where they are counted
(``scoring.move``, ``fretboard.hand``).

Percents are whole numbers, counted up, at most ``MOST``.

Public: step_difficulty, stretch_difficulty, bar_difficulties, MOST.
"""

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice, Ints, Shapes
from scoring.moment import Moment
from scoring.move import Move
from scoring.terms.holding import distance

MOST = 1000
"""Percent: whatever is more difficult than that is as good as impossible."""


def step_difficulty(move: Move) -> Ints:
    """(n,): percent of the moment that the move arrives at: of the move, or of the stretch."""
    return np.asarray(np.maximum(_hurry(move), stretch_difficulty(move.after)), np.int32)


def stretch_difficulty(shapes: Shapes) -> Ints:
    """(n,): percent of the greatest stretch between two fingers that stop strings."""
    most = np.zeros(len(shapes), np.int32)
    for pair in combinations(range(5), 2):
        greatest = np.full(len(shapes), shapes.hand.greatest[pair], np.int32)
        most = np.maximum(most, _percent(distance(shapes, *pair), greatest))
    return most


def bar_difficulties(
    choices: Sequence[Choice], moments: Sequence[Moment], instrument: Instrument, hand: Hand
) -> dict[int, int]:
    """Played bar's number → percent, for every bar in which a moment begins; the first moment of
    all is reached for free."""
    found: dict[int, int] = {}
    before: Shapes | None = None
    for index, (choice, moment) in enumerate(zip(choices, moments, strict=True)):
        shapes = Shapes.of([(choice.grip, choice.struck)], instrument, hand)
        if before is None:
            percent = stretch_difficulty(shapes)
        else:
            last = moments[index - 1]
            percent = step_difficulty(Move(before, shapes, last.ms, last.damped))
        found[moment.bar] = max(found.get(moment.bar, 0), int(percent[0]))
        before = shapes
    return found


def _hurry(move: Move) -> Ints:
    """(n,): what the shift and the most pressed finger after it need, in percent of what that
    finger has; a hand that travels with no finger to put down has the whole moment."""
    way, shift = move.fingers, move.whole.ms
    needed = np.where(way.moves, way.ms + shift[:, None], 0)
    fingers = _percent(needed, way.free(move.ms, move.damped)).max(axis=1)
    in_the_air = _percent(shift, np.full(len(shift), move.ms, np.int32))
    return np.where(way.moves.any(axis=1), fingers, in_the_air).astype(np.int32)


def _percent(needed: Ints, there_is: Ints) -> Ints:
    """Percent, counted up, to ``MOST``; ``MOST`` where something is needed and there is nothing."""
    share = -(-100 * needed.astype(np.int64) // np.maximum(there_is, 1))
    capped = np.minimum(np.where(there_is > 0, share, MOST), MOST)
    return np.where(needed > 0, capped, 0).astype(np.int32)
