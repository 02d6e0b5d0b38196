"""Charges: ms that a multiplier adds to the moves which a quota counts, for all pairs of shapes.

What counts is the scoring room's word (``scoring.counts``, ``scoring.difficulty``); here it is
read from tables of finger states, as the moves' costs are.

Public: Charge, counted.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from scoring.choice import Bools, Ints, Shapes
from scoring.difficulty import MOST, stretch_difficulty
from scoring.move import NOWHERE, FingerWay
from solver.arrays import Rows
from solver.tables import HAND, States

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
    anchored = np.logical_or.reduce(
        [read(way.stays, finger) for finger, way in enumerate(states.ways)]
    )
    shift = np.where(anchored, 0, read(states.hand_ms, HAND))
    if charge.what == "shifts":
        return np.asarray(shift > 0)
    over = np.full(shift.shape, NOWHERE * 200, np.int64)
    for finger, way in enumerate(states.ways):
        np.maximum(over, read(_over(way, ms, damped, charge.above), finger), out=over)
    moves = over > NOWHERE * 200
    hard = np.where(moves, over + 100 * shift > 0, 100 * shift > charge.above * ms)
    wide = stretch_difficulty(after) > charge.above
    hard |= wide if pairs is None else wide[pairs[1]]
    return np.asarray(hard & (charge.above < MOST))


def _barred_anew(way: FingerWay) -> Bools:
    """Whether the finger lies across strings and did not at that fret before."""
    across = [(state.courses & (state.courses - 1)) != 0 for state in (way.before, way.after)]
    return np.asarray(across[1] & ~(across[0] & (way.before.fret == way.after.fret)), np.bool_)


def _over(way: FingerWay, ms: int, damped: bool, above: int) -> Ints:
    """By how much (hundredths of ms) the finger needs more than ``above`` percent of its time."""
    over = 100 * way.ms.astype(np.int64) - above * way.free(ms, damped).astype(np.int64)
    return np.where(way.moves, over, np.int64(NOWHERE) * 200)
