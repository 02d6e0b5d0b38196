"""Names for the solver's arrays: row numbers, costs in whole ms, and what cannot be reached.

Whole costs are 64-bit. What is looked at pair by pair is kept in 32 bits (``Short``), relative to
some base, since the processor compares those several times as fast; where 32 bits might not hold
it, the same code runs in 64.

Public: Rows, Cost, Moves, FAR, SHORT_FAR, far_of, fits_short, distinct, numbered, spread.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from scoring.choice import Ints

Rows = NDArray[np.intp]
Cost = NDArray[np.int64]
Moves = NDArray[Any]
"""int32 or int64."""

FAR = np.int64(1) << 60
"""Marks what cannot be reached; no sum of real costs comes near it."""

SHORT_FAR = (1 << 30) - 1
"""The same in 32 bits; the sum of two still fits."""


def far_of(values: Moves) -> int:
    """What marks the unreachable in an array of that kind."""
    return SHORT_FAR if values.dtype == np.int32 else int(FAR)


def fits_short(most: int) -> bool:
    """Whether costs of at most ``most`` ms, either sign, can be told from SHORT_FAR."""
    return abs(most) < SHORT_FAR


def distinct(rows: Ints) -> tuple[Ints, Rows]:
    """The distinct rows in order, and every row's number among them."""
    if not len(rows):
        return rows, np.zeros(0, np.intp)
    low = rows.min(axis=0).astype(np.int64)
    spans = rows.max(axis=0) - low + 1
    assert np.prod(spans.astype(np.float64)) < 2.0**62, "a row must fit into one whole number"
    key = np.zeros(len(rows), np.int64)
    for column, least, span in zip(rows.T, low, spans, strict=True):
        key = key * span + (column - least)
    _, first, code = np.unique(key, return_index=True, return_inverse=True)
    return rows[first], code.reshape(-1).astype(np.intp)


def numbered(rows: Ints, known: dict[tuple[int, ...], int]) -> Rows:
    """Every row's number among the known ones, to which those that are new are added."""
    different, code = distinct(rows)
    numbers = [known.setdefault(tuple(each), len(known)) for each in different.tolist()]
    return np.array(numbers, np.intp)[code]


def spread(starts: Rows, ends: Rows) -> tuple[Rows, Rows]:
    """For ranges starts[i] … ends[i]: (i repeated, the members), one after another."""
    counts = ends - starts
    row = np.repeat(np.arange(len(starts)), counts)
    first = starts - (np.cumsum(counts) - counts)
    return row, np.arange(len(row)) + first[row]
