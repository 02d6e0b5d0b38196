"""Ratings of moves, for all pairs of shapes: how hurried each is, and how difficult.

What these are is the scoring room's word (``scoring.difficulty``); here they are read from tables
of finger states, as the moves' costs are, and kept as small whole numbers, so that any number of
limits is compared with one table.

Public: rated, HURRY, RATING.
"""

import numpy as np

from scoring.choice import Shapes
from scoring.difficulty import FINGER, LAID, MOST, SHIFT, percent
from solver.arrays import Moves, Rows
from solver.tables import HAND, MARK_LAID, MARK_STAYS, NEVER, States

HURRY, RATING = 0, 1
"""What the two rows of ``rated`` hold."""


def rated(
    states: States, before: Shapes, after: Shapes, ms: int, damped: bool,
    pairs: tuple[Rows, Rows] | None = None,
) -> Moves:  # fmt: skip
    """(2, shapes before, shapes after), or (2, pairs) for (tails, heads) only: percent of its time
    that the move needs, and percent of what the hand can do, all parts together."""
    read = states.reader(before, after, pairs)
    done = states.doing(read)
    shift = np.where(done >= MARK_STAYS, 0, read(states.hand_ms, HAND))
    down, lays = done & (MARK_LAID - 1), (done & (MARK_STAYS - 1)) >= MARK_LAID
    longest = int(states.hand_ms.max()) + max(int(way.ms.max()) for way in states.ways)
    takes = np.arange(longest + 1, dtype=np.int32)

    def shares(free: int) -> Moves:
        """(ms + 1,): the percent that each ms is of those."""
        return percent(takes, np.full_like(takes, free)).astype(np.int16)

    hurry = np.where(down > 0, 0, np.take(shares(ms), shift)).astype(np.int16)
    for free, tables in states.needs(ms, damped):
        needed = np.full(shift.shape, NEVER, np.int32)
        for finger, table in tables:
            np.maximum(needed, read(table, finger), out=needed)
        needed += shift
        np.maximum(needed, 0, out=needed)
        np.maximum(hurry, np.take(shares(free), needed), out=hurry)
    wide = states.stretch(after).astype(np.int16)
    rating = np.maximum(hurry, wide if pairs is None else wide[pairs[1]])
    rating += (FINGER * down + SHIFT * (shift > 0) + LAID * lays).astype(np.int16)
    np.minimum(rating, MOST, out=rating)
    return np.stack([hurry, rating])
