"""Names for the solver's arrays: row numbers, costs in whole ms, and what cannot be reached.

Whole costs are 64-bit. What is looked at pair by pair is kept in 32 bits (``Short``), relative to
some base, since the processor compares those several times as fast; where 32 bits might not hold
it, the same code runs in 64.

Public: Rows, Cost, Moves, FAR, SHORT_FAR, far_of, fits_short.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

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
