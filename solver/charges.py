"""Charges: ms that a multiplier adds to the moves which a quota counts, for all pairs of shapes.

What counts is the scoring room's word (``scoring.counts``, ``scoring.difficulty``); here it is
read from tables of finger states, as the moves' costs are.

Public: Charge, counted.
"""

from dataclasses import dataclass

import numpy as np

from scoring.choice import Bools
from solver.arrays import Rows
from solver.hand_states import HAND, MARK_LAID, MARK_STAYS
from solver.held import HeldShapes


@dataclass(frozen=True)
class Charge:
    """what: ``shifts``, ``barred`` or ``hard`` (``solver.conditions.quota.COUNTED``), or nothing;
    above: the difficulty that a hard move exceeds; price: ms for each such move, of either sign."""

    what: str
    price: int
    above: int = 0

    def __post_init__(self) -> None:
        if self.what not in ("", "shifts", "barred", "hard"):
            raise ValueError(f"no charge counts {self.what!r}")


def counted(
    what: str, before: HeldShapes, after: HeldShapes, pairs: tuple[Rows, Rows] | None = None
) -> Bools:
    """Which moves are ``shifts``, or ``barred`` anew: (shapes before, shapes after), or (pairs,)
    for (tails, heads) only. Hard ones are told by their ratings (``solver.ratings``)."""
    out = np.empty((len(before), len(after)) if pairs is None else len(pairs[0]), np.bool_)
    states = before.states
    for rows, read in states.blocks(before.coded, after.coded, pairs):
        done = states.doing(read)
        if what == "barred":
            out[rows] = (done & (MARK_STAYS - 1)) >= MARK_LAID
        else:
            out[rows] = (done < MARK_STAYS) & (read(states.hands.ms, HAND) > 0)
    return out
