"""Ratings and shifts of an answer's bars, as two mappings.

Public: rated_bars.
"""

from collections.abc import Sequence

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.difficulty import rate
from scoring.moment import Moment


def rated_bars(
    choices: Sequence[Choice], moments: Sequence[Moment], instrument: Instrument, hand: Hand
) -> tuple[dict[int, int], dict[int, int]]:
    """Played bar's number → its rating in percent, and → the shifts of the hand that lead to its
    moments."""
    rating = rate(choices, moments, instrument, hand)
    return rating.by_bar, {bar.bar: bar.shifts for bar in rating.bars}
