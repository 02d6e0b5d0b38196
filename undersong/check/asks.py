"""What manner and right hand ask for, tick by tick, worked out for the checker alone.

The rules are those that ``solver.manners`` and ``solver.moments`` state in words; the code is
another. Bass notes are named by role (see ``scoring.moment``).

Public: Ask, asks_of.
"""

from bisect import bisect_right
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from scoring.moment import FOREIGN
from solver.style import Style
from tune.chord import Chord
from tune.time import Metre
from tune.tune import Tune
from undersong.check.clock import NO_MANNERS, BarTime, ChordTime, bar_times, chord_times
from undersong.check.degrees import degree_pitch_class

Strings = tuple[bool, ...]


@dataclass(frozen=True)
class Bass:
    """A new bass note: roles that it should have; instead: those that may stand in, at a price;
    optional: it may be left out."""

    roles: frozenset[str]
    instead: frozenset[str] = frozenset()
    optional: bool = False
    run: bool = False
    moves: bool = False


@dataclass(frozen=True)
class Ask:
    """Something begins at ``tick``. bass: a new bass note or None; pattern: the strings that the
    right hand strikes besides; again: the bass repeats its note; run: it belongs to a run."""

    tick: int
    bar: BarTime
    time: ChordTime
    bass: Bass | None
    pattern: Strings
    run: bool = False

    @property
    def manner(self) -> str:
        """The bass manner in force: that of the bar where the chord began."""
        return self.time.manner

    @property
    def first(self) -> bool:
        """A chord begins here."""
        return self.time.chord is not None and self.tick == self.time.start

    @property
    def strong(self) -> bool:
        return self.time.chord is None or self.tick in self.bar.strong

    @property
    def again(self) -> bool:
        return self.bass is None and self.pattern[0]

    @property
    def strikes(self) -> tuple[Strings, ...]:
        """Every set of strings that may be struck, the one asked for first: an optional bass note
        may be added, and the melody string left out of a full strum."""
        new = self.bass is not None and not self.bass.optional
        asked = (new or self.pattern[0], *self.pattern[1:])
        sets = [asked]
        if self.bass is not None and self.bass.optional and not self.pattern[0]:
            sets.append((True, *asked[1:]))
        if all(asked[1:]):
            sets += [(*strings[:-1], False) for strings in sets]
        return tuple(sets)


def asks_of(
    tune: Tune, style: Style, courses: int, manners: Mapping[int, str] = NO_MANNERS
) -> tuple[Ask, ...]:
    """Everything that is asked, in order; StyleError for a metre that the right hand lacks.

    manners: by index of the written bar, those asked for there alone.
    """
    bars = bar_times(tune, manners, style.manner)
    patterns = {bar.metre: _pattern(style, bar, courses) for bar in bars}
    asks: list[Ask] = []
    ran = False
    for time in chord_times(tune, bars, style.no_chord == "carry"):
        made = _in_rest(time, courses) if time.chord is None else _in_chord(time, patterns)
        if ran and time.chord is not None:
            made[0] = replace(made[0], run=True)
        ran = any(ask.bass is not None and ask.bass.run for ask in made)
        asks += made
    return tuple(asks)


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
    line = _LINES[time.manner](_Ground(time, sorted({time.start, *bass_ticks}), busy))
    silent = (False,) * len(next(iter(patterns.values()))[0][2])
    starts = [bar.start for bar in time.bars]
    asks = []
    for tick in sorted({*line, *(tick for tick in strings if any(strings[tick]))}):
        bar = time.bars[bisect_right(starts, tick) - 1]
        bass = line.get(tick)
        run = bass is not None and bass.run
        asks.append(Ask(tick, bar, time, bass, strings.get(tick, silent), run))
    return asks


@dataclass(frozen=True)
class _Ground:
    """What a bass line is laid on: the chord's time; strokes: its start and the pattern's bass
    notes; busy: the pattern has several in a bar."""

    time: ChordTime
    strokes: list[int]
    busy: bool

    @property
    def chord(self) -> Chord:
        assert self.time.chord is not None
        return self.time.chord

    @property
    def root(self) -> frozenset[str]:
        return frozenset({"slash bass" if self.chord.bass else "root"})

    @property
    def bar_starts(self) -> set[int]:
        """First beats of bars within, a pickup's not among them."""
        return {
            bar.start for bar in self.time.bars if not bar.phase and bar.start >= self.time.start
        }

    @property
    def beats(self) -> list[int]:
        inside = (beat for bar in self.time.bars for beat in bar.beats)
        return [beat for beat in inside if self.time.start <= beat < self.time.end]

    @cached_property
    def strong(self) -> frozenset[int]:
        return frozenset().union(*(bar.strong for bar in self.time.bars))

    def loose(self, tick: int) -> frozenset[str]:
        """Any tone of the chord and, on a weak beat, a foreign note."""
        tones = frozenset(self.chord.degrees) | self.root
        firm = tick in self.strong or tick == self.time.start
        return tones if firm else tones | set(FOREIGN)


_Line = dict[int, Bass]


def _held(ground: _Ground) -> _Line:
    return {tick: Bass(ground.root) for tick in {ground.time.start} | ground.bar_starts}


def _roots(ground: _Ground) -> _Line:
    return {tick: Bass(ground.root) for tick in ground.strokes}


def _in_turn(other: str) -> Callable[[_Ground], _Line]:
    """Root and the other note in turn, the root at the chord's start and at the first bar that
    it begins or meets; with several bass notes in a bar, at every bar."""

    def line(ground: _Ground) -> _Line:
        chord, bars = ground.chord, ground.bar_starts
        taken = degree_pitch_class(chord, other) == chord.bass_pitch_class
        answer = Bass(frozenset({"root" if taken else other}), instead=ground.root)
        on_the_root = {ground.time.start} | (bars if ground.busy else set(sorted(bars)[:1]))
        out: _Line = {}
        on_root = False
        for tick in ground.strokes:
            on_root = tick in on_the_root or not on_root
            out[tick] = Bass(ground.root) if on_root else answer
        return out

    return line


def _walking(ground: _Ground) -> _Line:
    line = {tick: Bass(ground.loose(tick), moves=True) for tick in ground.beats}
    return line | {ground.time.start: Bass(ground.root, moves=True)}


def _runs(ground: _Ground) -> _Line:
    line = _in_turn("fifth")(ground)
    following = ground.time.following
    later = [beat for beat in ground.beats if beat > ground.time.start]
    same = following and following.bass_pitch_class == ground.chord.bass_pitch_class
    if following is None or same or not later:
        return line
    metre = ground.time.bars[-1].metre
    long = ground.time.end - ground.time.start >= 2 * metre.bar
    first = later[-2] if long and len(later) > 2 else later[-1]
    step = metre.beat // (3 if metre.compound else 2)
    run = range(first, ground.time.end, step)
    return {tick: bass for tick, bass in line.items() if tick < first} | {
        tick: Bass(ground.loose(tick), run=True, moves=True) for tick in run
    }


def _free(ground: _Ground) -> _Line:
    return {
        tick: Bass(ground.loose(tick), optional=tick not in ground.strokes, moves=True)
        for tick in {*ground.strokes, *ground.beats}
    }


_LINES: dict[str, Callable[[_Ground], _Line]] = {
    "held": _held,
    "roots": _roots,
    "alternating": _in_turn("fifth"),
    "alternating-fourth": _in_turn("alternate fourth"),
    "walking": _walking,
    "runs": _runs,
    "free": _free,
}
