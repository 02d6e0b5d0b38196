"""Terms of holding a shape: stretch, cramp, bars, and which finger is used to which string.

Public: TERMS, distance.
"""

from itertools import combinations

import numpy as np

from scoring.choice import Ints, Shapes, row_sum
from scoring.term import About, ShapeTerm

_PRACTICE = "common practice, no source"
FINGER_WIDTH = 120
"""Tenths of a mm along the string that an idle finger needs between two others (memory)."""


def _furthest(one: int, other: int) -> int:
    """Courses between the furthest strings of two course sets (bits)."""
    courses = range(4)
    pairs = [(x, y) for x in courses if one >> x & 1 for y in courses if other >> y & 1]
    return max((abs(x - y) for x, y in pairs), default=0)


_APART = np.array([[_furthest(one, other) for other in range(16)] for one in range(16)], np.int32)


def distance(shapes: Shapes, one: int, other: int) -> Ints:
    """(n,): tenths of a mm, straight line, between two fingers; 0 unless both are down."""
    if (one, other) not in shapes.distances:
        shapes.distances[one, other] = _distance(shapes, one, other)
    return shapes.distances[one, other]


def _distance(shapes: Shapes, one: int, other: int) -> Ints:
    both = (shapes.finger_fret[:, one] >= 0) & (shapes.finger_fret[:, other] >= 0)
    along = shapes.finger_along[:, one] - shapes.finger_along[:, other]
    apart = _APART[shapes.finger_courses[:, one], shapes.finger_courses[:, other]]
    across = 10 * shapes.instrument.spacing_mm * apart
    return np.where(both, np.rint(np.hypot(along, across)), 0).astype(np.int32)


def _stretch(shapes: Shapes) -> Ints:
    """mm, counted up, beyond the hand's comfortable reach, summed over pairs of fingers."""
    total = np.zeros(len(shapes), np.int32)
    for pair in combinations(range(5), 2):
        beyond = distance(shapes, *pair) - shapes.hand.comfortable[pair]
        total += np.maximum(-(-beyond // 10), 0)
    return total


def _far_stretch(shapes: Shapes) -> Ints:
    """mm, counted up, beyond nine tenths of the greatest reach, summed over pairs of fingers."""
    total = np.zeros(len(shapes), np.int32)
    for pair in combinations(range(5), 2):
        beyond = 10 * distance(shapes, *pair) - 9 * shapes.hand.greatest[pair]
        total += np.maximum(-(-beyond // 100), 0)
    return total


def _cramp(shapes: Shapes) -> Ints:
    """mm, counted up, that are missing for the idle fingers between two that are down."""
    down = shapes.finger_fret >= 0
    total = np.zeros(len(shapes), np.int32)
    for one, other in combinations(range(5), 2):
        between = other - one - 1
        if not between:
            continue
        idle = ~down[:, one + 1 : other].any(axis=1)
        along = np.abs(shapes.finger_along[:, one] - shapes.finger_along[:, other])
        missing = -(-(FINGER_WIDTH * between - along) // 10)
        both = down[:, one] & down[:, other]
        total += np.where(both & idle, np.maximum(missing, 0), 0).astype(np.int32)
    return total


def _barred(shapes: Shapes) -> Ints:
    """Fingers that lie across more than one string."""
    courses = shapes.finger_courses
    return row_sum((courses & (courses - 1)) != 0)


def _unaccustomed(shapes: Shapes) -> Ints:
    """Fingers away from the string they are used to.

    Used to: middle, ring or thumb on the bass; index, middle or ring on the middle string; thumb,
    index or little finger on the melody string.
    """
    fingers, last = shapes.fingers, shapes.fingers.shape[1] - 1
    count = np.zeros(len(shapes), np.int32)
    for course in range(last + 1):
        used = (0, 2, 3) if course == 0 else (0, 1, 4) if course == last else (1, 2, 3)
        finger = fingers[:, course]
        count += ((finger >= 0) & ~np.isin(finger, used)).astype(np.int32)
    return count


TERMS = (
    ShapeTerm(About("stretch", "mm", "fingers reach beyond the hand's comfort",
                    "reach bands after Parncutt et al. 1997, see the hand", 4), _stretch),
    ShapeTerm(About("far-stretch", "mm", "fingers reach beyond nine tenths of the hand's greatest",
                    "limit and price chosen by measurement, so that few bars ask more than the "
                    "hand can do", 50), _far_stretch),
    ShapeTerm(About("cramp", "mm", "idle fingers have no room between two that are down",
                    _PRACTICE, 3), _cramp),
    ShapeTerm(About("barred", "finger", "one finger lies across several strings", _PRACTICE, 45),
              _barred),
    ShapeTerm(About("unaccustomed-finger", "finger", "a finger plays a string it is not used to",
                    "common practice; advice in print conflicts", 12), _unaccustomed),
)  # fmt: skip
