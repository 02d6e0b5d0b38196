"""A tab that has other bars than its tune: which bars it is taken for, what is missing, what is too
much.

A part of a tune is taken for the first bars, unless it fits others far better, or some with others
left out between them.

Public: whole_trouble, bar_ranges, missing_words, best_bars, best_of, best_beyond, far_less,
MISSING, BEYOND, WHOLE, CLEARLY, MOST_TRIED.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from itertools import groupby

from tune.bar_names import PICKUP, bar_name
from tune.tune import Tune
from undersong.handed.placing import PlacedTab, like_a_pickup, room_for
from undersong.handed.tab import SHAPES, Tab, TabBar
from undersong.handed.times import time_of
from undersong.sheet.folding import leads
from undersong.sheet.text_signs import ordinal
from undersong.wording import listed

MISSING, BEYOND = "missing", "beyond"
"""What findings are called that say what the tab does not have, and what it has beyond the tune."""

WHOLE = frozenset((MISSING, BEYOND))
"""Findings about the tab as a whole: what is there may be sound all the same."""

MOST_TRIED = 20_000
"""Bars looked at to find which part of a tune a tab is."""

CLEARLY = 2
"""Notes that must fit better where a part is not the first bars, and for each gap in it."""


def whole_trouble(tab: Tab, found: PlacedTab, tune: Tune) -> Iterable[tuple[str, str, bool]]:
    """(kind, sentence, whether it is a fault) for what the tab has too little or too much of.

    A part of the tune is no fault, nor is a bar left out in which nothing sounds."""
    loose = tab.form == SHAPES and not tab.barred
    there = [index for index in range(len(tune.bars)) if index not in found.missing]
    as_played = f", {len(tune.played)} as played" if len(tune.played) != len(tune.bars) else ""
    count = len(tab.bars[0].columns) if loose else len(tab.bars)
    thing = "shape" if loose else "bar"
    has = f"the tab has {count} {thing}{'s' * (count != 1)}"
    pickup = " with its pickup" if leads(tune)[0] else ""
    tunes = f"the tune {_bars(len(tune.bars))}{pickup}{as_played}"
    how = "by chord names " * found.named or "in order " * loose
    if found.missing or found.times_missing:
        as_what = f"{how}for {bar_ranges(tune, there)}"
        if found.times_missing:
            as_what += " as they are played"
        yield (
            MISSING,
            f"{has}, and {tunes}; {'they are' if count != 1 else 'it is'} taken "
            f"{as_what}, and {missing_words(tune, found.missing, found.times_missing)} "
            f"{_is((*found.missing, *found.times_missing))} missing",
            False,
        )
    if found.rests:
        yield (
            MISSING,
            f"{bar_ranges(tune, found.rests)} {_is(found.rests)} not in the tab, and nothing "
            "sounds there",
            False,
        )
    if found.extra and found.beyond.stop not in (0, len(tab.bars)):
        numbers = f"bar {found.beyond.start + 1}"
        if found.extra > 1:
            to = "and" if found.extra == 2 else "to"
            numbers = f"bars {found.beyond.start + 1} {to} {found.beyond.stop}"
        yield (
            BEYOND,
            f"{has}, and {tunes}; {numbers} of the tab (line {tab.bars[found.beyond.start].line}) "
            f"{'fits' if found.extra == 1 else 'fit'} no bar of the tune and "
            f"{'is' if found.extra == 1 else 'are'} left out",
            True,
        )
    elif found.extra:
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
            told.append(bar_name(PICKUP))
            numbers = numbers[1:]
        if len(numbers) == 1:
            told.append(bar_name(numbers[0]))
        elif len(numbers) == 2:
            told.append(f"bars {numbers[0]} and {numbers[1]}")
        elif numbers:
            told.append(f"bars {numbers[0]} to {numbers[-1]}")
    return listed(told)


def missing_words(tune: Tune, missing: Sequence[int], times: Sequence[int] = ()) -> str:
    """``bar 1 and bars 5 to 8 (2nd time)``; missing: written bars; times: the numbers of played
    bars that are there another time."""
    told = [bar_ranges(tune, missing)] if missing else []
    by_time: dict[int, list[int]] = {}
    for number, time in time_of(tune).items():
        if number in times:
            by_time.setdefault(time, []).append(tune.played[number - 1].written)
    told += [
        f"{bar_ranges(tune, by_time[time])} ({ordinal(time)} time)" for time in sorted(by_time)
    ]
    return " and ".join(told)


def best_bars(
    tab: Tab, tune: Tune, misfits: Callable[[Sequence[int]], Counter[int]]
) -> Sequence[int]:
    """The written bars that a part of the tune is of, one for each of the tab's; misfits: bar of
    the tab → how many notes do not fit where its bars are taken for those."""
    many = len(tab.bars)
    room = len(tune.bars) - many
    first = 1 if leads(tune)[0] and room and not like_a_pickup(tab) else 0
    in_a_row = [range(start, start + many) for start in range(room + 1)]
    if not 0 < room * many <= MOST_TRIED:
        return in_a_row[first] if room >= first else ()
    return best_of([misfits(bars) for bars in in_a_row], tab.bars, first)[1]


def best_of(
    wrong: Sequence[Counter[int]], bars_typed: Sequence[TabBar], first: int
) -> tuple[int, Sequence[int]]:
    """(notes that do not fit, and ``CLEARLY`` for each gap; which bars those of the tab are);
    wrong: bar of the tab → how many notes do not fit where so many are left out before the first;
    first: so many are, unless others fit far better."""
    many = len(bars_typed)
    total = [each.total() for each in wrong]
    least = min(range(len(wrong)), key=lambda start: (total[start], start != first, start))
    start = least if far_less(total[least], total[first]) else first
    gaps, missed, _, bars = _with_gaps(wrong, bars_typed)
    if total[start] - missed >= CLEARLY * gaps and 2 * missed <= total[start]:
        return missed + CLEARLY * gaps, bars
    return total[start], range(start, start + many)


def best_beyond(
    tab: Tab, tune: Tune, misfits: Callable[[Sequence[int], range], Counter[int]]
) -> tuple[Sequence[int], range]:
    """(the written bars that a tab with as many bars as the tune, or more, is of, the bars of the
    tab that are none of them): the last ones, unless others in a row fit far worse, or the pickup
    is missing; misfits: bar of the tab → how many notes do not fit where its bars are taken so."""
    whole = list(range(len(tune.bars)))
    ways: list[tuple[int, tuple[Sequence[int], range]]] = []
    for there in (whole, whole[1:]) if leads(tune)[0] and not like_a_pickup(tab) else (whole,):
        room = room_for(len(tab.bars), there, tune)
        extra = len(tab.bars) - room
        before = misfits(there, range(room, len(tab.bars)))
        after = misfits(there, range(extra))
        wrong = [
            sum(before[bar] for bar in range(start))
            + sum(after[bar] for bar in range(start + extra, len(tab.bars)))
            for start in range(room + 1)
        ]
        start = min(range(room + 1), key=lambda at: (wrong[at], -at))
        if not far_less(wrong[start], wrong[-1]):
            start = room
        ways.append((wrong[start], (there, range(start, start + extra))))
    first, *others = ways
    for other in others:
        if far_less(other[0], first[0]):
            return other[1]
    return first[1]


def far_less(few: int, many: int) -> bool:
    """Whether so few notes that do not fit are clearly better than so many."""
    return many - few >= CLEARLY and 2 * few <= many


_Way = tuple[int, int, int, tuple[int, ...]]
"""Gaps, notes that do not fit, gaps within a line of the text, bars of the tune."""


def _with_gaps(wrong: Sequence[Counter[int]], bars_typed: Sequence[TabBar]) -> _Way:
    """How often bars are left out between others, how many notes do not fit then, and the bars
    of the tune, by the best such choice; wrong: the same where so many bars are left out before the
    first. A gap is worth ``CLEARLY`` notes; of equals that is taken which leaves out bars where a
    line of the text begins."""
    # the best way so far, by how many bars are left out by then
    ways: list[_Way] = [(0, each[0], 0, (left,)) for left, each in enumerate(wrong)]
    for bar in range(1, len(bars_typed)):
        within = int(bars_typed[bar].line == bars_typed[bar - 1].line)
        best = ways[0]
        after: list[_Way] = []
        for left, way in enumerate(ways):
            leap = best[0] + 1, best[1], best[2] + within, best[3]
            gaps, missed, inside, bars = min(way, leap, key=_worth)
            after.append((gaps, missed + wrong[left][bar], inside, (*bars, bar + left)))
            best = min(best, way, key=_worth)
        ways = after
    return min(ways, key=_worth)


def _worth(way: _Way) -> tuple[int, int]:
    return CLEARLY * way[0] + way[1], way[2]


def _bars(count: int) -> str:
    return f"{count} bar{'s' * (count != 1)}"


def _is(indexes: Sequence[int]) -> str:
    return "is" if len(indexes) == 1 else "are"
