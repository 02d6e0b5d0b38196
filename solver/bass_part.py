"""Moments of a bass part: one note at a time on the bass string, phrased as the tune is.

The manner lays out the line, as in a song. Where a section ends and another chord follows, the last
beat becomes a fill: short notes that run into the next root. Between, at every fourth bar, the last
beat is a place to breathe where no note stands there. A section that ends as the tune does closes
on its root instead. Common practice, no source.

Public: bass_moments, usual_bass_ceiling.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from fretboard.instrument import Instrument
from scoring.moment import Moment, Strokes
from solver.manners import BassStroke, Stay, may_be
from solver.onsets import Onset, Setting, leading
from solver.spans import Span, stays_of
from solver.style import OCTAVE, Style
from tune.tune import Tune

FILLED = ("roots", "alternating", "alternating-fourth", "figure")
"""Manners that lead from section to section with a fill."""

BREATH = 4
"""Full bars from one place to breathe to the next."""


def bass_moments(tune: Tune, style: Style, spans: list[Span], courses: int) -> tuple[Moment, ...]:
    """Every moment of the tune as played, in order, without gaps from the first bar's start."""
    setting = Setting(tune, spans, style, courses)
    times = stays_of(tune, spans, style)
    stays = [time for time in times if isinstance(time, Stay)]
    silent = (False,) * courses
    onsets = {
        onset.tick: replace(onset, pattern=silent)
        for onset in setting.onsets(times)
        if onset.stay is None or onset.bass is not None
    }
    sections = _sections(spans)
    full = [[span for span in part if span.end - span.start == span.metre.bar] for part in sections]
    ends = [
        bars[-1]
        for part, bars in zip(sections[:-1], full[:-1], strict=True)
        if bars and not setting.closes(part[-1].number - 1)
    ]
    _fill(onsets, setting, stays, ends)
    _breathe(onsets, stays, full, silent)
    ordered = leading(list(_led([onsets[tick] for tick in sorted(onsets)])))
    moments = setting.moments(ordered, [_strikes(onset) for onset in ordered])
    return tuple(
        replace(
            moment,
            texture="bass",
            plays=(moment.chord is not None, *silent[1:]),
            breath=onset.breath,
        )
        for moment, onset in zip(moments, ordered, strict=True)
    )


def usual_bass_ceiling(tune: Tune, instrument: Instrument) -> int:
    """Semitones above the open (or capoed) bass string up to which root, fifth and octave of all
    the tune's chords lie: the greatest octave above a chord's lowest root, an octave at least, and
    no more than the fretboard has."""
    frets = [fret - instrument.capo for fret in instrument.frets(0)]
    roots = {
        change.chord.degrees["root"] for bar in tune.bars for change in bar.chords if change.chord
    }
    opens = instrument.pitch(0, instrument.capo)
    lowest = [next((f for f in frets if (opens + f) % 12 == root), 0) for root in roots]
    return min(max([OCTAVE, *(fret + OCTAVE for fret in lowest)]), frets[-1])


def _sections(spans: list[Span]) -> list[list[Span]]:
    """The bars of each section as played: from a name, a repeat sign or a jump to the next."""
    begins = [index for index, span in enumerate(spans) if span.section]
    return [spans[begin:end] for begin, end in pairwise([*begins, len(spans)])]


def _fill(onsets: dict[int, Onset], setting: Setting, stays: list[Stay], ends: list[Span]) -> None:
    """Puts fills into the last beat of the bars that end sections."""
    for span in ends:
        if setting.closes(span.number - 1) or _at(stays, span.end - 1, onward=True) is None:
            continue
        metre = span.metre
        step = metre.beat // (3 if metre.compound else 2)
        for tick in range(span.end - metre.beat, span.end, step):
            stay = _at(stays, tick)
            if stay is None or tick == stay.start or not _is_filled(setting, stay):
                continue
            note = BassStroke(tick, may_be(stay, tick), moves=True, run=True)
            silent = (False,) * setting.courses
            onsets[tick] = Onset(tick, stay, note, silent, goes_on=note.roles)
        for tick in [tick for tick in onsets if span.end - metre.beat <= tick < span.end]:
            on_grid = (span.end - tick) % step == 0
            here = onsets[tick].stay
            if not on_grid and here and tick != here.start and _is_filled(setting, here):
                del onsets[tick]


def _is_filled(setting: Setting, stay: Stay) -> bool:
    return setting.span_at(stay.start).manner in FILLED


def _at(stays: list[Stay], tick: int, onward: bool = False) -> Stay | None:
    """The stay in force there, None in a rest; onward: only if another chord follows it."""
    found = next((stay for stay in stays if stay.start <= tick < stay.end), None)
    return None if onward and found and found.next_bass is None else found


def _breathe(
    onsets: dict[int, Onset], stays: list[Stay], sections: list[list[Span]], silent: Strokes
) -> None:
    """Puts places to breathe into every fourth full bar that ends neither its section nor the
    tune."""
    for full in sections:
        for span in full[BREATH - 1 : -1 : BREATH]:
            tick = span.end - span.metre.beat
            if tick in onsets or _at(stays, tick) is None:
                continue
            before = onsets[max(at for at in onsets if at < tick)]
            onsets[tick] = replace(
                before, tick=tick, bass=None, pattern=silent, rings=False, breath=True
            )


def _led(onsets: list[Onset]) -> Iterator[Onset]:
    """The onsets, the first note of a chord that a run leads to told to belong to it."""
    ran = False
    for onset in onsets:
        note, first = onset.bass, onset.stay is not None and onset.tick == onset.stay.start
        yield replace(onset, bass=replace(note, run=True)) if ran and first and note else onset
        if note is not None:
            ran = note.run and not first


def _strikes(onset: Onset) -> tuple[Strokes, ...]:
    """The bass string or none; both where the note is optional."""
    silent = onset.pattern
    struck = (True, *silent[1:])
    if onset.bass is None:
        return (silent,)
    return (silent, struck) if onset.bass.optional else (struck,)
