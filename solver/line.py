"""The bass line's rules: where a foreign bass note comes from, and where it must go on to.

A passing note comes by a step and goes on by a step the same way; a neighbour note goes back to the
note that it decorates; an approach note, wherever it comes from, goes by a step to the root (or the
slash bass) of the chord that begins. A step is one or two semitones. How a foreign note goes on is
its ``going``, a code; bass notes of the chord's own go straight on, that is anywhere.

The rules are written down once, as semitones; ``comes`` and ``goes`` ask them for one note,
``COMES`` and ``GOES`` hold them as tables for whole arrays of notes.

Public: the codes, RETURN_BY, COMES_BY, GOES_BY, TARGETS, ways_on, comes, goes, COMES, GOES, column.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from scoring.choice import Bools

STRAIGHT, PASSING_UP, PASSING_DOWN, APPROACH = 0, 1, 2, 7
RETURN_BY = {3: -2, 4: -1, 5: 1, 6: 2}
"""Neighbour codes → semitones back to the note that it decorates."""

UP, DOWN = frozenset({1, 2}), frozenset({-1, -2})

COMES_BY = {PASSING_UP: UP, PASSING_DOWN: DOWN} | {
    code: frozenset({-by}) for code, by in RETURN_BY.items()
}
"""Going → semitones by which such a note comes; codes left out come from anywhere, or nowhere."""

GOES_BY = {PASSING_UP: UP, PASSING_DOWN: DOWN, APPROACH: UP | DOWN} | {
    code: frozenset({by}) for code, by in RETURN_BY.items()
}
"""Going → semitones by which such a note goes on; straight on is anywhere."""

TARGETS = ("root", "slash bass")
"""What an approach note leads to."""

WIDEST = 3
"""Semitones from which on all are alike to the rules."""


def ways_on(role: str, leads: bool) -> tuple[int, ...]:
    """The codes that a bass note of that role may have; leads: whether the next bass note is the
    first of another chord."""
    if role == "passing":
        return PASSING_UP, PASSING_DOWN
    if role == "neighbour":
        return tuple(RETURN_BY)
    if role == "approach":
        return (APPROACH,) if leads else ()
    return (STRAIGHT,)


def comes(going: int, line: int, pitch: int) -> bool:
    """Whether a note of that pitch with that going may follow the bass note ``line`` (-1: none)."""
    return going not in COMES_BY or (line >= 0 and pitch - line in COMES_BY[going])


def goes(going: int, line: int, pitch: int, role: str, change: bool) -> bool:
    """Whether the bass note ``line`` with that going may go on to this one of the chord's own;
    change: whether the chord begins here."""
    if going == STRAIGHT:
        return True
    lands = going != APPROACH or (change and role in TARGETS)
    return lands and pitch - line in GOES_BY[going]


def _table(rules: dict[int, frozenset[int]]) -> Bools:
    """(codes, columns): whether a code's rule allows those semitones."""
    steps = range(-WIDEST, WIDEST + 1)
    return np.array(
        [[code not in rules or by in rules[code] for by in steps] for code in range(APPROACH + 1)]
    )


COMES, GOES = _table(COMES_BY), _table(GOES_BY)
"""(codes, columns): the rules; see ``column``."""


def column(semitones: NDArray[Any]) -> NDArray[np.intp]:
    """Where those semitones stand in the tables."""
    return np.asarray(np.clip(semitones, -WIDEST, WIDEST) + WIDEST, np.intp)
