"""Bars by what a page calls them: a number each, and a pickup, which has none of its own there.

A player who names a pickup by number types 0 (common practice, no source).

Public: bar_name, bars_named, bars_there, bar_runs, PICKUP.
"""

from collections.abc import Iterable, Sequence
from itertools import groupby

PICKUP = 0
"""What a pickup is numbered."""


def bar_name(number: int) -> str:
    """``bar 3``, ``the pickup``; number: as printed."""
    return f"bar {number}" if number else "the pickup"


def bars_named(numbers: Iterable[int]) -> str:
    """Each once, ascending: ``bar 4``, ``bars 1-3, 5``, ``the pickup and bar 1``."""
    each = sorted(set(numbers))
    bars = [number for number in each if number]
    told = ["the pickup"] if len(bars) < len(each) else []
    if bars:
        told.append(f"bar{'s' * (len(bars) > 1)} {', '.join(bar_runs(bars))}")
    return " and ".join(told)


def bars_there(numbers: Iterable[int]) -> str:
    """Which bars a tune has, for one who named none of them: ``bars 1 to 8``, ``bars 1 to 8 and a
    pickup (bar 0)``."""
    each = set(numbers)
    bars = sorted(each - {PICKUP})
    told = []
    if bars:
        told.append(f"bars {bars[0]} to {bars[-1]}" if bars[1:] else f"bar {bars[0]} alone")
    if PICKUP in each:
        told.append("a pickup (bar 0)")
    return " and ".join(told)


def bar_runs(bars: Sequence[int]) -> list[str]:
    """Bars that follow one another as one: ``1-3``, ``5``; bars: ascending."""
    parts = []
    for _, run in groupby(enumerate(bars), key=lambda item: item[1] - item[0]):
        inside = [number for _, number in run]
        parts.append(f"{inside[0]}-{inside[-1]}" if inside[1:] else f"{inside[0]}")
    return parts
