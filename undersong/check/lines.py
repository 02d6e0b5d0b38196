"""The bass line that each manner asks for while a chord lasts, worked out for the checker alone.

Public: Ground, Line, line_of.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from scoring.moment import FOREIGN
from tune.chord import Chord
from undersong.check.ask import Bass
from undersong.check.clock import BarTime, ChordTime
from undersong.check.degrees import degree_pitch_class


@dataclass(frozen=True)
class Ground:
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


Line = dict[int, Bass]


def _held(ground: Ground) -> Line:
    return {tick: Bass(ground.root) for tick in {ground.time.start} | ground.bar_starts}


def _roots(ground: Ground) -> Line:
    return {tick: Bass(ground.root) for tick in ground.strokes}


def _in_turn(other: str) -> Callable[[Ground], Line]:
    """Root and the other note in turn, the root at the chord's start and at the first bar that
    it begins or meets; with several bass notes in a bar, at every bar."""

    def line(ground: Ground) -> Line:
        bars = ground.bar_starts
        answer = _other(ground, other)
        on_the_root = {ground.time.start} | (bars if ground.busy else set(sorted(bars)[:1]))
        out: Line = {}
        on_root = False
        for tick in ground.strokes:
            on_root = tick in on_the_root or not on_root
            out[tick] = Bass(ground.root) if on_root else answer
        return out

    return line


def _other(ground: Ground, role: str) -> Bass:
    """The note that answers the root; the chord's own root where the bass has that note already."""
    taken = degree_pitch_class(ground.chord, role) == ground.chord.bass_pitch_class
    return Bass(frozenset({"root" if taken else role}), instead=ground.root)


def _walking(ground: Ground) -> Line:
    line = {tick: Bass(ground.loose(tick), moves=True) for tick in ground.beats}
    return line | {ground.time.start: Bass(ground.root, moves=True)}


def _runs(ground: Ground) -> Line:
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


def _free(ground: Ground) -> Line:
    return {
        tick: Bass(ground.loose(tick), optional=tick not in ground.strokes, moves=True)
        for tick in {*ground.strokes, *ground.beats}
    }


def _figure(ground: Ground) -> Line:
    """Root, fifth, octave, fifth, from the root anew with each chord and at each bar's start."""
    start = ground.time.start
    steps = {tick for bar in ground.time.bars for tick in _steps(bar)}
    inside = sorted({start} | {tick for tick in steps if start <= tick < ground.time.end})
    up = Bass(frozenset({"octave"}), instead=ground.root)
    turn = (Bass(ground.root), _other(ground, "fifth"), up, _other(ground, "fifth"))
    out: Line = {}
    count = 0
    for tick in inside:
        if tick in ground.bar_starts | {start}:
            count = 0
        out[tick] = replace(turn[count % 4], climbs=True)
        count += 1
    return out


def _steps(bar: BarTime) -> Iterator[int]:
    """Every felt beat where there are three or more, else two a beat: its halves, or the beat and
    its last third."""
    beat = bar.metre.beat
    later = 2 * beat // 3 if bar.metre.compound else beat // 2
    yield from bar.beats
    if bar.metre.felt_beats < 3:
        for number in range(bar.metre.felt_beats):
            if bar.start <= bar.beat(number) + later < bar.end:
                yield bar.beat(number) + later


def line_of(ground: Ground) -> Line:
    """Tick → the bass note that the manner in force asks for there."""
    return _LINES[ground.time.manner](ground)


_LINES: dict[str, Callable[[Ground], Line]] = {
    "held": _held,
    "roots": _roots,
    "alternating": _in_turn("fifth"),
    "alternating-fourth": _in_turn("alternate fourth"),
    "walking": _walking,
    "runs": _runs,
    "free": _free,
    "figure": _figure,
}
