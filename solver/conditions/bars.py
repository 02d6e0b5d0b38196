"""Some of a tune's bars, as a player names them: by printed number or by section.

Public: Bars, WHOLE.
"""

import re
from dataclasses import dataclass

from solver.errors import ConditionError
from tune.bar_names import bars_there
from tune.tune import Tune

_NUMBERS = re.compile(r"(?:bars?\s+)?([0-9]{1,4})(?:\s*[-–]\s*([0-9]{1,4}))?", re.IGNORECASE)
_SECTION = re.compile(r"section\s+(.+)", re.IGNORECASE)
_ALL = ("", "all", "whole tune")


@dataclass(frozen=True)
class Bars:
    """Bars ``first`` to ``last`` by the numbers that the page prints, or a section's; every time
    through. Nothing given means the whole tune."""

    first: int | None = None
    last: int | None = None
    section: str = ""

    def __post_init__(self) -> None:
        if (self.first is None) != (self.last is None):
            raise ConditionError("a range of bars has a first and a last one")
        if self.first is not None and self.last is not None and self.first > self.last:
            raise ConditionError(f"bars {self.first}-{self.last}: the first comes after the last")
        if self.first is not None and self.section:
            raise ConditionError("bars are named by number or by section, not both")

    @classmethod
    def parse(cls, text: str) -> "Bars":
        """``5``, ``5-8``, a section's name, ``all`` or nothing for the whole tune.

        Also what ``str`` gives: ``bars 5-8``, ``section A``. A section that has the name of
        something else here is ``section 5`` or ``section all``.
        """
        text = " ".join(text.split())
        if text.casefold() in _ALL:
            return cls()
        numbers = _NUMBERS.fullmatch(text)
        if numbers is None:
            section = _SECTION.fullmatch(text)
            return cls(section=section.group(1) if section else text)
        first, last = numbers.groups()
        return cls(int(first), int(last or first))

    def of(self, tune: Tune) -> frozenset[int]:
        """Indexes of the written bars; ConditionError where the tune has none of them, or where
        the numbers go beyond its last."""
        found: set[int] = set()
        section = ""
        for index, bar in enumerate(tune.bars):
            section = bar.section or section
            if self.first is not None and self.last is not None:
                inside = self.first <= bar.number <= self.last
            else:
                inside = not self.section or section.casefold() == self.section.casefold()
            if inside:
                found.add(index)
        if not found:
            raise ConditionError(f"the tune has no {self}; {_what_it_has(tune)}")
        last = max(bar.number for bar in tune.bars)
        if self.last is not None and self.last > last:
            raise ConditionError(
                f"{self}: the tune has no bar {self.last}; {_what_it_has(tune)}, so write "
                f"{Bars(self.first, last)}"
            )
        return frozenset(found)

    def __str__(self) -> str:
        if self.section:
            return f"section {self.section}"
        if self.first is None:
            return "whole tune"
        if self.first == self.last:
            return f"bar {self.first}"
        return f"bars {self.first}-{self.last}"


WHOLE = Bars()
"""The whole tune."""


def _what_it_has(tune: Tune) -> str:
    sections = list(dict.fromkeys(bar.section for bar in tune.bars if bar.section))
    named = f", and the sections {', '.join(sections)}" if sections else ", and names no section"
    return f"it has {bars_there(bar.number for bar in tune.bars)}{named}"
