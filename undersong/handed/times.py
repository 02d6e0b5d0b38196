"""Bars that are played several times, by name: with the time through where the tab writes out each,
and the names of all where the same is wrong in several; moments of one bar told together.

Public: time_of, times_through, bar_name, all_names, beats_of.
"""

from collections.abc import Mapping, Sequence

from tune import bar_names
from tune.tune import Tune
from undersong.sheet.text_signs import ordinal
from undersong.wording import listed


def time_of(tune: Tune) -> dict[int, int]:
    """Played bar's number → the how many-th time its written bar is played there, from 1."""
    counts: dict[int, int] = {}
    time: dict[int, int] = {}
    for bar in tune.played:
        counts[bar.written] = time[bar.number] = counts.get(bar.written, 0) + 1
    return time


def times_through(tune: Tune, played: Mapping[int, tuple[int, ...]]) -> dict[int, tuple[int, ...]]:
    """Played bar's number → the times through for which the tab has it there, from 1; bars that the
    tab writes down once are left out. played: bar of the tab → the played bars that it is."""
    time = time_of(tune)
    written = {bar.number: bar.written for bar in tune.played}
    own: dict[int, set[int]] = {}
    for tab_bar, numbers in played.items():
        for number in numbers:
            own.setdefault(written[number], set()).add(tab_bar)
    return {
        number: tuple(time[other] for other in numbers if written[other] == written[number])
        for numbers in played.values()
        for number in numbers
        if len(own[written[number]]) > 1
    }


def bar_name(tune: Tune, written: int, times: Sequence[int] = ()) -> str:
    """``bar 3``, ``bar 3 (2nd time)``, ``the pickup``; written: its index."""
    name = bar_names.bar_name(tune.bars[written].number)
    words = [ordinal(time) for time in sorted(set(times))]
    return f"{name} ({listed(words)} time)" if words else name


def all_names(tune: Tune, places: Sequence[tuple[int, Sequence[int]]]) -> str:
    """``bar 3 (1st and 2nd time) and bar 7``; places: written bars' indexes and times."""
    found: dict[int, list[int]] = {}
    for written, times in places:
        found.setdefault(written, []).extend(times)
    return " and ".join(bar_name(tune, written, times) for written, times in sorted(found.items()))


def beats_of(places: Sequence[str]) -> str:
    """``bar 3, beat 2`` and ``bar 3, beat 4``: ``beats 2 and 4``, and likewise ``half a beat after
    beats 2 and 4``, whole beats first; nothing for the bar itself."""
    groups: dict[str, list[str]] = {"": []}
    for place in dict.fromkeys(places):
        beat = place.partition(", ")[2]
        if beat:
            before, _, number = beat.rpartition("beat ")
            groups.setdefault(before, []).append(number)
    return listed(
        [
            f"{before}beat{'s' * (len(numbers) > 1)} {listed(numbers)}"
            for before, numbers in groups.items()
            if numbers
        ]
    )
