"""A tune and how it is to be played, whatever it is played on.

Public: Piece.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.weights import Weights
from solver.conditions import NONE, Conditions
from solver.style import Style
from tune.tune import Tune
from undersong.session import Session


def _usual(_: Instrument) -> Style:
    return Style()


@dataclass(frozen=True)
class Piece:
    """name: how the player named it; style: what she asks on an instrument, which in a bass part
    depends on its frets; the rest as ``Session.arrange`` takes it."""

    name: str
    tune: Tune
    hand: Hand = field(default_factory=Hand)
    weights: Weights = field(default_factory=Weights)
    conditions: Conditions = NONE
    style: Callable[[Instrument], Style] = _usual

    def session(self, instrument: Instrument) -> Session:
        return Session(
            self.tune, instrument=instrument, hand=self.hand, style=self.style(instrument)
        )
