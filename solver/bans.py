"""Bans: moves that a limit forbids outright, for all pairs of shapes.

What is too hard is the scoring room's word; it is read from tables of finger states, as the moves'
costs are.

Public: Ban, banned, hurried.
"""

from dataclasses import dataclass

import numpy as np

from scoring.choice import Bools, Ints, Shapes
from scoring.difficulty import MOST
from scoring.move import NOWHERE
from solver.arrays import Rows
from solver.charges import Charge, counted
from solver.tables import HAND, States


@dataclass(frozen=True)
class Ban:
    """what: ``hard``, for moves rated above so many percent, ``easy``, for moves rated no more than
    that, or ``hurried``, for moves that need more of their time than that."""

    what: str
    above: int

    def __post_init__(self) -> None:
        if self.what not in ("hard", "easy", "hurried"):
            raise ValueError(f"no ban is on {self.what!r}")


def banned(
    ban: Ban, states: States, before: Shapes, after: Shapes, ms: int, damped: bool,
    pairs: tuple[Rows, Rows] | None = None,
) -> Bools:  # fmt: skip
    """Which moves are forbidden: (shapes before, shapes after), or (pairs,) for (tails, heads)."""
    if ban.what in ("hard", "easy"):
        charge = Charge("hard", 0, ban.above)
        hard = counted(charge, states, before, after, ms, damped, pairs)
        return hard if ban.what == "hard" else ~hard
    return hurried(ban.above, states, before, after, ms, damped, pairs)


def hurried(
    above: int, states: States, before: Shapes, after: Shapes, ms: int, damped: bool,
    pairs: tuple[Rows, Rows] | None = None,
) -> Bools:  # fmt: skip
    """Which moves need more than ``above`` percent of the time that there is."""
    old, new = states.coded[id(before)].before, states.coded[id(after)].after

    def read(table: Ints | Bools, by: int) -> Ints | Bools:
        if pairs is None:
            return table[old[by]][:, new[by]]
        return table[old[by][pairs[0]], new[by][pairs[1]]]

    anchored = np.logical_or.reduce(
        [read(way.stays, finger) for finger, way in enumerate(states.ways)]
    )
    shift = np.where(anchored, 0, read(states.hand_ms, HAND))
    over = np.full(shift.shape, NOWHERE * 200, np.int64)
    for finger, way in enumerate(states.ways):
        needed = 100 * way.ms.astype(np.int64) - above * way.free(ms, damped).astype(np.int64)
        own = np.where(way.moves, needed, np.int64(NOWHERE) * 200)
        np.maximum(over, read(own, finger), out=over)
    lands = over > NOWHERE * 200
    late = np.where(lands, over + 100 * shift > 0, 100 * shift > above * ms)
    return np.asarray(late & (above < MOST), np.bool_)
