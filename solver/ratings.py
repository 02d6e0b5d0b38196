"""Ratings of moves, for all pairs of shapes: how hurried each is, and how difficult.

What these are is the scoring room's word (``scoring.difficulty``); here they are read from tables
of finger states, as the moves' costs are, and kept as small whole numbers, so that any number of
limits is compared with one table.

Public: rated, HURRY, RATING.
"""

import numpy as np

from scoring.choice import Ints, Shapes
from scoring.difficulty import FINGER, LAID, MOST, SHIFT, percent
from solver.arrays import Moves, Rows
from solver.states import HAND, MARK_LAID, MARK_STAYS, NEVER, Spread, States

HURRY, RATING = 0, 1
"""What the two rows of ``rated`` hold."""


def rated(
    states: States, before: Shapes, after: Shapes, ms: int, damped: bool,
    pairs: tuple[Rows, Rows] | None = None,
) -> Moves:  # fmt: skip
    """(2, shapes before, shapes after), or (2, pairs) for (tails, heads) only: percent of its time
    that the move needs, and percent of what the hand can do, all parts together."""
    longest = int(states.hand_ms.max()) + max(int(way.ms.max()) for way in states.ways)
    takes = np.arange(longest + 1, dtype=np.int32)

    def shares(free: int) -> Moves:
        """(ms + 1,): the percent that each ms is of those."""
        return percent(takes, np.full_like(takes, free)).astype(np.int16)

    needs = [(shares(free), tables) for free, tables in states.needs(ms, damped)]
    whole, wide = shares(ms), states.stretch(after).astype(np.int16)
    shape = (len(before), len(after)) if pairs is None else (len(pairs[0]),)
    out = np.empty((2, *shape), np.int16)
    for rows, read in states.blocks(before, after, pairs):
        done = states.doing(read)
        shift = np.where(done >= MARK_STAYS, 0, read(states.hand_ms, HAND))
        down = done & (MARK_LAID - 1)
        hurry = np.where(down > 0, 0, np.take(whole, shift)).astype(np.int16)
        for share, tables in needs:
            np.maximum(hurry, np.take(share, _needed(read, tables, shift)), out=hurry)
        lays = (done & (MARK_STAYS - 1)) >= MARK_LAID
        added = FINGER * down + SHIFT * (shift > 0) + LAID * lays
        held = wide if pairs is None else wide[pairs[1][rows]]
        out[HURRY, rows] = hurry
        out[RATING, rows] = np.minimum(np.maximum(hurry, held) + added, MOST)
    return out


def _needed(read: Spread, tables: list[tuple[int, Ints]], shift: Ints) -> Ints:
    """ms that the most pressed finger of the tables needs, 0 where none moves."""
    needed = np.full(shift.shape, NEVER, np.int32)
    for finger, table in tables:
        np.maximum(needed, read(table, finger), out=needed)
    return np.asarray(np.maximum(needed + shift, 0), np.int32)
