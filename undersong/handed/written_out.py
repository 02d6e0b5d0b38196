"""A part of a tune whose repeats are written out: which times through its bars are.

Its bars are held against the tune as it is played, some left out before, after or between them, and
this is taken where it fits far better than the tune as it is written down. Several bars beyond the
written ones are taken so where they fit at all; one alone is a slip of the pen.

Public: Order, as_played, written_out.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

from tune.errors import TuneError
from tune.played import unfold
from tune.tune import Tune
from undersong.handed.placing import PlacedTab
from undersong.handed.tab import Tab
from undersong.handed.whole import CLEARLY, MOST_TRIED, best_of, far_less

Order = Sequence[tuple[int, int]]
"""(played bar's number, index of the tab's bar) in playing order."""

Misfits = Callable[[Tab, Order], Counter[int]]
"""Bar of the tab → how many notes do not fit where its bars are placed so."""


def written_out(
    tab: Tab, found: PlacedTab, tune: Tune, wrong: int, misfits: Misfits
) -> Order | None:
    """The played bars that the tab's are, where that is better than as it was placed; wrong: how
    many notes do not fit there."""
    several = found.extra if found.extra > 1 else 0
    if len(tune.played) == len(tune.bars) or not (wrong or several):
        return None
    numbers = sorted(number for played in found.played.values() for number in played)
    there = sorted({tune.played[number - 1].written for number in numbers})
    gaps = sum(after - before > 1 for before, after in pairwise(there))
    best = as_played(tab, tune, misfits)
    if best is None:
        return None
    other, nowhere, order = best
    worth = max(0, wrong - nowhere) + CLEARLY * gaps
    if several:
        return order if worth + CLEARLY * several - other >= CLEARLY else None
    return order if far_less(other, worth) else None


def as_played(tab: Tab, tune: Tune, misfits: Misfits) -> tuple[int, int, Order] | None:
    """(notes that would fit elsewhere, and ``CLEARLY`` for each gap; how many notes of the tab fit
    nowhere, and so say nothing of the order; the best order): the tab's own repeats followed, or
    none left; None where it has as many bars as are played, or more."""
    ways: list[tuple[int, int, Order]] = []
    for indexes in _orders(tab):
        many, room = len(indexes), len(tune.played) - len(indexes)
        if not 0 < room * many <= MOST_TRIED:
            continue
        plain = replace(
            tab,
            bars=tuple(
                replace(tab.bars[index], repeat_start=False, repeat_times=1, endings=())
                for index in indexes
            ),
        )
        wrong = [
            misfits(plain, [(start + bar + 1, bar) for bar in range(many)])
            for start in range(room + 1)
        ]
        least = Counter({bar: min(each[bar] for each in wrong) for bar in range(many)})
        worth, bars = best_of([each - least for each in wrong], plain.bars, 0)
        nowhere = sum({index: least[bar] for bar, index in enumerate(indexes)}.values())
        order = [(bar + 1, index) for bar, index in zip(bars, indexes, strict=True)]
        ways.append((worth, nowhere, order))
    return min(ways, key=lambda way: way[0], default=None)


def _orders(tab: Tab) -> list[list[int]]:
    """The tab's bars with its repeats followed, and as they stand."""
    written = list(range(len(tab.bars)))
    try:
        followed = [bar.written for bar in unfold(tab.bars)]
    except TuneError:
        return [written]
    return [followed] if followed == written else [followed, written]
