"""What came of making levels: one version each or the reason why not, and how good the set is.

Public: LevelSet, Made.
"""

from dataclasses import dataclass
from functools import cached_property

from scoring.difficulty import bar_difficulties
from solver.result import PROVEN, Arrangement
from undersong.levels.level import Level


@dataclass(frozen=True)
class Made:
    """level: what was asked; arrangement: None where there is none, and then why: one sentence,
    and nearest: what would do, one change each; raised: printed numbers of bars that had to be
    made harder so that an easier level can be met at all; alone: ms that this level costs at least
    by itself, None where it is not met; out_of_time: that there is none is not proven, and more
    time might have found one; unproven: it is not, though it was looked for; unsettled: there was
    no time to settle all of its shapes on one fingering."""

    level: Level
    arrangement: Arrangement | None = None
    why: str = ""
    nearest: tuple[str, ...] = ()
    raised: tuple[int, ...] = ()
    alone: int | None = None
    out_of_time: bool = False
    unproven: bool = False
    unsettled: bool = False

    @property
    def open(self) -> bool:
        """Whether it is not met, and that it cannot be is not proven."""
        return self.arrangement is None and (self.out_of_time or self.unproven)

    @cached_property
    def ratings(self) -> dict[int, int]:
        """Played bar's number → percent; empty where there is no arrangement."""
        here = self.arrangement
        if here is None:
            return {}
        return bar_difficulties(here.choices, here.moments, here.instrument, here.hand)

    @property
    def proven(self) -> bool:
        """Whether nothing better holds what this version was asked to hold."""
        return self.arrangement is not None and self.arrangement.proof.status == PROVEN


@dataclass(frozen=True)
class LevelSet:
    """made: every level, the easiest first; rounds: how often the search began again from the
    hardest; seconds: what it took."""

    made: tuple[Made, ...]
    rounds: int
    seconds: float

    @property
    def met(self) -> tuple[Made, ...]:
        """The levels that came out."""
        return tuple(one for one in self.made if one.arrangement is not None)

    @property
    def cost(self) -> int:
        """ms of all versions together, prices for differing from a neighbour included."""
        return sum(one.arrangement.asked_cost for one in self.met if one.arrangement is not None)

    @property
    def bound(self) -> int:
        """No nested set of these levels costs less ms: each costs that much by itself."""
        return sum(one.alone or 0 for one in self.met)

    @property
    def proven(self) -> bool:
        """Whether each version is the best under the ones above it."""
        return all(one.proven for one in self.met)

    @property
    def best(self) -> bool:
        """Whether no nested set of these levels costs less."""
        return self.cost == self.bound
