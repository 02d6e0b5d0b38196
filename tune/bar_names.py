"""Bars by what a page calls them: a number each, and a pickup, which has none of its own there; and
the moments of a bar.

A player who names a pickup by number types 0 (common practice, no source).

Public: bar_name, bars_named, bars_there, bar_runs, beat_name, PICKUP.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import groupby
from types import MappingProxyType

PICKUP = 0
"""What a pickup is numbered."""

_PARTS = MappingProxyType(
    {
        Fraction(1, 2): "half a beat",
        Fraction(1, 3): "a third of a beat",
        Fraction(2, 3): "two thirds of a beat",
        Fraction(1, 4): "a quarter of a beat",
        Fraction(3, 4): "three quarters of a beat",
    }
)
"""Parts of a beat that have a name."""


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


def beat_name(tick: int, beat: int) -> str:
    """``beat 2``, ``half a beat after beat 2``, ``5/6 of a beat after beat 2``: another for every
    tick; tick: from the beginning of the full bar; beat: its length."""
    number, beyond = divmod(tick, beat)
    name = f"beat {number + 1}"
    if not beyond:
        return name
    part = Fraction(beyond, beat)
    return f"{_PARTS.get(part, f'{part} of a beat')} after {name}"
