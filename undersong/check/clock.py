"""What the tune says at each tick, worked out from its written bars for the checker alone.

Times are ticks from the start of the tune as played. A chord that goes on is one stay, except that
it begins afresh after a pickup, in a new metre, at a section or a repeat's first bar, and at every
bar that the playing jumps to at some time, so that it is played alike every time; also where the
player asks for another bass manner. A bar before every written chord is a rest each time.

Public: BarTime, ChordTime, bar_times, closing_bars, chord_times, milliseconds, NO_MANNERS.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import floor
from types import MappingProxyType

from tune.chord import Chord, pitch_class
from tune.time import Metre
from tune.tune import Tune

NO_MANNERS: Mapping[int, str] = MappingProxyType({})


@dataclass(frozen=True)
class BarTime:
    """A played bar: number from 1; written: index of its written bar; phase: ticks of a full bar
    that went before it (a pickup's); fresh: the music begins afresh here; manner: the bass manner
    asked for here alone, empty for the style's own."""

    number: int
    written: int
    start: int
    end: int
    phase: int
    metre: Metre
    scale: frozenset[int]
    fresh: bool
    manner: str = ""

    def beat(self, number: int) -> int:
        """The tick of a felt beat, from 0, inside the bar or not."""
        return self.start - self.phase + number * self.metre.beat

    @property
    def beats(self) -> tuple[int, ...]:
        """The felt beats that lie inside."""
        ticks = (self.beat(number) for number in range(self.metre.felt_beats))
        return tuple(tick for tick in ticks if self.start <= tick < self.end)

    @property
    def strong(self) -> frozenset[int]:
        """The first beat and, of four, the third."""
        ticks = {self.beat(0)} | ({self.beat(2)} if self.metre.felt_beats == 4 else set())
        return frozenset(ticks & set(self.beats))

    @property
    def half(self) -> int | None:
        """The second beat of two or third of four, inside the bar or not; None elsewhere."""
        felt = self.metre.felt_beats
        return self.beat(felt // 2) if felt in (2, 4) else None


@dataclass(frozen=True)
class ChordTime:
    """From start to end one chord is in force, None for a rest; bars: those it touches; following:
    the chord after it, None at the end and before a rest."""

    start: int
    end: int
    chord: Chord | None
    bars: tuple[BarTime, ...]
    following: Chord | None

    @property
    def manner(self) -> str:
        """The bass manner of the bar that it begins in."""
        return self.bars[0].manner


def bar_times(
    tune: Tune, manners: Mapping[int, str] = NO_MANNERS, otherwise: str = ""
) -> tuple[BarTime, ...]:
    """The bars as played, in order.

    manners: by index of the written bar, those asked for there; otherwise: the style's.
    """
    times: list[BarTime] = []
    clock = 0
    order = [played.written for played in tune.played]
    jumped_to = {now for last, now in pairwise(order) if now != last + 1}
    for number, played in enumerate(tune.played, start=1):
        bar = tune.bars[played.written]
        last = times[-1] if times else None
        manner, before = (manners.get(played.written - ago, otherwise) for ago in (0, 1))
        times.append(
            BarTime(
                number=number,
                written=played.written,
                start=clock,
                end=clock + bar.length,
                phase=_phase(bar.metre.bar, bar.length, last),
                metre=bar.metre,
                scale=bar.key.pitch_classes,
                fresh=last is None
                or last.phase > 0
                or last.metre != bar.metre
                or played.written in jumped_to
                or manner != before
                or bool(bar.section)
                or bar.repeat_start,
                manner=manner,
            )
        )
        clock += bar.length
    return tuple(times)


def closing_bars(tune: Tune, bars: tuple[BarTime, ...]) -> frozenset[int]:
    """Numbers of the played bars that end on the root: the last one, and any before a fresh start
    that comes, like it, after the same four bars (in metre, length and chords)."""
    looks = [(b.metre, tune.bars[b.written].length, tune.bars[b.written].chords) for b in bars]
    tail = looks[-4:]
    ends = [n for n, bar in enumerate(bars) if bar.fresh and looks[:n][-len(tail) :] == tail]
    return frozenset({len(bars), *ends})


def _phase(full: int, length: int, last: BarTime | None) -> int:
    """A short first bar ends a full one, and so does a short bar that fills up the one before."""
    if length >= full:
        return 0
    if last is None:
        return full - length
    gone = last.phase + last.end - last.start
    return gone if gone + length == full else 0


def chord_times(tune: Tune, bars: tuple[BarTime, ...], carry: bool) -> tuple[ChordTime, ...]:
    """The stays in order; carry: at N.C. the chord before goes on."""
    starts: list[tuple[int, Chord | None]] = []
    chord: Chord | None = None
    for bar in bars:
        if not any(earlier.chords for earlier in tune.bars[: bar.written]):
            chord = None
        changes = [(change.tick, change.chord) for change in tune.bars[bar.written].chords]
        if bar.fresh and (not changes or changes[0][0] > 0):
            changes.insert(0, (0, chord))
        for tick, new in changes:
            wanted = chord if new is None and carry else new
            if not _alike(wanted, chord) or (bar.fresh and tick == 0):
                starts.append((bar.start + tick, wanted))
            chord = wanted
    ends = [start for start, _ in starts[1:]] + [bars[-1].end]
    after = [new for _, new in starts[1:]] + [None]
    return tuple(
        ChordTime(start, end, now, _touched(bars, start, end), following)
        for (start, now), end, following in zip(starts, ends, after, strict=True)
    )


def _alike(one: Chord | None, other: Chord | None) -> bool:
    """Whether two chords sound alike, whatever their notes are called."""
    if one is None or other is None:
        return one is other
    roots = pitch_class(one.root) == pitch_class(other.root)
    basses = [pitch_class(chord.bass) if chord.bass else None for chord in (one, other)]
    return one.quality == other.quality and roots and basses[0] == basses[1]


def _touched(bars: tuple[BarTime, ...], start: int, end: int) -> tuple[BarTime, ...]:
    """The bars that a stretch of time touches."""
    first = bisect_right(bars, start, key=lambda bar: bar.start) - 1
    last = bisect_left(bars, end, key=lambda bar: bar.start)
    return bars[first:last]


def milliseconds(tune: Tune, written: int, length: int) -> int:
    """How long ``length`` ticks last at the tempo in force in that written bar, to the nearest."""
    tempo = tune.tempo
    for bar in tune.bars[: written + 1]:
        tempo = bar.tempo or tempo
    exact = Fraction(60_000 * length, tempo.beat * tempo.per_minute)
    return floor(exact + Fraction(1, 2))
