"""Terms of hand work: shifting, travelling, sliding, putting down, lifting, hurrying."""

import numpy as np

from scoring.choice import Ints, row_sum
from scoring.move import Move
from scoring.term import About, MoveTerm

_FITTS = "Fitts's law, Shannon form (MacKenzie 1992); constants with their sources in the hand"
_PRACTICE = "common practice, no source"


def _hand_shift(move: Move) -> Ints:
    """ms that the whole hand takes to its new place."""
    return move.hand_ms


def _finger_travel(move: Move) -> Ints:
    """ms, summed over the fingers that land, relative to the hand."""
    return row_sum(np.where(move.lands, move.finger_ms, 0))


def _finger_slide(move: Move) -> Ints:
    """ms, summed over the fingers that keep their string, relative to the hand."""
    return row_sum(np.where(move.slides, move.finger_ms, 0))


def _finger_down(move: Move) -> Ints:
    """Fingers that come down, a finger that widens or narrows its bar included."""
    rolled = move.stays & (move.before.finger_courses != move.after.finger_courses)
    return row_sum(move.lands | rolled)


def _finger_up(move: Move) -> Ints:
    """Fingers that leave a string."""
    return row_sum(move.lifts)


def _hurry(move: Move) -> Ints:
    """ms by which the most pressed finger needs more than half of its free time.

    A finger needs the hand's shift and its own way after it; it has the whole moment, or only the
    release when it held a note to its end.
    """
    moving = move.lands | move.slides
    need = np.where(moving, move.finger_ms + move.hand_ms[:, None], 0)
    over = np.maximum(need - move.free_ms // 2, 0)
    return np.asarray(np.where(moving, over, 0).max(axis=1), np.int32)


TERMS = (
    MoveTerm(About("hand-shift", "ms", "the hand travels along the neck", _FITTS, 1, 100),
             _hand_shift),
    MoveTerm(About("finger-travel", "ms", "fingers travel to a new string or from the air", _FITTS,
                   1, 100), _finger_travel),
    MoveTerm(About("finger-slide", "ms", "fingers slide along the string they are on", _FITTS,
                   1, 100), _finger_slide),
    MoveTerm(About("finger-down", "finger", "a finger is put down", _PRACTICE, 40), _finger_down),
    MoveTerm(About("finger-up", "finger", "a finger is lifted", _PRACTICE, 15), _finger_up),
    MoveTerm(About("hurry", "ms", "a move needs more than half of its free time at this tempo",
                   "utilisation of time, as in work study; " + _PRACTICE, 1, 100), _hurry),
)  # fmt: skip
