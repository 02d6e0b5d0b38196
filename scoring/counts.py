"""What a player counts in the hands: shifts, barred shapes, passing notes. No weight touches them.

All arrays have one entry a row. What a move brings belongs to the shape that it arrives at.

Public: shifts, barred, barred_anew, passing.
"""

import numpy as np

from scoring.choice import ROLE_CODE, Bools, Ints, Shapes
from scoring.move import Move


def shifts(move: Move) -> Bools:
    """(n,): the whole hand travels: no finger anchors it, and the way is more than the fingers
    give."""
    return np.asarray(move.whole.ms > 0, np.bool_)


def barred(shapes: Shapes) -> Bools:
    """(n,): a finger lies across two or more strings."""
    courses = shapes.finger_courses
    return np.asarray(((courses & (courses - 1)) != 0).any(axis=1), np.bool_)


def barred_anew(move: Move) -> Bools:
    """(n,): a finger lies across two or more strings that did not lie across two or more at the
    same fret before; a bar that only widens or narrows is not laid anew."""
    return np.asarray(move.fingers.lays.any(axis=1), np.bool_)


def passing(role: Ints) -> Bools:
    """As ``role``, codes of ``scoring.choice.ROLE_CODE``: the bass strikes a passing note."""
    return np.asarray(role == ROLE_CODE["passing"], np.bool_)
