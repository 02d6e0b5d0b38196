"""The plan of a recording: what sounds when, in seconds, as the options ask.

First the singer's starting note, then for each time through a count-in (before the first, and
before each that has another tempo), the music with or without clicks, and a gap. The last notes of
all ring out for a moment; what rings into a passage from before it is not heard.

Public: Plan, Pluck, Click, plan_of, check, LONGEST, RING_OUT, START_NOTE.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from fretboard.instrument import Instrument
from solver.result import Arrangement
from tune.melody import sung
from tune.played import PlayedBar
from tune.tune import Tune
from undersong.sheet.errors import SheetError
from undersong.sheet.folding import leads
from undersong.sound.clock import Clock
from undersong.sound.playing import Heard, heard
from undersong.sound.sound_options import SoundOptions
from undersong.wording import many

RING_OUT = Fraction(3, 2)
"""Seconds that the last notes of all sound on for."""
START_NOTE = Fraction(2)
"""Seconds that the singer's starting note sounds for."""
PAUSE = Fraction(1, 2)
"""Seconds from there to what follows."""
LONGEST = 4 * 3600
"""Seconds that a recording may last."""
LOWEST = 24
"""C1: no string sounds lower."""
OCTAVE = 12


@dataclass(frozen=True)
class Pluck:
    """A string plucked at a second, and stopped at another; course None is the starting note's.

    rings_out: it fades slowly where it stops, as nobody stops it."""

    at: Fraction
    stop: Fraction
    course: int | None
    midi: int
    damped: bool = False
    sings: bool = False
    rings_out: bool = False


@dataclass(frozen=True)
class Click:
    """A click at a second; accent: on the first beat of a bar."""

    at: Fraction
    accent: bool


@dataclass(frozen=True)
class Plan:
    """seconds: how long it all lasts; the rest is what it is made from."""

    arrangement: Arrangement
    options: SoundOptions
    paces: tuple[Fraction, ...]
    first: int
    last: int
    notes: tuple[Heard, ...]
    start_note: int | None
    beats: tuple[tuple[int, bool], ...]
    counted: tuple[tuple[int, bool], ...]
    seconds: Fraction

    def events(self) -> Iterator[Pluck | Click]:
        """What sounds, in order of time, made as it is asked for."""
        now = Fraction(0)
        if self.start_note is not None:
            yield Pluck(now, now + START_NOTE, None, self.start_note, rings_out=True)
            now += START_NOTE + PAUSE
        before: Fraction | None = None
        for number, pace in enumerate(self.paces, 1):
            clock = Clock.of(self.arrangement.tune, pace)
            if pace != before:
                yield from self._count_in(clock, now)
                now += self.count_length * clock.pace_at(self.first)
            before = pace
            final = number == len(self.paces)
            yield from self._once(clock, now, final)
            now += clock.exact(self.last) - clock.exact(self.first)
            if not final:
                yield from self._gap(clock, now)
                now += self.options.gap * self._beat * clock.pace_at(self.last - 1)

    def _count_in(self, clock: Clock, now: Fraction) -> Iterator[Pluck | Click]:
        beat = clock.pace_at(self.first)
        for tick, accent in self.counted:
            yield Click(now + tick * beat, accent)

    def _once(self, clock: Clock, now: Fraction, final: bool) -> Iterator[Pluck | Click]:
        start = now - clock.exact(self.first)
        sounds: list[Pluck | Click] = []
        for note in self.notes:
            out = final and note.end >= self.last and not note.damped
            sounds.append(
                Pluck(
                    at=start + clock.exact(note.tick),
                    stop=start + clock.exact(min(note.end, self.last)) + (RING_OUT if out else 0),
                    course=note.course,
                    midi=self._midi(note),
                    damped=note.damped,
                    sings=note.sings,
                    rings_out=out,
                )
            )
        sounds += (Click(start + clock.exact(tick), accent) for tick, accent in self.beats)
        sounds.sort(key=lambda sound: sound.at)
        yield from sounds

    def _gap(self, clock: Clock, now: Fraction) -> Iterator[Pluck | Click]:
        beat = self._beat * clock.pace_at(self.last - 1)
        if self.options.click:
            for number in range(self.options.gap):
                yield Click(now + number * beat, False)

    def _midi(self, note: Heard) -> int:
        return note.midi - (OCTAVE if self.options.bass_down and note.course == 0 else 0)

    @property
    def _bar(self) -> PlayedBar:
        played = self.arrangement.tune.played
        return played[self.options.bars[0] - 1 if self.options.bars else 0]

    @property
    def count_length(self) -> int:
        """Ticks that are counted in."""
        return _count_length(self.arrangement.tune, self.options, self._bar)

    @property
    def _beat(self) -> int:
        """Ticks of a beat in the gap: the passage's first."""
        return self.arrangement.tune.bars[self._bar.written].metre.beat


