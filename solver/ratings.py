"""Ratings of moves, for all pairs of shapes: how hurried each is, and how difficult.

What these are is the scoring room's word (``scoring.difficulty``); here they are read from tables
of finger states, as the moves' costs are, and kept as small whole numbers, so that any number of
limits is compared with one table.

Public: rated, HURRY, RATING.
"""

import numpy as np

from scoring.difficulty import FINGER, LAID, MOST, SHIFT
from solver.arrays import Moves, Rows
from solver.hand_states import FINGERS, HAND, MARK_LAID, MARK_STAYS
from solver.held import HeldShapes

HURRY, RATING = 0, 1
"""What the two rows of ``rated`` hold."""


def rated(
    before: HeldShapes, after: HeldShapes, ms: int, damped: bool,
    pairs: tuple[Rows, Rows] | None = None,
) -> Moves:  # fmt: skip
    """(2, shapes before, shapes after), or (2, pairs) for (tails, heads) only: percent of its time
    that the move needs, and percent of what the hand can do, all parts together."""
    states = before.states
    lengths, tables = states.hands.needs(ms, damped)
    shares = [states.hands.shares(free) for free in lengths]
    whole, wide = states.hands.shares(ms), after.stretch.astype(np.int16)
    shape = (len(before), len(after)) if pairs is None else (len(pairs[0]),)
    out = np.empty((2, *shape), np.int16)
    for rows, read in states.blocks(before.coded, after.coded, pairs):
        done = states.doing(read)
        shift = read(states.hands.ms, HAND) * (done < MARK_STAYS)
        down = done & (MARK_LAID - 1)
        hurry = np.take(whole, shift.astype(np.intp), mode="clip") * (down == 0)
        needed = read(tables[0], 0)
        for finger in FINGERS[1:]:
            np.maximum(needed, read(tables[finger], finger), out=needed)
        for length, share in enumerate(shares):
            takes = np.add(needed[..., length], shift, dtype=np.intp)
            np.maximum(takes, 0, out=takes)
            np.maximum(hurry, np.take(share, takes, mode="clip"), out=hurry)
        lays = (done & (MARK_STAYS - 1)) >= MARK_LAID
        added = FINGER * down + SHIFT * (shift > 0) + LAID * lays
        held = wide if pairs is None else wide[pairs[1][rows]]
        out[HURRY, rows] = hurry
        out[RATING, rows] = np.minimum(np.maximum(hurry, held) + added, MOST)
    return out
