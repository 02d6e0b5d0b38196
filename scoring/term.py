"""What a cost term is: a name, a meaning, a price, and a function that counts.

A term's function returns whole, non-negative amounts that no weight touches; its cost is weight ×
amount, in ms of hand work. Three kinds, by what they look at: one moment (``StandTerm``), the move
between two shapes (``MoveTerm``), or the step of the bass line between two moments (``LineTerm``).
"""

from collections.abc import Callable
from dataclasses import dataclass

from scoring.choice import Ints, Stands
from scoring.moment import Moment
from scoring.move import Move


@dataclass(frozen=True)
class About:
    """name as the player writes it; unit of one amount; meaning: one line; source; default
    weight in ms per unit; limit: the highest weight allowed."""

    name: str
    unit: str
    meaning: str
    source: str
    default: int
    limit: int = 100_000


@dataclass(frozen=True)
class StandTerm:
    """Counts at one moment: amount(stands, moment) → (n,)."""

    about: About
    amount: Callable[[Stands, Moment], Ints]


@dataclass(frozen=True)
class MoveTerm:
    """Counts on the way from one shape to the next: amount(move) → (n,)."""

    about: About
    amount: Callable[[Move], Ints]


@dataclass(frozen=True)
class LineTerm:
    """Counts on the way from one stand to the next: amount(before, after, moment) → (n,).

    ``moment`` is the later one.
    """

    about: About
    amount: Callable[[Stands, Stands, Moment], Ints]


Term = StandTerm | MoveTerm | LineTerm
