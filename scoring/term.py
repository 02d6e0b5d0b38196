"""What a cost term is: a name, a meaning, a price, and a function that counts.

A term's function returns whole, non-negative amounts that no weight touches; its cost is weight ×
amount, in ms of hand work. Terms differ by what they look at:

    ShapeTerm   one hand shape, whatever sounds
    StandTerm   one moment: its shape, the bass note's role, what has been heard
    FingerTerm  one finger's way between two moments; counted for all five
    HandTerm    the hand's way between two moments
    VoiceTerm   one string above the bass between two moments; counted for all of them
    PairTerm    two whole shapes
    LineTerm    the bass line's step between two moments

The narrower a term looks, the faster a solver can tabulate it.

Public: Term, About, ShapeTerm, StandTerm, FingerTerm, HandTerm, VoiceTerm, PairTerm, LineTerm.
"""

from collections.abc import Callable
from dataclasses import dataclass

from scoring.choice import Ints, Shapes, Stands
from scoring.moment import Moment
from scoring.move import FingerWay, HandWay


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
class ShapeTerm:
    """amount(shapes) → (n,), from frets and fingers alone: the same however the strings are tuned
    and whichever are struck."""

    about: About
    amount: Callable[[Shapes], Ints]


@dataclass(frozen=True)
class StandTerm:
    """amount(stands, moment) → (n,)."""

    about: About
    amount: Callable[[Stands, Moment], Ints]


@dataclass(frozen=True)
class FingerTerm:
    """amount(way) → the way's shape."""

    about: About
    amount: Callable[[FingerWay], Ints]


@dataclass(frozen=True)
class HandTerm:
    """amount(way) → the way's shape."""

    about: About
    amount: Callable[[HandWay], Ints]


@dataclass(frozen=True)
class VoiceTerm:
    """amount(pitch before, pitch after) → their shape; -1 is a silent string."""

    about: About
    amount: Callable[[Ints, Ints], Ints]


@dataclass(frozen=True)
class PairTerm:
    """amount(shapes before, shapes after) → (n,)."""

    about: About
    amount: Callable[[Shapes, Shapes], Ints]


@dataclass(frozen=True)
class LineTerm:
    """amount(line before, line after, struck, moment) → their shape.

    Lines are pitches of the bass line, -1 for none yet; struck: a new bass note sounds; ``moment``
    is the later one.
    """

    about: About
    amount: Callable[[Ints, Ints, Ints, Moment], Ints]


Term = ShapeTerm | StandTerm | FingerTerm | HandTerm | VoiceTerm | PairTerm | LineTerm
