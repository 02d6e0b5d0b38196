"""Hand states: what fingers and hand are like on one fretboard, and what no weight touches there.

Shapes are made of few distinct finger states (a fret, the strings it covers, how far from the
hand), hand places and ways to arrive at one. Whatever no weight touches is counted once for each
pair of them, with the scoring room's own functions. States are numbered as they come, and tables
grow by what is new; so layers, keys and tunings that come later count little anew.

Public: HandStates, Table, Needs, FINGERS, HAND, MARK_MOVES, MARK_LAID, MARK_STAYS, NEVER.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Ints, Shapes
from scoring.difficulty import percent
from scoring.move import FingerState, FingerWay, finger_states, shift_ms, tightest_gap
from solver.arrays import Rows, numbered

MARK_MOVES, MARK_LAID, MARK_STAYS = 1, 8, 64
"""What one finger does, so that one sum over the five tells how many move, lay anew, stay (so that
the hand need not shift)."""

NEVER = -1 << 14
"""ms of a finger that does not move: below nothing, whatever the hand adds; fits 16 bits."""

FINGERS = range(5)
HAND = 5
"""The kinds of state: one for each finger, and the place that the hand leaves."""

_ARRIVES = 6
"""The hand's place with the tightest gap there: what a shift arrives at."""

Needs = tuple[list[int], list[NDArray[np.int16]]]
"""See ``HandStates.needs``."""

Count = Callable[[FingerWay], NDArray[Any]]
"""What is counted of one finger's ways: (n, k) or (n, k, more)."""


@dataclass(frozen=True)
class _Strip:
    """The ways that came with the states ``old`` … ``end``: below: from those to all; beside: to
    those from the earlier ones."""

    old: int
    end: int
    below: FingerWay
    beside: FingerWay


class Table:
    """What is counted of one finger's ways from every state to every other."""

    def __init__(self, hands: "HandStates", finger: int, count: Count) -> None:
        self._hands, self._finger, self._count = hands, finger, count
        self._values: NDArray[Any] | None = None
        self._most = 0
        self._taken = 0

    @property
    def values(self) -> NDArray[Any]:
        """(states, states), or (states, states, more)."""
        self.grow()
        assert self._values is not None, "no shapes were numbered"
        return self._values

    def grow(self) -> None:
        """Counts what is new."""
        strips = self._hands.strips(self._finger)
        for strip in strips[self._taken :]:
            below = self._count(strip.below)
            self._most = max(self._most, int(below.max()))
            values = np.empty((strip.end, *below.shape[1:]), below.dtype)
            values[strip.old :] = below
            if self._values is not None:
                beside = self._count(strip.beside)
                self._most = max(self._most, int(beside.max()))
                values[: strip.old, : strip.old] = self._values
                values[: strip.old, strip.old :] = beside
            self._values, self._taken = values, self._taken + 1

    @property
    def most(self) -> int:
        """The greatest value, 0 at least."""
        self.grow()
        return self._most


