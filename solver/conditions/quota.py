"""Quotas: at least or at most so many of something, over the tune or some of its bars.

Public: Quota, COUNTED.
"""

from dataclasses import dataclass
from types import MappingProxyType

from solver.conditions.bars import WHOLE, Bars
from solver.errors import ConditionError

COUNTED: MappingProxyType[str, str] = MappingProxyType(
    {
        "shifts": "moves in which the whole hand travels along the neck",
        "barred": "times a finger is laid across strings anew",
        "passing": "passing notes in the bass",
        "hard": "bars whose difficulty lies above a given one",
    }
)
"""What can be counted → what that is. A move belongs to the moment that it arrives at."""

MOST = 10_000


@dataclass(frozen=True)
class Quota:
    """what: a key of ``COUNTED``; least, most: None for no limit; above: for hard bars, the
    difficulty in percent (``scoring.difficulty``); bars: where it counts, every time through."""

    what: str
    least: int | None = None
    most: int | None = None
    above: int | None = None
    bars: Bars = WHOLE

    def __post_init__(self) -> None:
        if self.what not in COUNTED:
            raise ConditionError(
                f"nobody counts {self.what!r}; what can be counted is {', '.join(COUNTED)}"
            )
        if self.least is None and self.most is None:
            raise ConditionError(f"{self.what}: say at least or at most how many")
        for value in (self.least, self.most):
            if value is not None and not 0 <= value <= MOST:
                raise ConditionError(f"{self.what}: {value} must lie between 0 and {MOST}")
        if self.least is not None and self.most is not None and self.least > self.most:
            raise ConditionError(
                f"{self.what}: at least {self.least} and at most {self.most} cannot both hold"
            )
        if (self.what == "hard") != (self.above is not None):
            raise ConditionError("hard bars, and only they, need the difficulty that they exceed")
        if self.above is not None and not 0 <= self.above <= 1000:
            raise ConditionError(f"a difficulty lies between 0 and 1000 percent, not {self.above}")

    def holds(self, count: int) -> bool:
        return (self.least is None or count >= self.least) and (
            self.most is None or count <= self.most
        )

    def __str__(self) -> str:
        limits = [] if self.least is None else [f"at least {self.least}"]
        limits += [] if self.most is None else [f"at most {self.most}"]
        above = "" if self.above is None else f" above {self.above} %"
        what = "hard bars" if self.what == "hard" else self.what
        where = "" if self.bars == WHOLE else f", {self.bars}"
        return f"{' and '.join(limits)} {what}{above}{where}"
