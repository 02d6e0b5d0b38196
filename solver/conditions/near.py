"""Near: as close as can be to these frets, at a price for each string that differs.

What is given is a tab that somebody wrote, a neighbour's version, an answer of last week: frets by
the place where they stand, nothing said of fingers, strokes and of strings left open to choice.

Public: Near, Placed, strings_apart, LONGEST.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from fretboard.frets import HIGHEST_SEMITONE
from scoring.choice import Choice
from scoring.moment import Moment
from solver.conditions.price import MOST_PRICE
from solver.conditions.wording import SILENT, Frets
from solver.errors import ConditionError

LONGEST = 100_000
"""Places that can be named."""


@dataclass(frozen=True)
class Placed:
    """bar: the played bar's number, from 1; offset: ticks from its start; frets: semitones above
    the nut a string, bass first, ``SILENT`` (-1) for a string that is not to sound there, None
    where nothing is said."""

    bar: int
    offset: int
    frets: Frets

    def __post_init__(self) -> None:
        if self.bar < 1 or self.offset < 0:
            raise ConditionError("near: bars are counted from 1, and nothing stands before a bar")
        if not self.frets:
            raise ConditionError(f"near: bar {self.bar}: no string is named")
        for fret in self.frets:
            if fret is not None and not SILENT <= fret <= HIGHEST_SEMITONE:
                raise ConditionError(
                    f"near: bar {self.bar}: a fret lies 0 to {HIGHEST_SEMITONE} semitones above "
                    f"the nut, or is -1 for a silent string, not {fret}"
                )


def _place(row: Placed) -> tuple[int, int]:
    return row.bar, row.offset


@dataclass(frozen=True)
class Near:
    """rows: frets by place, each place once; price: ms for each string that has another fret than
    the row says (or sounds where it says silent, or is silent where it says a fret).

    A row counts at the moment that begins at exactly its place; where none begins, it counts
    nowhere. The price is no work of the hand: the costliest moment (``Costliest``) does not see it.
    """

    rows: tuple[Placed, ...]
    price: int

    def __post_init__(self) -> None:
        if not 0 <= self.price <= MOST_PRICE:
            raise ConditionError(
                f"near: the price of a string that differs must lie between 0 and {MOST_PRICE} "
                f"ms, not {self.price}"
            )
        if not self.rows:
            raise ConditionError("near: name some frets to be near to")
        if len(self.rows) > LONGEST:
            raise ConditionError(f"near: at most {LONGEST} places can be named")
        if len({len(row.frets) for row in self.rows}) > 1:
            raise ConditionError("near: every place names the same number of strings")
        ordered = tuple(sorted(self.rows, key=_place))
        for before, after in pairwise(ordered):
            if _place(before) == _place(after):
                raise ConditionError(
                    f"near: bar {after.bar} has two rows for one place; keep one of them"
                )
        object.__setattr__(self, "rows", ordered)

    @property
    def courses(self) -> int:
        return len(self.rows[0].frets)

    @cached_property
    def at(self) -> dict[tuple[int, int], Frets]:
        """(bar, offset) → frets."""
        return {(row.bar, row.offset): row.frets for row in self.rows}

    def asked_at(self, moment: Moment) -> Frets | None:
        """The frets named for that moment; None where none are, and where nothing sounds.
        A melody's note that no chord goes with, in a pickup say, can be named as any other."""
        if moment.quiet:
            return None
        return self.at.get((moment.bar, moment.offset))

    @property
    def named(self) -> int:
        """How many strings are named in all."""
        return sum(fret is not None for row in self.rows for fret in row.frets)

    def __str__(self) -> str:
        strings = "string" if self.named == 1 else "strings"
        return (
            f"near the frets given for {self.named} {strings}, "
            f"{self.price} ms for each that differs"
        )


def strings_apart(
    near: Near, moments: Sequence[Moment], choices: Sequence[Choice]
) -> tuple[tuple[int, int], ...]:
    """(index of the moment, course) of every string that has another fret than is named."""
    found = []
    for index, (moment, choice) in enumerate(zip(moments, choices, strict=True)):
        for course, fret in enumerate(near.asked_at(moment) or ()):
            if fret is not None and choice.grip.frets[course] != fret:
                found.append((index, course))
    return tuple(found)
