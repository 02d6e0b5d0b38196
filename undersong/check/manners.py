"""Which written bars a condition means, and which bass manner is asked for in each, worked out for
the checker alone.

Public: bars_meant, manners_meant.
"""

from solver.conditions import Conditions
from solver.conditions.bars import Bars
from solver.conditions.pinned import BassManner
from tune.tune import Tune


def bars_meant(tune: Tune, bars: Bars) -> set[int]:
    """Indexes of the written bars, none where the tune has none of that name or number."""
    if bars.first is not None and bars.last is not None:
        numbers = range(bars.first, bars.last + 1)
        return {index for index, bar in enumerate(tune.bars) if bar.number in numbers}
    if not bars.section:
        return set(range(len(tune.bars)))
    starts = [index for index, bar in enumerate(tune.bars) if bar.section]
    ends = [*starts[1:], len(tune.bars)]
    return {
        index
        for start, end in zip(starts, ends, strict=False)
        if tune.bars[start].section.casefold() == bars.section.casefold()
        for index in range(start, end)
    }


def manners_meant(tune: Tune, asked: Conditions) -> dict[int, str]:
    """The manners that are fixed somewhere, by index of the written bar."""
    return {
        written: pin.pinned.manner
        for pin in asked.pins
        if isinstance(pin.pinned, BassManner)
        for written in bars_meant(tune, pin.bars)
    }
