"""The arrangement: everything that was asked and what came of it, as one frozen value.

Public: Arrangement, Proof, Taught, PROVEN, UNPROVEN.
"""

from dataclasses import dataclass
from functools import cached_property

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.difficulty import Rating, rate
from scoring.evaluate import Bill, evaluate
from scoring.moment import Moment
from scoring.weights import Weights
from solver.conditions import NONE, Conditions
from solver.conditions.cost import extra_cost
from solver.errors import ArrangeError
from solver.style import Style
from tune.tune import Tune

PROVEN = "proven best"
UNPROVEN = "best so far"


@dataclass(frozen=True)
class Proof:
    """How good the answer is known to be.

    status: ``PROVEN`` only when CP-SAT said OPTIMAL and the independent check found nothing, else
    ``UNPROVEN``; bound: no arrangement that holds the conditions costs less (ms, asked prices
    included; where the costliest moment comes first: none whose costliest moment is the least there
    is); gap: the answer's ``asked_cost`` above it (ms).
    """

    status: str
    bound: int
    gap: int

    def __post_init__(self) -> None:
        if self.status not in (PROVEN, UNPROVEN):
            raise ArrangeError(f"a proof is {PROVEN!r} or {UNPROVEN!r}, not {self.status!r}")
        if self.gap < 0 or (self.status == PROVEN and self.gap != 0):
            raise ArrangeError("a proven answer has no gap, and no gap is below nothing")


@dataclass(frozen=True)
class Taught:
    """Which of several versions an answer is, the easiest 1, and what it teaches in one line: words
    for the page, of which the search knows nothing."""

    number: int
    teaches: str

    def __post_init__(self) -> None:
        if self.number < 1:
            raise ArrangeError(f"a level's number is 1 or more, not {self.number}")
        if not self.teaches or self.teaches != " ".join(self.teaches.split()):
            raise ArrangeError("what a level teaches is one line of words")

    def __str__(self) -> str:
        return f"{self.number}: {self.teaches}"


@dataclass(frozen=True)
class Arrangement:
    """A tune as it is to be played: one choice for every moment; conditions: what was asked of it
    as a whole; level: which of several versions it is, None where it stands by itself."""

    tune: Tune
    instrument: Instrument
    hand: Hand
    style: Style
    weights: Weights
    moments: tuple[Moment, ...]
    choices: tuple[Choice, ...]
    proof: Proof
    conditions: Conditions = NONE
    level: Taught | None = None

    def __post_init__(self) -> None:
        if len(self.moments) != len(self.choices):
            raise ArrangeError("an arrangement has one choice for every moment")

    @cached_property
    def bill(self) -> Bill:
        """What it costs, by term and moment, computed without the solver."""
        return evaluate(self.choices, self.moments, self.instrument, self.hand, self.weights)

    @cached_property
    def difficulty(self) -> Rating:
        """How hard each bar is for the hand, which no weight touches."""
        return rate(self.choices, self.moments, self.instrument, self.hand)

    @property
    def cost(self) -> int:
        """ms of hand work in all."""
        return self.bill.total

    @cached_property
    def asked_cost(self) -> int:
        """ms of hand work and of all that the conditions put a price on."""
        return self.cost + extra_cost(
            self.conditions, self.tune, self.moments, self.choices, self.bill
        )
