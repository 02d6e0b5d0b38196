"""How difficult a tune is, in words made from its rating's numbers.

Public: difficulty_words, bar_words, parts_words.
"""

from scoring.difficulty import BarRating, Parts
from solver.result import Arrangement
from tune.tune import Tune
from undersong.compared import printed_bars


def difficulty_words(arrangement: Arrangement) -> str:
    """The hardest bar with its reasons, and the median."""
    rating = arrangement.difficulty
    if not rating.hardest:
        return "Difficulty: none, the hand need not move."
    return (
        f"Difficulty: hardest {rating.hardest} %, median {rating.median} % of what this hand can "
        f"do. Hardest is {bar_words(rating.hardest_bar, arrangement.tune)}."
    )


def bar_words(bar: BarRating, tune: Tune) -> str:
    """Such as ``bar 7: a reach of 92 % of your greatest, and 0.4 s to make it``."""
    return f"bar {printed_bars(tune, (bar.bar,))}: {parts_words(bar.parts)}"


def parts_words(parts: Parts) -> str:
    """What decides, time or reach, and what comes on top of it."""
    more = ["a shift of the hand"] if parts.shift else []
    more += ["a finger laid across strings"] if parts.laid else []
    if parts.fingers:
        more.append(f"{parts.fingers} finger{'s' * (parts.fingers > 1)} put down")
    if parts.stretch > parts.hurry:
        told = f"a reach of {parts.stretch} % of your greatest, {_time(parts)}"
    elif parts.needed:
        told = f"{_seconds(parts.needed)} of movement, and {_seconds(parts.time)} to make it"
    elif not more:
        return "nothing to move or to stretch"
    else:
        return ", ".join(more)
    return f"{told} ({', '.join(more)})" if more else told


def _time(parts: Parts) -> str:
    if parts.needed:
        return f"and {_seconds(parts.time)} to make it"
    return "held on from the moment before" if parts.time else "made before the tune begins"


def _seconds(ms: int) -> str:
    """Two decimals below a second, one above; never 0 where there is something."""
    if ms >= 1000:
        return f"{ms / 1000:.1f} s"
    return f"{ms / 1000:.2f} s" if ms >= 10 else f"{ms / 1000:.3f} s"
