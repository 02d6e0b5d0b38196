"""What every shape of the tune is to be like by itself, so that no other need be in the graph.

Limits that a moment holds by itself, and fingers that stay up throughout, rule out shapes whatever
comes before and after; a graph without those shapes is smaller and has the same answers. What is
left is told from the limits alone, so a reason why nothing is left needs the whole graph.

Public: Keeping, EVERY_SHAPE, shapes_left.
"""

from dataclasses import dataclass, replace

import numpy as np

from scoring.choice import Bools, Shapes
from scoring.counts import barred
from scoring.difficulty import stretch_difficulty
from solver.conditions import Conditions
from solver.conditions.bars import WHOLE
from solver.conditions.limits import Limits
from solver.conditions.pinned import FingerDown
from solver.conditions.pins import Pin


@dataclass(frozen=True)
class Keeping:
    """limits: those that every shape holds by itself, so neither time nor those of bars; up:
    fingers that stay up where anything sounds."""

    limits: Limits | None = None
    up: frozenset[int] = frozenset()

    @classmethod
    def of(cls, conditions: Conditions) -> "Keeping":
        """What the conditions ask of every shape."""
        limits = conditions.limits
        up = frozenset(finger for pin in conditions.pins if (finger := _up(pin)) is not None)
        return cls(None if limits is None else limits.of_shapes, up)

    def without(self, conditions: Conditions) -> Conditions:
        """What the conditions ask besides, of a graph of nothing else than this."""
        limits, pins = conditions.limits, conditions.pins
        if self.limits is not None and limits is not None:
            limits = Limits.of(time=limits.time, bars=limits.bars)
        if self.up:
            pins = tuple(pin for pin in pins if _up(pin) not in self.up)
        return replace(conditions, limits=limits, pins=pins)

    def stays_up(self, shapes: Shapes) -> Bools:
        """(shapes,): in which none of the fingers is down that stay up where anything sounds."""
        left = np.ones(len(shapes), np.bool_)
        for finger in self.up:
            left &= ~(shapes.fingers == finger).any(axis=1)
        return left


def _up(pin: Pin) -> int | None:
    """The finger that the pin keeps up throughout; None where it asks anything else."""
    whole = pin.forbid and pin.bars == WHOLE and pin.beat is None
    return pin.pinned.finger if whole and isinstance(pin.pinned, FingerDown) else None


EVERY_SHAPE = Keeping()
"""Every shape."""


def shapes_left(shapes: Shapes, limits: Limits) -> Bools:
    """(shapes,): which hold the limits that a shape holds by itself."""
    left = np.ones(len(shapes), np.bool_)
    if limits.fingers is not None:
        left &= (shapes.finger_fret >= 0).sum(axis=1) <= limits.fingers
    if limits.reach is not None:
        left &= stretch_difficulty(shapes) <= limits.reach
    if limits.fret is not None:
        left &= (shapes.finger_fret <= limits.fret).all(axis=1)
    if not limits.barred:
        left &= ~barred(shapes)
    return left
