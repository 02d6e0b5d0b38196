"""What a bass part asks: the manner's line alone, fills where a section ends, places to breathe.

Public: bass_asks, section_ends.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from solver.style import Style
from tune.tune import Tune
from undersong.check.ask import Ask, Bass
from undersong.check.asks_song import bar_at, song_asks, stays_of
from undersong.check.clock import BarTime, closing_bars
from undersong.check.lines import Ground

_FILLED = ("roots", "alternating", "alternating-fourth", "figure")
"""Manners that lead from section to section with a fill."""


def bass_asks(tune: Tune, style: Style, courses: int, bars: tuple[BarTime, ...]) -> tuple[Ask, ...]:
    """The song's bass strokes, those in a fill replaced, and breaths where the line leaves one."""
    silent = (False,) * courses
    plain = [
        replace(ask, pattern=silent, judged=False)
        for ask in song_asks(tune, style, courses, bars)
        if ask.bass is not None or ask.time.chord is None
    ]
    ends = section_ends(tune, bars)
    asks = {ask.tick: ask for ask in plain}
    stays = stays_of(tune, style, bars)
    closing = closing_bars(tune, bars)
    for bar in ends:
        if bar.number in closing or _section_end(tune, bars, bar).number in closing:
            continue
        last = bar.beat(bar.metre.felt_beats - 1)
        step = bar.metre.beat // (3 if bar.metre.compound else 2)
        onward = next(stay for stay in stays if stay.start <= bar.end - 1 < stay.end)
        if onward.following is None:
            continue
        for tick in sorted(tick for tick in asks if last <= tick < bar.end):
            ask = asks[tick]
            if ask.time.chord is not None and ask.manner in _FILLED and not ask.first:
                del asks[tick]
        for tick in range(last, bar.end, step):
            stay = next(stay for stay in stays if stay.start <= tick < stay.end)
            if stay.chord is not None and stay.manner in _FILLED and tick not in asks:
                loose = Ground(stay, [], False).loose(tick)
                note = Bass(loose, run=True, moves=True)
                asks[tick] = Ask(tick, bar, stay, note, silent, run=True)
    for tick in _breaths(tune, bars, ends):
        stay = next(stay for stay in stays if stay.start <= tick < stay.end)
        if stay.chord is not None and tick not in asks:
            asks[tick] = Ask(tick, bar_at(bars, tick), stay, None, silent, breath=True)
    return tuple(_led([asks[tick] for tick in sorted(asks)]))


def _led(asks: list[Ask]) -> Iterator[Ask]:
    """The root that a run or a fill leads to belongs to it."""
    ran = False
    for ask in asks:
        yield replace(ask, run=True) if ran and ask.first else ask
        if ask.bass is not None:
            ran = ask.bass.run


def _begins(tune: Tune, bars: tuple[BarTime, ...]) -> list[int]:
    """Indexes of played bars where a section begins: named, repeated, or jumped to."""
    order = [bar.written for bar in bars]
    jumped = {now for was, now in pairwise(order) if now != was + 1}
    return [
        index
        for index, bar in enumerate(bars)
        if index == 0
        or tune.bars[bar.written].section
        or tune.bars[bar.written].repeat_start
        or bar.written in jumped
    ]


def _full(bar: BarTime) -> bool:
    return bar.end - bar.start == bar.metre.bar


def section_ends(tune: Tune, bars: tuple[BarTime, ...]) -> tuple[BarTime, ...]:
    """The last full bar of every section but the last one."""
    begins = _begins(tune, bars)
    found = []
    for start, after in pairwise(begins):
        full = [bar for bar in bars[start:after] if _full(bar)]
        found += full[-1:]
    return tuple(found)


def _section_end(tune: Tune, bars: tuple[BarTime, ...], within: BarTime) -> BarTime:
    """The last bar, a short one too, of the section that a bar lies in."""
    after = [begin for begin in _begins(tune, bars) if begin >= within.number]
    return bars[after[0] - 1] if after else bars[-1]


def _breaths(tune: Tune, bars: tuple[BarTime, ...], ends: tuple[BarTime, ...]) -> Iterator[int]:
    """The last felt beat of every fourth full bar within a section."""
    begins = _begins(tune, bars)
    for start, after in zip(begins, [*begins[1:], len(bars)], strict=True):
        full = [bar for bar in bars[start:after] if _full(bar)]
        for bar in full[3::4]:
            if bar not in ends and bar is not bars[-1]:
                yield bar.beat(bar.metre.felt_beats - 1)
