"""Terms of hand work: shifting, travelling, sliding, putting down, lifting, hurrying."""

import numpy as np

from scoring.choice import Ints
from scoring.move import FingerWay, HandWay
from scoring.term import About, FingerTerm, HandTerm

_FITTS = "Fitts's law, Shannon form (MacKenzie 1992); constants with their sources in the hand"
_PRACTICE = "common practice, no source"


def _hand_shift(way: HandWay) -> Ints:
    """ms that the whole hand takes to its new place."""
    return way.ms


def _hurry(way: HandWay) -> Ints:
    """ms by which the most pressed finger, the hand's shift before it, needs more than three
    quarters of its free time (``scoring.move.UNHURRIED``)."""
    return np.asarray(np.maximum(way.ms + way.pressure, 0), np.int32)


def _finger_travel(way: FingerWay) -> Ints:
    """ms that a finger takes to land, relative to the hand."""
    return np.where(way.lands, way.ms, 0).astype(np.int32)


def _finger_slide(way: FingerWay) -> Ints:
    """ms that a finger takes to slide along its string, relative to the hand."""
    return np.where(way.slides, way.ms, 0).astype(np.int32)


def _finger_down(way: FingerWay) -> Ints:
    """1 for a finger that comes down, or that widens or narrows its bar."""
    rolled = way.stays & (way.before.courses != way.after.courses)
    return np.asarray(way.lands | rolled, np.int32)


def _finger_up(way: FingerWay) -> Ints:
    """1 for a finger that leaves a string."""
    return way.lifts.astype(np.int32)


TERMS = (
    HandTerm(About("hand-shift", "ms", "the hand travels along the neck", _FITTS, 1, 100),
             _hand_shift),
    FingerTerm(About("finger-travel", "ms", "fingers travel to a new string or from the air",
                     _FITTS, 1, 100), _finger_travel),
    FingerTerm(About("finger-slide", "ms", "fingers slide along the string they are on", _FITTS,
                     1, 100), _finger_slide),
    FingerTerm(About("finger-down", "finger", "a finger is put down", _PRACTICE, 40),
               _finger_down),
    FingerTerm(About("finger-up", "finger", "a finger is lifted", _PRACTICE, 15), _finger_up),
    HandTerm(About("hurry", "ms", "a move needs more than three quarters of its free time at "
                   "this tempo", "utilisation of time, as in work study; limit and price chosen by "
                   "measurement, so that few bars ask more than the hand can do", 20, 100), _hurry),
)  # fmt: skip
