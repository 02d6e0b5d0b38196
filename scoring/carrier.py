"""Which string carries the melody.

Public: carrier, carries_at.
"""

import numpy as np

from scoring.choice import Bools, Ints, Shapes
from scoring.moment import Moment


def carries_at(shapes: Shapes, moment: Moment) -> Bools:
    """(n, courses): strings that bring the melody's note where it begins (they are struck), or
    hold it where it goes on (they are not)."""
    if moment.melody is None:
        return np.zeros_like(shapes.struck)
    hits = shapes.struck if moment.sings else ~shapes.struck
    return np.asarray(hits & (shapes.pitch == moment.melody), np.bool_)


def carrier(shapes: Shapes, moment: Moment) -> Ints:
    """(n,): the string nearest to the player that carries the melody, -1 for none."""
    hits = carries_at(shapes, moment)
    nearest = hits.shape[1] - 1 - hits[:, ::-1].argmax(axis=1)
    return np.where(hits.any(axis=1), nearest, -1).astype(np.int32)
