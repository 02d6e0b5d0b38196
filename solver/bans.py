"""Bans: moves that a limit forbids outright, told by their ratings.

Public: Ban.
"""

from dataclasses import dataclass

import numpy as np

from scoring.choice import Bools
from solver.arrays import Moves
from solver.ratings import HURRY, RATING


@dataclass(frozen=True)
class Ban:
    """what: ``hard``, for moves rated above so many percent, ``easy``, for moves rated no more than
    that, ``hurried``, for moves that need more of their time than that, or ``shifts``, for moves in
    which the whole hand travels, whatever they are rated."""

    what: str
    above: int

    def __post_init__(self) -> None:
        if self.what not in ("hard", "easy", "hurried", "shifts"):
            raise ValueError(f"no ban is on {self.what!r}")

    def forbids(self, ratings: Moves) -> Bools:
        """Which of the moves, as ``solver.ratings.rated`` rates them, are forbidden."""
        if self.what == "shifts":
            raise ValueError("whether the hand travels cannot be told from a rating")
        if self.what == "easy":
            return np.asarray(ratings[RATING] <= self.above, np.bool_)
        return np.asarray(ratings[RATING if self.what == "hard" else HURRY] > self.above, np.bool_)
