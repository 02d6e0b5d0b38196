"""What is asked of a set: its tunes, the ways in which each may be played, what must hold.

Public: SetTune, SetAsked.
"""

from dataclasses import dataclass, field
from functools import cached_property

from fretboard.instrument import Instrument
from scoring.set_order import SetPrices
from solver.errors import ArrangeError
from tune.key import Key
from tune.tune import Tune
from undersong.advice.piece import Piece


@dataclass(frozen=True)
class SetTune:
    """One tune of a set. instruments: the ways it may be played in, tuned and capoed, as she would
    have them first; medley: the name of the tunes that it is played as one with, empty for none;
    transposed: semitones by which it was moved from where it is written."""

    piece: Piece
    instruments: tuple[Instrument, ...]
    medley: str = ""
    transposed: int = 0

    @property
    def title(self) -> str:
        return self.piece.tune.title or self.piece.name

    @property
    def tune(self) -> Tune:
        return self.piece.tune

    @property
    def begins(self) -> Key:
        """The key of its first bar."""
        return self.tune.bars[0].key

    @property
    def ends(self) -> Key:
        """The key of the last bar played."""
        return self.tune.bars[self.tune.played[-1].written].key


@dataclass(frozen=True)
class SetAsked:
    """tunes: in the order named; made_for: the instrument as it is strung; start: as it is tuned
    when she sits down, None where that is free; first, last: numbers of tunes, from 0; in_a_row: at
    most so many of one key; arranged: whether the tunes are arranged at all, else only strings,
    capos and keys count."""

    tunes: tuple[SetTune, ...]
    made_for: Instrument
    prices: SetPrices = field(default_factory=SetPrices)
    start: Instrument | None = None
    first: int | None = None
    last: int | None = None
    in_a_row: int | None = None
    arranged: bool = True

    def __post_init__(self) -> None:
        if not self.tunes:
            raise ArrangeError("a set has at least one tune")
        if self.first is not None and self.first == self.last and len(self.tunes) > 1:
            raise ArrangeError(
                f"{self.tunes[self.first].title} cannot be both first and last of "
                f"{len(self.tunes)} tunes; name another for one of the two"
            )
        if self.medleys and not self.arranged:
            raise ArrangeError("the joins of a medley want the tunes arranged")

    @cached_property
    def medleys(self) -> dict[str, frozenset[int]]:
        """Name → the tunes that are played as one, two or more."""
        names = dict.fromkeys(one.medley for one in self.tunes if one.medley)
        groups = {
            name: frozenset(at for at, one in enumerate(self.tunes) if one.medley == name)
            for name in names
        }
        return {name: group for name, group in groups.items() if len(group) > 1}