class HandStates:
    """The states of one hand on one fretboard, however it is tuned."""

    def __init__(self, instrument: Instrument, hand: Hand) -> None:
        self.hand, self._spacing = hand, round(10 * instrument.spacing_mm)
        self._known: tuple[dict[tuple[int, ...], int], ...] = tuple({} for _ in range(7))
        self._strips: list[list[_Strip]] = [[] for _ in FINGERS]
        self._ms: Ints = np.zeros((0, 0), np.int32)
        self._pressures: dict[tuple[int, bool], list[Table]] = {}
        self._needs: dict[tuple[object, ...], list[Table]] = {}
        self._free: dict[tuple[int, bool], tuple[int, NDArray[np.int32]]] = {}
        self._shares: dict[tuple[int, int], NDArray[np.int16]] = {}
        self._times = self.tables(lambda way: way.ms)
        self._doings = self.tables(_doing)

    def numbered(self, shapes: Shapes) -> Rows:
        """(n, 7): the numbers of each finger's state, of the place that the hand leaves, and of how
        it arrives there."""
        state, place = finger_states(shapes), shapes.place
        columns = np.stack([state.fret, state.courses, state.along, state.gap], axis=2)
        rows = [columns[:, finger] for finger in FINGERS]
        rows += [place[:, None], np.stack([place, tightest_gap(shapes)], axis=1)]
        kinds = zip(rows, self._known, strict=True)
        return np.stack([numbered(own, known) for own, known in kinds], axis=1)

    @property
    def size(self) -> int:
        """Grows with every new state."""
        return sum(map(len, self._known))

    def tables(self, count: Count) -> list[Table]:
        """What ``count`` makes of each finger's ways."""
        return [Table(self, finger, count) for finger in FINGERS]

    def strips(self, finger: int) -> list[_Strip]:
        """The finger's ways between all states that are known by now."""
        strips, known = self._strips[finger], self._known[finger]
        old = strips[-1].end if strips else 0
        if old < len(known):
            states = np.array(list(known), np.int32)
            below = self._way(states[old:], states)
            strips.append(_Strip(old, len(states), below, self._way(states[:old], states[old:])))
        return strips

    def _way(self, before: Ints, after: Ints) -> FingerWay:
        """(n, k): from states (n, 4) to others (k, 4)."""
        return FingerWay(
            FingerState(*(column[:, None] for column in before.T)),
            FingerState(*(column[None, :] for column in after.T)),
            self.hand,
            self._spacing,
        )

    @property
    def ms(self) -> Ints:
        """(places, arrivals): of the hand's shift."""
        leaves, arrives = self._known[HAND], self._known[_ARRIVES]
        if self._ms.shape != (len(leaves), len(arrives)):
            from_, to = np.array(list(leaves), np.int32), np.array(list(arrives), np.int32)
            self._ms = shift_ms(from_, to[None, :, 0], to[None, :, 1], self.hand)
        return self._ms

    def pressures(self, ms: int, damped: bool) -> list[Table]:
        """Each finger's pressure."""
        key = (ms, damped)
        if key not in self._pressures:
            self._pressures[key] = self.tables(lambda way: way.pressure(ms, damped))
        return self._pressures[key]

    def pressed(self, ms: int, damped: bool) -> int:
        """The greatest pressure that occurs, 0 at least."""
        return max(table.most for table in self.pressures(ms, damped))

    def needs(self, ms: int, damped: bool) -> Needs:
        """(The lengths of time that a finger may have; for each finger (states, states, lengths)
        the ms that it needs from a state that leaves it just that time, else, and where it does not
        move, NEVER)."""
        lengths = self._lengths(ms, damped)
        key = (ms, damped, *lengths.tolist())
        if key not in self._needs:

            def needed(way: FingerWay) -> NDArray[np.int16]:
                own = way.free(ms, damped)[:, 0]
                there = way.moves[:, :, None] & (own[:, None, None] == lengths)
                if way.ms.max(initial=0) >= -NEVER:
                    raise ValueError("needs must fit 16 bits")
                return np.where(there, way.ms[:, :, None], NEVER).astype(np.int16)

            self._needs[key] = self.tables(needed)
        return lengths.tolist(), [table.values for table in self._needs[key]]

    def _lengths(self, ms: int, damped: bool) -> NDArray[np.int32]:
        """The lengths of time that a finger may have, ascending."""
        size = self.size
        if self._free.get((ms, damped), (-1, None))[0] != size:
            frees = [
                strip.below.free(ms, damped).reshape(-1)
                for finger in FINGERS
                for strip in self.strips(finger)
            ]
            self._free[ms, damped] = size, np.unique(np.concatenate(frees))
        return self._free[ms, damped][1]

    def shares(self, free: int) -> NDArray[np.int16]:
        """(ms + 1,): the percent of so much time that each ms is, as far as any move takes."""
        longest = int(self.ms.max()) + max(table.most for table in self._times)
        key = free, longest
        if key not in self._shares:
            takes = np.arange(longest + 1, dtype=np.int32)
            self._shares[key] = percent(takes, np.full_like(takes, free)).astype(np.int16)
        return self._shares[key]

    @property
    def doings(self) -> list[NDArray[np.int16]]:
        """What each finger does, of the marks, (states, states)."""
        return [table.values for table in self._doings]


def _doing(way: FingerWay) -> NDArray[np.int16]:
    return (
        np.where(way.moves, MARK_MOVES, 0).astype(np.int16)
        + np.where(way.lays, MARK_LAID, 0).astype(np.int16)
        + np.where(way.anchors, MARK_STAYS, 0).astype(np.int16)
    )
