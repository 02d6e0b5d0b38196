"""A tab that has other bars than its tune: which bars it is taken for, what is missing, what is too
much.

A part of a tune is taken for the first bars, unless it fits others far better.

Public: whole_trouble, bar_ranges, best_start, MISSING, BEYOND, WHOLE.
"""

from collections.abc import Callable, Iterable, Sequence
from itertools import groupby

from tune.tune import Tune
from undersong.handed.placing import PlacedTab, like_a_pickup
from undersong.handed.tab import SHAPES, Tab
from undersong.sheet.folding import leads

MISSING, BEYOND = "missing", "beyond"
"""What findings are called that say what the tab does not have, and what it has beyond the tune."""

WHOLE = frozenset((MISSING, BEYOND))
"""Findings about the tab as a whole: what is there may be sound all the same."""

MOST_TRIED = 20_000
"""Bars looked at to find where a part of a tune begins."""


def whole_trouble(tab: Tab, found: PlacedTab, tune: Tune) -> Iterable[tuple[str, str, bool]]:
    """(kind, sentence, whether it is a fault) for what the tab has too little or too much of.

    A part of the tune is no fault, nor is a bar left out in which nothing sounds."""
    loose = tab.form == SHAPES and not tab.barred
    there = [index for index in range(len(tune.bars)) if index not in found.missing]
    as_played = f", {len(tune.played)} as played" if len(tune.played) != len(tune.bars) else ""
    count = len(tab.bars[0].columns) if loose else len(tab.bars)
    thing = "shape" if loose else "bar"
    has = f"the tab has {count} {thing}{'s' * (count != 1)}"
    tunes = f"the tune {_bars(len(tune.bars))}{as_played}"
    how = "by chord names " * found.named or "in order " * loose
    if found.missing:
        yield (
            MISSING,
            f"{has}, and {tunes}; {'they are' if count != 1 else 'it is'} taken "
            f"{how}for {bar_ranges(tune, there)}, and "
            f"{bar_ranges(tune, found.missing)} {_is(found.missing)} missing",
            False,
        )
    if found.rests:
        yield (
            MISSING,
            f"{bar_ranges(tune, found.rests)} {_is(found.rests)} not in the tab, and nothing "
            "sounds there",
            False,
        )
    if found.extra:
        last = "the last" if found.extra == 1 else f"the last {found.extra}"
        yield (
            BEYOND,
            f"{has}, and {tunes}; {last} {'is' if found.extra == 1 else 'are'} beyond its end and "
            "left out",
            True,
        )


def bar_ranges(tune: Tune, indexes: Sequence[int]) -> str:
    """Written bars in words: ``bars 2 to 5 and bar 8``, ``the pickup and bar 1``."""
    told: list[str] = []
    for _, run in groupby(enumerate(sorted(indexes)), key=lambda pair: pair[1] - pair[0]):
        numbers = [tune.bars[index].number for _, index in run]
        if not numbers[0]:
            told.append("the pickup")
            numbers = numbers[1:]
        if len(numbers) == 1:
            told.append(f"bar {numbers[0]}")
        elif len(numbers) == 2:
            told.append(f"bars {numbers[0]} and {numbers[1]}")
        elif numbers:
            told.append(f"bars {numbers[0]} to {numbers[-1]}")
    return " and ".join([", ".join(told[:-1]), told[-1]] if told[1:] else told)


def best_start(tab: Tab, tune: Tune, misfits: Callable[[int], int]) -> int:
    """The written bar that a part of the tune begins with; misfits: how many notes do not fit where
    it begins at that bar."""
    room = len(tune.bars) - len(tab.bars)
    first = 1 if leads(tune)[0] and room and not like_a_pickup(tab) else 0
    if not 0 < room * len(tab.bars) <= MOST_TRIED:
        return first
    wrong = {start: misfits(start) for start in range(room + 1)}
    least = min(wrong, key=lambda start: (wrong[start], start != first, start))
    clearly = wrong[first] - wrong[least] >= 2 and 2 * wrong[least] <= wrong[first]
    return least if clearly else first


def _bars(count: int) -> str:
    return f"{count} bar{'s' * (count != 1)}"


def _is(indexes: Sequence[int]) -> str:
    return "is" if len(indexes) == 1 else "are"