def plan_of(arrangement: Arrangement, options: SoundOptions) -> Plan:
    """The plan; SheetError, one sentence, for what this tune or instrument cannot do."""
    tune = arrangement.tune
    check(tune, arrangement.instrument, options)
    low, high, first, last = _extent(tune, options)
    plan = Plan(
        arrangement=arrangement,
        options=options,
        paces=options.paces(tune),
        first=first,
        last=last,
        notes=tuple(
            replace(note, damped=note.damped or (options.damped and note.bass))
            for note in heard(arrangement)
            if first <= note.tick < last and options.hears(note.course)
        ),
        start_note=_start_note(tune, first) if options.starting_note else None,
        beats=_beats(tune, low, high) if options.click else (),
        counted=_counted(tune, options, low),
        seconds=Fraction(0),
    )
    seconds = _seconds(plan)
    if seconds > LONGEST:
        raise SheetError(
            f"that would last {float(seconds) / 3600:.1f} hours; ask for at most "
            f"{LONGEST // 3600}, with fewer times or fewer bars"
        )
    return Plan(**{**vars(plan), "seconds": seconds})


def check(tune: Tune, instrument: Instrument, options: SoundOptions) -> None:
    """SheetError, one sentence, for what cannot be, however the tune is arranged."""
    options.paces(tune)
    _, _, first, _ = _extent(tune, options)
    courses = len(instrument.courses)
    named = options.without | ({options.only} if options.only is not None else set())
    if any(not 0 <= course < courses for course in named):
        raise SheetError(f"the instrument has {courses} strings, 0 (the bass) to {courses - 1}")
    if not any(options.hears(course) for course in range(courses)):
        raise SheetError("every string is left out; leave one to be heard")
    if options.bass_down and instrument.pitch(0, instrument.capo) < LOWEST + OCTAVE:
        raise SheetError("an octave lower the bass string would sound below C1; leave it as it is")
    if options.starting_note:
        _start_note(tune, first)


def _extent(tune: Tune, options: SoundOptions) -> tuple[int, int, int, int]:
    """First and last played bar, and the ticks where they begin and end."""
    low, high = options.bars or (1, len(tune.played))
    if high > len(tune.played):
        raise SheetError(
            f"as played the tune has {many(len(tune.played), 'bar')}; there is no bar {high}"
        )
    last = tune.played[high - 1]
    return low, high, tune.played[low - 1].start, last.start + tune.bars[last.written].length


def _seconds(plan: Plan) -> Fraction:
    """How long it lasts, the ringing out included."""
    tune, options = plan.arrangement.tune, plan.options
    total = RING_OUT + (0 if plan.start_note is None else START_NOTE + PAUSE)
    before: Fraction | None = None
    for pace in plan.paces:
        clock = Clock.of(tune, pace)
        if pace != before:
            total += plan.count_length * clock.pace_at(plan.first)
        before = pace
        total += clock.exact(plan.last) - clock.exact(plan.first)
        total += options.gap * plan._beat * clock.pace_at(plan.last - 1)
    return total - options.gap * plan._beat * clock.pace_at(plan.last - 1)


def _start_note(tune: Tune, first: int) -> int:
    """The pitch that is sung first in the passage, or sounds on into it."""
    for note in sung(tune):
        if note.end > first:
            return note.midi
    raise SheetError("no melody is sung here, so there is no starting note to give")


def _beats(tune: Tune, low: int, high: int) -> tuple[tuple[int, bool], ...]:
    """Tick of each felt beat of the played bars, and whether a bar begins with it."""
    missing = leads(tune)
    found: list[tuple[int, bool]] = []
    for played in tune.played[low - 1 : high]:
        bar, lead = tune.bars[played.written], missing[played.number - 1]
        for tick in range(0, lead + bar.length, bar.metre.beat):
            if tick >= lead:
                found.append((played.start + tick - lead, tick == 0))
    return tuple(found)


def _counted(tune: Tune, options: SoundOptions, low: int) -> tuple[tuple[int, bool], ...]:
    """Tick of each beat counted in, from where counting begins, and whether it is accented."""
    if not options.count_in:
        return ()
    metre = tune.bars[tune.played[low - 1].written].metre
    length = _count_length(tune, options, tune.played[low - 1])
    return tuple((tick, tick % metre.bar == 0) for tick in range(0, length, metre.beat))


def _count_length(tune: Tune, options: SoundOptions, played: PlayedBar) -> int:
    """Ticks counted in: full bars, and what is missing before a pickup."""
    if not options.count_in:
        return 0
    metre = tune.bars[played.written].metre
    return options.count_in * metre.bar + leads(tune)[played.number - 1]
