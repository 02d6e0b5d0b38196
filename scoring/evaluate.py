"""What a finished passage costs: every term's amount and cost, moment by moment, no solver.

Public: evaluate, Bill.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice, Stands, stands
from scoring.moment import Moment
from scoring.move import Move
from scoring.terms import (
    FINGER_TERMS,
    HAND_TERMS,
    LINE_TERMS,
    PAIR_TERMS,
    STAND_TERMS,
    TERMS,
    VOICE_TERMS,
)
from scoring.weights import Weights


@dataclass(frozen=True)
class Bill:
    """amounts: one mapping a moment, term name → amount, zeros left out. A move's amounts stand
    at the moment it arrives at. weights: what an amount costs."""

    amounts: tuple[dict[str, int], ...]
    weights: Weights

    @property
    def terms(self) -> dict[str, tuple[int, int]]:
        """Term name → (amount, cost in ms) over the whole passage, in the terms' order."""
        out = {}
        for term in TERMS:
            name = term.about.name
            amount = sum(row.get(name, 0) for row in self.amounts)
            out[name] = (amount, amount * self.weights[name])
        return out

    @property
    def total(self) -> int:
        """ms of hand work."""
        return sum(cost for _, cost in self.terms.values())

    def at(self, moment: int) -> int:
        """ms that one moment costs, the move that leads to it included."""
        return sum(amount * self.weights[name] for name, amount in self.amounts[moment].items())


def evaluate(
    choices: Sequence[Choice],
    moments: Sequence[Moment],
    instrument: Instrument,
    hand: Hand,
    weights: Weights,
) -> Bill:
    """The bill of a passage; the first shape is reached for free."""
    rows: list[dict[str, int]] = []
    passage = stands(choices, moments, instrument, hand)
    for index, (stand, moment) in enumerate(zip(passage, moments, strict=True)):
        row = {term.about.name: int(term.amount(stand, moment)[0]) for term in STAND_TERMS}
        if index:
            before, last = passage[index - 1], moments[index - 1]
            row |= _move_amounts(Move(before.shapes, stand.shapes, last.ms, last.damped))
            row |= _line_amounts(before, stand, moment)
        rows.append({name: amount for name, amount in row.items() if amount})
    return Bill(tuple(rows), weights)


def _move_amounts(move: Move) -> dict[str, int]:
    """Every amount of a single move between shapes."""
    before, after = move.before, move.after
    upper = (before.pitch[:, 1:], after.pitch[:, 1:])
    amounts = {term.about.name: int(term.amount(move.fingers).sum()) for term in FINGER_TERMS}
    amounts |= {term.about.name: int(term.amount(move.whole)[0]) for term in HAND_TERMS}
    amounts |= {term.about.name: int(term.amount(*upper).sum()) for term in VOICE_TERMS}
    amounts |= {term.about.name: int(term.amount(before, after)[0]) for term in PAIR_TERMS}
    return amounts


def _line_amounts(before: Stands, after: Stands, moment: Moment) -> dict[str, int]:
    """Every amount of a single step of the bass line."""
    struck = (after.role >= 0).astype(np.int32)
    return {
        term.about.name: int(term.amount(before.line, after.line, struck, moment)[0])
        for term in LINE_TERMS
    }
