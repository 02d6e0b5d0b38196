"""How hard the bars of an answer are, in one place for whatever stands answers side by side.

Public: difficulty_of.
"""

from solver.result import Arrangement


def difficulty_of(arrangement: Arrangement) -> dict[int, int]:
    """Played bar's number → percent, for every bar in which a moment begins."""
    return arrangement.difficulty.by_bar
