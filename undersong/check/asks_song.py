"""What a song asks: chords with a moving bass, worked out for the checker alone.

The rules are those that ``solver.manners`` and ``solver.moments`` state in words; the code is
another.

Public: song_asks, stays_of, bar_at.
"""

from bisect import bisect_right
from dataclasses import replace

from solver.style import Style
from tune.time import Metre
from tune.tune import Tune
from undersong.check.ask import Ask, Strings
from undersong.check.clock import BarTime, ChordTime, chord_times
from undersong.check.lines import Ground, line_of


def song_asks(tune: Tune, style: Style, courses: int, bars: tuple[BarTime, ...]) -> tuple[Ask, ...]:
    """Everything that is asked, in order; StyleError for a metre that the right hand lacks."""
    patterns = {bar.metre: _pattern(style, bar, courses) for bar in bars}
    asks: list[Ask] = []
    ran = False
    for time in stays_of(tune, style, bars):
        made = _in_rest(time, courses) if time.chord is None else _in_chord(time, patterns)
        if ran and time.chord is not None:
            made[0] = replace(made[0], run=True)
        ran = any(ask.bass is not None and ask.bass.run for ask in made)
        asks += made
    return tuple(
        replace(ask, judged=_judged(ask, after))
        for ask, after in zip(asks, [*asks[1:], None], strict=True)
    )


def stays_of(tune: Tune, style: Style, bars: tuple[BarTime, ...]) -> tuple[ChordTime, ...]:
    """Every chord's time and every rest's, in order."""
    return chord_times(tune, bars, style.no_chord == "carry")


def bar_at(bars: tuple[BarTime, ...], tick: int) -> BarTime:
    """The bar that a tick lies in."""
    return bars[bisect_right(bars, tick, key=lambda bar: bar.start) - 1]


def _in_rest(time: ChordTime, courses: int) -> list[Ask]:
    """A rest is written anew in every bar."""
    silent = (False,) * courses
    return [Ask(max(time.start, bar.start), bar, time, None, silent) for bar in time.bars]


_Pattern = list[tuple[int, bool, Strings]]
"""Strokes of a full bar: tick, whether it brings a new bass note, the other strings struck."""


def _pattern(style: Style, bar: BarTime, courses: int) -> _Pattern:
    strokes: _Pattern = []
    for stroke in style.right_hand.strokes(bar.metre):
        names = {
            "bass": (),
            "upper": range(1, courses),
            "bass+upper": range(1, courses),
            "all": range(courses),
            "middle": (1,),
            "melody": (courses - 1,),
        }[stroke.strings]
        new = stroke.strings in ("bass", "bass+upper")
        strokes.append((stroke.tick, new, tuple(course in names for course in range(courses))))
    return strokes


def _in_chord(time: ChordTime, patterns: dict[Metre, _Pattern]) -> list[Ask]:
    strings: dict[int, Strings] = {}
    bass_ticks: list[int] = []
    busy = False
    for bar in time.bars:
        busy |= sum(new for _, new, _ in patterns[bar.metre]) > 1
        for onset, new, struck in patterns[bar.metre]:
            tick = bar.beat(0) + onset
            if max(bar.start, time.start) <= tick < min(bar.end, time.end):
                bass_ticks += [tick] if new else []
                strings[tick] = struck
    line = line_of(Ground(time, sorted({time.start, *bass_ticks}), busy))
    silent = (False,) * len(next(iter(patterns.values()))[0][2])
    starts = [bar.start for bar in time.bars]
    asks = []
    for tick in sorted({*line, *(tick for tick in strings if any(strings[tick]))}):
        bar = time.bars[bisect_right(starts, tick) - 1]
        bass = line.get(tick)
        run = bass is not None and bass.run
        asks.append(Ask(tick, bar, time, bass, strings.get(tick, silent), run))
    return asks


def _judged(ask: Ask, after: Ask | None) -> bool:
    """A chord is judged at a full strum and, struck string by string, at the last string before
    the bass comes anew."""
    upper = ask.pattern[1:]
    if ask.time.chord is None or not any(upper):
        return False
    if all(upper) or after is None or after.time is not ask.time:
        return True
    return after.bass is not None or not any(after.pattern[1:])
