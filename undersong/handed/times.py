"""Bars that are played several times, by name: with the time through where the tab writes out each,
and the names of all where the same is wrong in several. Moments in a bar, by name.

Public: times_through, bar_name, all_names, beat_name, beats_of.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType

from tune import bar_names
from tune.tune import Tune
from undersong.sheet.text_signs import ordinal
from undersong.wording import listed

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


def times_through(tune: Tune, played: Mapping[int, tuple[int, ...]]) -> dict[int, tuple[int, ...]]:
    """Played bar's number → the times through for which the tab has it there, from 1; bars that the
    tab writes down once are left out. played: bar of the tab → the played bars that it is."""
    counts: dict[int, int] = {}
    time: dict[int, int] = {}
    for bar in tune.played:
        counts[bar.written] = time[bar.number] = counts.get(bar.written, 0) + 1
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


def beat_name(tick: int, beat: int) -> str:
    """``beat 2``, ``half a beat after beat 2``, ``5/6 of a beat after beat 2``: another for every
    tick; tick: from the beginning of the full bar; beat: its length."""
    number, beyond = divmod(tick, beat)
    name = f"beat {number + 1}"
    if not beyond:
        return name
    part = Fraction(beyond, beat)
    return f"{_PARTS.get(part, f'{part} of a beat')} after {name}"


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
