"""Quotas: at least or at most so many of something, over the tune or some of its bars.

Public: Quota, COUNTED.
"""

import re
from dataclasses import dataclass
from types import MappingProxyType

from solver.conditions.bars import WHOLE, Bars
from solver.conditions.limits import MOST_PERCENT
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

_WORDS = {
    "shift": "shifts", "shifts": "shifts", "barred": "barred", "barred shape": "barred",
    "barred shapes": "barred", "passing": "passing", "passing note": "passing",
    "passing notes": "passing", "hard": "hard", "hard bar": "hard", "hard bars": "hard",
}  # fmt: skip
"""What a player may type → what is counted."""

_TEXT = re.compile(
    r"([0-9]{1,6})\s+([a-z][a-z ]*?)(\s+(?:a|in each)\s+bar)?(?:\s+above\s+([0-9]{1,6})\s*%?)?"
    r"(?:\s*,\s*(.+))?",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Quota:
    """what: a key of ``COUNTED``; least, most: None for no limit; above: for hard bars, the
    difficulty in percent (``scoring.difficulty``); bars: where it counts, every time through; each:
    the limits hold in each of those bars by itself, each time through, not in all together."""

    what: str
    least: int | None = None
    most: int | None = None
    above: int | None = None
    bars: Bars = WHOLE
    each: bool = False

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
        if self.above is not None and not 0 <= self.above <= MOST_PERCENT:
            raise ConditionError(
                f"a difficulty lies between 0 and {MOST_PERCENT} percent, not {self.above}"
            )

    @classmethod
    def parse(cls, text: str, most: bool) -> "Quota":
        """``2 shifts, bars 9-16``, ``2 shifts a bar``, ``1 barred`` or ``2 hard above 80, B``;
        most: that many at most, else at least."""
        read = _TEXT.fullmatch(" ".join(text.split()))
        what = None if read is None else _WORDS.get(read.group(2).casefold())
        if read is None or what is None:
            raise ConditionError(
                f"{text!r}: write how many of what, and where, such as '2 shifts, bars 9-16', "
                "'1 barred', '3 passing' or '2 hard above 80, B'"
            )
        number, each, above, bars = int(read.group(1)), *read.group(3, 4, 5)
        return cls(
            what,
            least=None if most else number,
            most=number if most else None,
            above=None if above is None else int(above),
            bars=WHOLE if bars is None else Bars.parse(bars),
            each=each is not None,
        )

    def holds(self, count: int) -> bool:
        return (self.least is None or count >= self.least) and (
            self.most is None or count <= self.most
        )

    def excludes(self, other: "Quota") -> bool:
        """Whether no passage at all has so many as this asks at least and so few as the other asks
        at most: both count the same, the other no less of it and in no fewer bars."""
        if self.least is None or other.most is None or self.least <= other.most:
            return False
        as_much = (other.above or 0) <= (self.above or 0)
        as_far = other.bars in (self.bars, WHOLE)
        return (self.what, self.each) == (other.what, other.each) and as_much and as_far

    @property
    def typed(self) -> tuple[tuple[bool, str], ...]:
        """Its limits as they are typed, the least first: whether it is the most, and the text that
        ``parse`` reads again."""
        above = "" if self.above is None else f" above {self.above}"
        where = "" if self.bars == WHOLE else f", {self.bars}"
        each = " a bar" if self.each else ""
        return tuple(
            (most, f"{number} {self._noun(number)}{each}{above}{where}")
            for most, number in ((False, self.least), (True, self.most))
            if number is not None
        )

    def _noun(self, number: int | None) -> str:
        """What is counted, of so many."""
        return "shift" if self.what == "shifts" and number == 1 else self.what

    def __str__(self) -> str:
        limits = [] if self.least is None else [f"at least {self.least}"]
        limits += [] if self.most is None else [f"at most {self.most}"]
        above = "" if self.above is None else f" above {self.above} %"
        number = self.least if self.most is None else self.most
        what = self._noun(number)
        if self.what == "hard":
            what = "hard bar" if number == 1 else "hard bars"
        where = "" if self.bars == WHOLE else f", {self.bars}"
        each = " a bar" if self.each else ""
        return f"{' and '.join(limits)} {what}{each}{above}{where}"
