"""Musical time: integer ticks, metres and tempi.

A quarter note is ``QUARTER`` ticks, a number that 2, 3, 5 and 7 divide deeply enough for every
tuplet and every note down to the 128th, so that nothing in the program ever rounds a duration.

Public: QUARTER, Metre, Tempo, ticks, quarters.
"""

from dataclasses import dataclass
from fractions import Fraction

from tune.errors import TuneError

QUARTER = 10080
"""Ticks in a quarter note (2^5 · 3^2 · 5 · 7)."""


def ticks(quarters: Fraction | int | str) -> int:
    """Ticks in a length given in quarter notes; TuneError when it is no whole number of ticks."""
    exact = Fraction(quarters) * QUARTER
    if exact.denominator != 1:
        raise TuneError(f"a length of {quarters} quarter notes is finer than a 128th-note tuplet")
    return exact.numerator


def quarters(length: int) -> Fraction:
    """A length in ticks as an exact number of quarter notes."""
    return Fraction(length, QUARTER)


@dataclass(frozen=True)
class Metre:
    """A time signature: ``beats`` over ``unit``, as written (6/8 is beats=6, unit=8).

    In compound metres (6, 9 or 12 over 8 or 16) the felt beat is three written units long.
    """

    beats: int
    unit: int

    def __post_init__(self) -> None:
        if not 1 <= self.beats <= 32:
            raise TuneError(f"a metre needs 1 to 32 beats in the bar, not {self.beats}")
        if self.unit not in (1, 2, 4, 8, 16, 32):
            raise TuneError(f"a metre counts in 1, 2, 4, 8, 16 or 32, not in {self.unit}")

    @property
    def compound(self) -> bool:
        return self.unit >= 8 and self.beats % 3 == 0 and self.beats > 3

    @property
    def beat(self) -> int:
        """Ticks in one felt beat."""
        unit = QUARTER * 4 // self.unit
        return unit * 3 if self.compound else unit

    @property
    def bar(self) -> int:
        """Ticks in a full bar."""
        return QUARTER * 4 * self.beats // self.unit

    @property
    def felt_beats(self) -> int:
        """Felt beats in the bar: 4 in 4/4, 2 in 6/8."""
        return self.bar // self.beat

    def __str__(self) -> str:
        return f"{self.beats}/{self.unit}"


@dataclass(frozen=True)
class Tempo:
    """``per_minute`` notes of ``beat`` ticks in a minute."""

    beat: int
    per_minute: int

    def __post_init__(self) -> None:
        if self.beat <= 0:
            raise TuneError("a tempo needs a beat longer than nothing")
        if not 10 <= self.per_minute <= 400:
            raise TuneError(
                f"a tempo lies between 10 and 400 beats a minute, not {self.per_minute}"
            )

    def milliseconds(self, length: int) -> int:
        """Milliseconds that ``length`` ticks last, rounded to the nearest."""
        scaled = 60_000 * length
        per = self.beat * self.per_minute
        return (2 * scaled + per) // (2 * per)
