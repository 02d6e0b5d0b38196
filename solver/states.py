"""States: some layers' shapes by number: of their fingers and hand, and of the pitches they sound.

What is counted once for each pair of such states (``solver.hand_states``) is spread over moves by
look-up, a few rows at a time, to stay within the processor's cache.

Public: States, Coded, Spread, BLOCK, VOICES.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scoring.choice import Ints, Shapes
from solver.arrays import Moves, Rows, numbered
from solver.hand_states import HAND, HandStates

BLOCK = 1 << 15
"""How many moves are added up at a time."""

VOICES = HAND + 1
"""What a layer's shapes are numbered by, after each finger's state and the hand's: the pitches."""

Spread = Callable[[Moves, int], Moves]
"""A table of states, the number that it is read by → its entries, spread over moves."""


@dataclass(frozen=True)
class Coded:
    """A layer's shapes by state number, as they leave and as they arrive; (n,) for each finger,
    the hand, and the pitches above the bass."""

    before: tuple[Rows, ...]
    after: tuple[Rows, ...]

    def __len__(self) -> int:
        return len(self.before[0])

    @cached_property
    def present(self) -> list[tuple[Rows, Rows]]:
        """Of ``before``: the numbers that occur, and each shape's among those."""
        pairs = [np.unique(codes, return_inverse=True) for codes in self.before]
        return [(some, code.reshape(-1)) for some, code in pairs]


class States:
    """The states of the shapes on one instrument: of the hands on its fretboard, and the sets of
    pitches above the bass."""

    def __init__(self, hands: HandStates) -> None:
        self.hands = hands
        self._pitches: dict[tuple[int, ...], int] = {}

    @property
    def size(self) -> int:
        """Grows with every new state."""
        return self.hands.size + len(self._pitches)

    @property
    def pitches(self) -> Ints:
        """(sets, upper courses)."""
        return np.array(list(self._pitches), np.int32)

    def coded(self, shapes: Shapes, codes: Rows) -> Coded:
        """codes: (n, 7), see ``HandStates.numbered``."""
        voices = numbered(shapes.pitch[:, 1:], self._pitches)
        *fingers, leaves, arrives = np.ascontiguousarray(codes.T)
        return Coded((*fingers, leaves, voices), (*fingers, arrives, voices))

    def blocks(
        self, old: Coded, new: Coded, pairs: tuple[Rows, Rows] | None = None
    ) -> Iterator[tuple[slice, Spread]]:
        """A few moves at a time, (rows, shapes after), or (pairs,) of (tails, heads): which, and
        what spreads a table of states, with the number that it is read by, over those."""
        if pairs is not None:
            for start in range(0, len(pairs[0]), BLOCK):
                part = slice(start, start + BLOCK)
                tail, head = pairs[0][part], pairs[1][part]
                at: dict[int, Rows] = {}
                yield part, partial(_at, at, old.before, new.after, tail, head)
            return
        wide: dict[tuple[int, int], tuple[Moves, Moves]] = {}
        step = max(1, BLOCK // max(1, len(new)))
        for start in range(0, len(old), step):
            rows = slice(start, start + step)
            yield rows, partial(_rows_at, wide, old.present, new.after, rows)

    def doing(self, read: Spread) -> NDArray[Any]:
        """What the fingers do together, in marks, spread over the moves."""
        total = read(self.hands.doings[0], 0)
        for finger, table in enumerate(self.hands.doings[1:], 1):
            total += read(table, finger)
        return total


def _at(
    at: dict[int, Rows],
    before: Sequence[Rows],
    after: Sequence[Rows],
    tail: Rows,
    head: Rows,
    table: Moves,
    by: int,
) -> Moves:
    """The table's entries for single moves; at: where those of tables that were read before are,
    counted row by row, the same all the time."""
    if by not in at:
        at[by] = before[by][tail] * table.shape[1] + after[by][head]
    return np.take(table.reshape(-1, *table.shape[2:]), at[by], axis=0, mode="clip")


def _rows_at(
    wide: dict[tuple[int, int], tuple[Moves, Moves]],
    present: Sequence[tuple[Rows, Rows]],
    after: Sequence[Rows],
    rows: slice,
    table: Moves,
    by: int,
) -> Moves:
    """The table's entries for whole rows of moves; wide: tables that were spread over all columns
    before, each kept beside, so that its id stands for no other."""
    some, code = present[by]
    if (id(table), by) not in wide:
        wide[id(table), by] = table, np.take(table[some], after[by], axis=1)
    return np.take(wide[id(table), by][1], code[rows], axis=0, mode="clip")
