"""What a finished passage costs: every term's amount and cost, moment by moment, no solver.

Moments that ask the same are counted together, as a solver counts a whole layer.

Public: evaluate, Bill.
"""

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice, Ints, Stands, stands
from scoring.moment import Moment
from scoring.move import Move
from scoring.term import Term
from scoring.terms import (
    FINGER_TERMS,
    HAND_TERMS,
    LINE_TERMS,
    PAIR_TERMS,
    SHAPE_TERMS,
    STAND_TERMS,
    TERMS,
    VOICE_TERMS,
)
from scoring.weights import Weights

Key = TypeVar("Key", bound=Hashable)
Rows = NDArray[np.intp]
Table = dict[str, Ints]
"""Term name → (moments,) its amounts."""

_BY_LOOK: tuple[Term, ...] = (
    *SHAPE_TERMS,
    *STAND_TERMS,
    *FINGER_TERMS,
    *HAND_TERMS,
    *VOICE_TERMS,
    *PAIR_TERMS,
    *LINE_TERMS,
)


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
    passage = stands(choices, moments, instrument, hand)
    table: Table = {term.about.name: np.zeros(len(moments), np.int32) for term in _BY_LOOK}
    for shape in SHAPE_TERMS:
        table[shape.about.name][:] = shape.amount(passage.shapes)
    for moment, rows in _alike([replace(m, bar=0, written=0, offset=0) for m in moments]):
        _count_stands(table, passage.take(rows), rows, moment)
        _count_lines(table, passage, rows[rows > 0], moment)
    for (ms, damped), rows in _alike([(moment.ms, moment.damped) for moment in moments[:-1]]):
        shapes = passage.shapes
        _count_moves(table, Move(shapes.take(rows), shapes.take(rows + 1), ms, damped), rows + 1)
    named = [(name, column.tolist()) for name, column in table.items() if column.any()]
    return Bill(
        tuple(
            {name: column[index] for name, column in named if column[index]}
            for index in range(len(moments))
        ),
        weights,
    )


def _alike(keys: Sequence[Key]) -> Iterator[tuple[Key, Rows]]:
    """Each different key, and where it stands."""
    places: dict[Key, list[int]] = {}
    for index, key in enumerate(keys):
        places.setdefault(key, []).append(index)
    for key, found in places.items():
        yield key, np.array(found, np.intp)


def _count_stands(table: Table, passage: Stands, rows: Rows, moment: Moment) -> None:
    for stand in STAND_TERMS:
        table[stand.about.name][rows] = stand.amount(passage, moment)


def _count_moves(table: Table, move: Move, rows: Rows) -> None:
    """The moves that arrive at the rows."""
    before, after = move.before, move.after
    upper = (before.pitch[:, 1:], after.pitch[:, 1:])
    for finger in FINGER_TERMS:
        table[finger.about.name][rows] = finger.amount(move.fingers).sum(axis=1)
    for whole in HAND_TERMS:
        table[whole.about.name][rows] = whole.amount(move.whole)
    for voice in VOICE_TERMS:
        table[voice.about.name][rows] = voice.amount(*upper).sum(axis=1)
    for pair in PAIR_TERMS:
        table[pair.about.name][rows] = pair.amount(before, after)


def _count_lines(table: Table, passage: Stands, rows: Rows, moment: Moment) -> None:
    """The steps of the bass line that arrive at the rows."""
    struck = (passage.role[rows] >= 0).astype(np.int32)
    steps = passage.line[rows - 1], passage.line[rows], struck
    for term in LINE_TERMS:
        table[term.about.name][rows] = term.amount(*steps, moment)
