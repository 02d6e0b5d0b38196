"""What a condition may cost where breaking it has a price.

Public: MOST_PRICE.
"""

MOST_PRICE = 1_000_000
"""ms: the highest price that may be asked for one bar, shape or string."""
