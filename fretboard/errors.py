"""What can go wrong with an instrument, a tuning or a hand, one sentence each.

Public: FretboardError.
"""


class FretboardError(ValueError):
    """An instrument, tuning, capo or hand that cannot be; the message names field and mend."""
