"""Names for the solver's arrays: row numbers, costs in whole ms, and what cannot be reached."""

import numpy as np
from numpy.typing import NDArray

Rows = NDArray[np.intp]
Cost = NDArray[np.int64]

FAR = np.int64(1) << 60
"""Marks what cannot be reached; no sum of real costs comes near it."""
