"""Charges: ms that a multiplier adds to the moves which a quota counts, for all pairs of shapes.

What counts is the scoring room's word (``scoring.counts``, ``scoring.difficulty``); here it is
read from tables of finger states, as the moves' costs are.

Public: Charge, counted.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from scoring.choice import Bools, Ints, Shapes
from scoring.difficulty import FINGER, LAID, MOST, SHIFT, stretch_difficulty
from scoring.move import NOWHERE, FingerWay
from solver.arrays import Rows
from solver.tables import HAND, States

_NOTHING = np.int64(NOWHERE) * 1000
"""Hundredths of ms by which a finger that does not move is late: less than any that does."""

_MOVES, _LAID, _STAYS = 1, 8, 64
"""What one finger does, so that one sum over the five tells how many move, lay, stay."""

Pick = Callable[[Rows, Rows], tuple[Rows, Rows]]


@dataclass(frozen=True)
class Charge:
    """what: ``shifts``, ``barred`` or ``hard`` (``solver.conditions.quota.COUNTED``), or nothing;
    above: the
    difficulty that a hard move exceeds; price: ms for each such move, of either sign."""

    what: str
    price: int
    above: int = 0

    def __post_init__(self) -> None:
        if self.what not in ("", "shifts", "barred", "hard"):
            raise ValueError(f"no charge counts {self.what!r}")


def counted(
    charge: Charge, states: States, before: Shapes, after: Shapes, ms: int, damped: bool,
    pairs: tuple[Rows, Rows] | None = None,
) -> Bools:  # fmt: skip
    """Which moves count: (shapes before, shapes after), or (pairs,) for (tails, heads) only."""
    old, new = states.coded[id(before)].before, states.coded[id(after)].after

    def read(table: Ints | Bools, by: int) -> Ints | Bools:
        if pairs is None:
            return table[old[by]][:, new[by]]
        return table[old[by][pairs[0]], new[by][pairs[1]]]

    if charge.what == "barred":
        laid = [read(_barred_anew(way), finger) for finger, way in enumerate(states.ways)]
        return np.asarray(np.logical_or.reduce(laid), np.bool_)
    done = np.add.reduce([read(_done(way), finger) for finger, way in enumerate(states.ways)])
    shift = np.where(done >= _STAYS, 0, read(states.hand_ms, HAND))
    if charge.what == "shifts":
        return np.asarray(shift > 0)
    return _hard(charge.above, states, before, after, ms, damped, pairs, shift, done)


def _done(way: FingerWay) -> Ints:
    """What the finger does, of those."""
    moves = np.where(way.moves, _MOVES, 0) + np.where(_barred_anew(way), _LAID, 0)
    return np.asarray(moves + np.where(way.stays, _STAYS, 0), np.int16)


def _hard(
    above: int, states: States, before: Shapes, after: Shapes, ms: int, damped: bool,
    pairs: tuple[Rows, Rows] | None, shift: Ints, done: Ints,
) -> Bools:  # fmt: skip
    """Which moves are rated above so many percent. What is added to the greater of two shares is
    taken from what either may be."""
    old, new = states.coded[id(before)].before, states.coded[id(after)].after
    moves = done & (_LAID - 1)
    added = SHIFT * (shift > 0) + LAID * ((done & (_STAYS - 1)) >= _LAID) + FINGER * moves
    over = np.full(shift.shape, _NOTHING, np.int64)
    for finger, way in enumerate(states.ways):
        need, free = _over(way, ms, damped, above), way.free(ms, damped)[:, 0].astype(np.int64)
        if pairs is None:
            own = need[old[finger]][:, new[finger]] + added * free[old[finger]][:, None]
        else:
            tail, head = old[finger][pairs[0]], new[finger][pairs[1]]
            own = need[tail, head] + added * free[tail]
        np.maximum(over, own, out=over)
    most = above - added
    hard = np.where(moves > 0, over + 100 * shift > 0, 100 * shift > most * ms)
    wide = stretch_difficulty(after)
    hard |= (wide if pairs is None else wide[pairs[1]]) > most
    return np.asarray((hard | (most < 0)) & (above < MOST), np.bool_)


def _barred_anew(way: FingerWay) -> Bools:
    """Whether the finger lies across strings and did not at that fret before."""
    across = [(state.courses & (state.courses - 1)) != 0 for state in (way.before, way.after)]
    return np.asarray(across[1] & ~(across[0] & (way.before.fret == way.after.fret)), np.bool_)


def _over(way: FingerWay, ms: int, damped: bool, above: int) -> Ints:
    """By how much (hundredths of ms) the finger needs more than ``above`` percent of its time."""
    over = 100 * way.ms.astype(np.int64) - above * way.free(ms, damped).astype(np.int64)
    return np.where(way.moves, over, _NOTHING)
