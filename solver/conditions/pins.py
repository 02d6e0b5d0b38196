"""Pins: what the player fixes or forbids somewhere.

Public: Pin.
"""

from dataclasses import dataclass

from solver.conditions.bars import Bars


@dataclass(frozen=True)
class Pin:
    """bars: where, every time through; what, value: what is fixed; forbid: it is forbidden."""

    bars: Bars
    what: str
    value: str
    forbid: bool = False
