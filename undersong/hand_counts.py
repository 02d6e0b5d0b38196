"""What the left hand does from moment to moment, counted by the scoring room's own functions.

Public: hand_counts, HandCount.
"""

from dataclasses import dataclass

from scoring.choice import Shapes
from scoring.counts import barred, barred_anew, shifts
from scoring.difficulty import stretch_difficulty
from scoring.move import Move
from solver.result import Arrangement


@dataclass(frozen=True)
class HandCount:
    """Of one moment and the move to it. shift: the whole hand travels; laid: fingers are laid
    across strings that were not; stretch: percent of the greatest stretch."""

    shift: bool
    laid: bool
    stretch: int


def hand_counts(arrangement: Arrangement) -> tuple[HandCount, ...]:
    """One for each moment; the first is reached for free."""
    rows: list[HandCount] = []
    before: Shapes | None = None
    for index, choice in enumerate(arrangement.choices):
        shapes = Shapes.of([(choice.grip, choice.struck)], arrangement.instrument, arrangement.hand)
        stretch = int(stretch_difficulty(shapes)[0])
        if before is None:
            rows.append(HandCount(False, bool(barred(shapes)[0]), stretch))
        else:
            last = arrangement.moments[index - 1]
            move = Move(before, shapes, last.ms, last.damped)
            rows.append(HandCount(bool(shifts(move)[0]), bool(barred_anew(move)[0]), stretch))
        before = shapes
    return tuple(rows)
