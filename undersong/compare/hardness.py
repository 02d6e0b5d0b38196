"""How hard the bars of an answer are, in one place for whatever stands answers side by side.

Public: difficulty_of.
"""

from solver.result import Arrangement
from undersong.rated import rated_bars


def difficulty_of(arrangement: Arrangement) -> dict[int, int]:
    """Played bar's number → percent, for every bar in which a moment begins."""
    return rated_bars(
        arrangement.choices, arrangement.moments, arrangement.instrument, arrangement.hand
    )[0]
