"""Which bars as played are meant by bars as printed.

Public: passage.
"""

from tune.bar_names import bar_name, bars_there
from tune.tune import Tune
from undersong.sheet.errors import SheetError


def passage(tune: Tune, first: int, last: int, time: int | None = None) -> tuple[int, int]:
    """The played bars from the one printed as ``first`` on to the next that is printed as ``last``.

    time: which time through ``first`` is played; None for the time that leads to ``last`` soonest,
    the earliest of those. SheetError, one sentence, where there is no such passage.
    """
    for number in (first, last):
        if all(bar.number != number for bar in tune.bars):
            there = bars_there(bar.number for bar in tune.bars)
            raise SheetError(f"the tune has no bar {number}; it has {there}")
    if last < first:
        raise SheetError(
            f"{bar_name(last)} comes before bar {first}; write the lower bar first, {last}-{first}"
        )
    printed = [tune.bars[played.written].number for played in tune.played]
    starts = [
        at
        for at, number in enumerate(printed)
        if number == first and (at == 0 or printed[at - 1] != first or first == last)
    ]
    if time is not None:
        if not 1 <= time <= len(starts):
            often = "once" if len(starts) == 1 else f"{len(starts)} times"
            raise SheetError(f"{bar_name(first)} is played {often}; there is no time {time}")
        starts = [starts[time - 1]]
    found: list[tuple[int, int]] = []
    for start in starts:
        end = next((at for at in range(start, len(printed)) if printed[at] == last), None)
        if end is not None:
            found.append((start + 1, end + 1))
    if not found:
        raise SheetError(
            f"{bar_name(last)} is not played after {bar_name(first)} time {time}; name an "
            "earlier time"
        )
    return min(found, key=lambda bars: bars[1] - bars[0])
