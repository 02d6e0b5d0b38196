"""What is to be proven, and what was found: the values between the session and the proof.

Public: Question, Apart, Found.
"""

from dataclasses import dataclass

from scoring.choice import Choice
from scoring.moment import Moment
from solver.conditions import Conditions
from solver.errors import ConditionError
from solver.graph import ChoiceGraph
from solver.passes import Costs, Outlook
from tune.tune import Tune


@dataclass(frozen=True)
class Apart:
    """Another answer, and in how many of the played bars at least an answer must differ from it
    as fretted (frets and strokes; other fingers alone are no difference). within: the played bars
    that count, None for all."""

    choices: tuple[Choice, ...]
    bars: int
    within: frozenset[int] | None = None

    def __post_init__(self) -> None:
        if self.bars < 1:
            raise ConditionError(f"answers differ in one bar at least, not in {self.bars}")


@dataclass(frozen=True)
class Question:
    """What is to be proven: the graph with its costs (pins applied), and what is asked of whole
    ways through it; apart: other answers to keep a distance from; ahead: the outlook over these
    costs where it is known already."""

    tune: Tune
    moments: tuple[Moment, ...]
    graph: ChoiceGraph
    costs: Costs
    conditions: Conditions
    apart: tuple[Apart, ...] = ()
    ahead: Outlook | None = None

    def __post_init__(self) -> None:
        if any(len(other.choices) != len(self.moments) for other in self.apart):
            raise ConditionError(
                "an answer to keep a distance from must be one of the same tune, manner and right "
                "hand"
            )

    @property
    def chain_only(self) -> bool:
        """Whether one way through is all that is asked."""
        return not self.conditions.reach_over_the_tune and not self.apart


@dataclass(frozen=True)
class Found:
    """nodes: the layers' own, one a moment; cost: ms asked, owed prices included; bound: no answer
    costs less; optimal: CP-SAT said OPTIMAL within what was kept and covered; free: ms of the
    cheapest way without conditions over the tune."""

    nodes: tuple[int, ...]
    cost: int
    bound: int
    optimal: bool
    free: int
