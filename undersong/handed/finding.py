"""A finding in a tab, and what the tab is held against.

Public: Finding, Subject.
"""

from dataclasses import dataclass

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.moment import Moment
from solver.style import Style
from tune.tune import Tune
from undersong.handed.numbers import PLAIN, Numbering, written_number


@dataclass(frozen=True)
class Finding:
    """bar: of the tab, from 0, -1 for the tab as a whole; where: in words, such as
    ``bar 3, beat 2``; line, column: of the text, 0 where it has none; kind: a word for programs;
    words: the sentence; fault: else it is a remark; course: the string, -1 where it is not one;
    fret: what that string has, -1 where nothing is said of it; moment: of the tune, where the
    finding is of a note; tick, played: where in which played bar, 0 for the tab as a whole; again:
    where the same is said of several bars, one of each, in the order of the tab; written_fingers:
    it is said of the fingers that are written, and other ones can stop the shape; shape: the frets
    that it is said of, where it is said of all of them, None where nothing is known; typed: which
    of them begin there."""

    bar: int
    where: str
    line: int
    column: int
    kind: str
    words: str
    fault: bool
    course: int = -1
    fret: int = -1
    moment: Moment | None = None
    tick: int = 0
    played: int = 0
    again: tuple["Finding", ...] = ()
    written_fingers: bool = False
    shape: tuple[int | None, ...] = ()
    typed: tuple[bool, ...] = ()

    def __str__(self) -> str:
        return f"{self.where}: {self.words}"

    @property
    def bar_name(self) -> str:
        """The bar, or bars, in words."""
        return self.where.partition(",")[0]

    @property
    def places(self) -> tuple[str, ...]:
        """Every place of which it is said, in words, as it was typed there."""
        return tuple(one.where for one in self.again) or (self.where,)


@dataclass(frozen=True)
class Subject:
    """What a tab is held against; numbering: how frets are written in what is said of it."""

    tune: Tune
    instrument: Instrument
    hand: Hand
    style: Style
    moments: tuple[Moment, ...]
    numbering: Numbering = PLAIN

    def label(self, fret: int) -> str:
        """A fret's number as the tab writes them."""
        return written_number(fret, self.numbering)
