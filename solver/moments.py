"""From a tune and a style to its moments: what is asked, beat by beat.

The played bars are cut into stays (one chord each); the manner lays out each stay's bass strokes;
the right hand's pattern adds the strings above. A chord that merely goes on is one stay, except
that it begins afresh after a pickup, in a new metre, at a section, where another manner begins,
and wherever a repeat or an ending comes back to, so that every time through has the same bass.
Passages that end like the tune close on the root as it does.

Public: moments_of, spans_of, Span.
"""

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from scoring.moment import FOREIGN, Moment, Strokes
from solver.errors import ArrangeError
from solver.manners import MANNERS, BassStroke, Stay
from solver.righthand import Stroke
from solver.style import Style
from tune.chord import Chord
from tune.time import Metre
from tune.tune import ChordChange, Tune

ENDING = 4
"""Bars that must be alike for a passage to end as the tune does."""


@dataclass(frozen=True)
class Span:
    """A played bar on the tune's time line; lead: ticks of its full bar that are missing before
    it (a pickup's); fresh: the music begins afresh there; manner: the bass manner of the bar."""

    number: int
    written: int
    start: int
    end: int
    lead: int
    metre: Metre
    fresh: bool
    manner: str


def moments_of(
    tune: Tune, style: Style, courses: int, manners: Mapping[int, str] | None = None
) -> tuple[Moment, ...]:
    """Every moment of the tune as played, in order, without gaps from the first bar's start.

    manners: written bar's index → the bass manner of that bar, where it is not the style's own.
    Raises ArrangeError for a tune without chords, StyleError for a metre that the right hand does
    not know.
    """
    if not tune.has_chords:
        raise ArrangeError(
            f"{tune.title} has no chords, and a moving bass needs them: "
            "write chord symbols above the melody"
        )
    spans = spans_of(tune, style.manner, manners)
    stays = _stays(tune, spans, style)
    return tuple(_Builder(tune, spans, style, courses).build(stays))


def spans_of(tune: Tune, manner: str, manners: Mapping[int, str] | None = None) -> list[Span]:
    """The bars as played; manner: of the bars that ``manners`` does not name."""
    spans: list[Span] = []
    came_back_to = {
        after.written
        for before, after in pairwise(tune.played)
        if after.written != before.written + 1
    }
    for played in tune.played:
        bar = tune.bars[played.written]
        before = spans[-1] if spans else None
        lead = 0
        missing = bar.metre.bar - bar.length
        if missing > 0:
            completes = before is not None and before.lead + before.end - before.start == missing
            lead = missing if before is None or completes else 0
        here = (manners or {}).get(played.written, manner)
        fresh = bool(
            before is None
            or before.manner != here
            or before.lead
            or before.metre != bar.metre
            or played.written in came_back_to
            or bar.section
            or bar.repeat_start
        )
        spans.append(
            Span(
                played.number, played.written, played.start, played.start + bar.length,
                lead, bar.metre, fresh, here,
            )
        )  # fmt: skip
    return spans


def _changes(tune: Tune, spans: list[Span], style: Style) -> list[tuple[int, Chord | None]]:
    """(tick, chord) wherever a stay begins; the first begins at 0."""
    changes: list[tuple[int, Chord | None]] = []
    chord: Chord | None = None
    for span in spans:
        begins = {change.tick: change.chord for change in tune.bars[span.written].chords}
        for tick in sorted({0, *begins}):
            new = begins.get(tick, chord)
            if new is None and tick in begins and style.no_chord == "carry":
                new = chord
            afresh = tick == 0 and (span.fresh or new is None)
            if not changes or _sound(new) != _sound(chord) or afresh:
                changes.append((span.start + tick, new))
            chord = new
    return changes


def _sound(chord: Chord | None) -> tuple[object, ...]:
    """What tells chords apart by ear: D# and Eb are one."""
    if chord is None:
        return ()
    return chord.quality, chord.degrees["root"], bool(chord.bass), chord.bass_pitch_class


def _stays(tune: Tune, spans: list[Span], style: Style) -> list[Stay | tuple[int, int]]:
    """Stays and, as (start, end), rests, in order."""
    changes = _changes(tune, spans, style)
    end_of_tune = spans[-1].end
    stays: list[Stay | tuple[int, int]] = []
    for index, (start, chord) in enumerate(changes):
        end, following = end_of_tune, None
        if index + 1 < len(changes):
            end, following = changes[index + 1]
        if chord is None:
            stays.append((start, end))
        else:
            inside = [span for span in spans if span.start < end and span.end > start]
            stays.append(_stay(chord, start, end, following, inside, style))
    return stays


def _stay(
    chord: Chord, start: int, end: int, following: Chord | None, spans: list[Span], style: Style
) -> Stay:
    beats: list[int] = []
    strokes: list[int] = []
    strong: set[int] = set()
    for span in spans:
        for beat in range(span.metre.felt_beats):
            tick = span.start - span.lead + beat * span.metre.beat
            if max(start, span.start) <= tick < min(end, span.end):
                beats.append(tick)
                if beat == 0 or (span.metre.felt_beats == 4 and beat == 2):
                    strong.add(tick)
        strokes += [
            tick
            for tick, stroke in _pattern(span, style)
            if stroke.new_bass and start <= tick < end
        ]
    last = spans[-1].metre
    return Stay(
        chord=chord,
        start=start,
        end=end,
        beats=tuple(beats),
        strokes=tuple(strokes),
        downbeats=frozenset(s.start for s in spans if not s.lead and start <= s.start < end),
        strong=frozenset(strong),
        busy=any(
            sum(s.new_bass for s in style.right_hand.strokes(span.metre)) > 1 for span in spans
        ),
        part=last.beat // (3 if last.compound else 2),
        bars=(end - start) // last.bar,
        next_bass=None if following is None else following.bass_pitch_class,
    )


def _pattern(span: Span, style: Style) -> list[tuple[int, Stroke]]:
    """The right hand's strokes that fall within the bar, with their ticks on the time line."""
    strokes = style.right_hand.strokes(span.metre)
    return [
        (span.start + stroke.tick - span.lead, stroke)
        for stroke in strokes
        if span.lead <= stroke.tick < span.lead + span.end - span.start
    ]


@dataclass(frozen=True)
class _Onset:
    """Something begins: tick, the stay (None for a rest), a new bass note or None, and what the
    pattern strikes besides; rings: the bass must sound on; goes_on: the roles of bass notes that
    may sound on or be struck again; leads: the next bass note may begin a new chord."""

    tick: int
    stay: Stay | None
    bass: BassStroke | None
    pattern: Strokes
    rings: bool = False
    goes_on: frozenset[str] = frozenset()
    leads: bool = False


@dataclass(frozen=True)
class _Builder:
    tune: Tune
    spans: list[Span]
    style: Style
    courses: int

    def build(self, stays: list[Stay | tuple[int, int]]) -> list[Moment]:
        onsets = _leading(self._onsets(stays))
        ends = [onset.tick for onset in onsets[1:]] + [self.spans[-1].end]
        following = [*onsets[1:], None]
        moments: list[Moment] = []
        at = 0
        for onset, end, after in zip(onsets, ends, following, strict=True):
            while self.spans[at].end <= onset.tick:
                at += 1
            moments.append(self._moment(onset, self.spans[at], end, after))
        return moments

    def _onsets(self, stays: list[Stay | tuple[int, int]]) -> list[_Onset]:
        silent = (False,) * self.courses
        closing = self._closing_ticks(stays)
        pattern = self._struck()
        onsets: list[_Onset] = []
        run_before = False
        for stay in stays:
            if isinstance(stay, tuple):
                rests = {stay[0], *(s.start for s in self.spans if stay[0] <= s.start < stay[1])}
                onsets += [_Onset(tick, None, None, silent) for tick in sorted(rests)]
                run_before = False
                continue
            bass = {stroke.tick: stroke for stroke in self._line(stay)}
            if run_before:
                bass[stay.start] = replace(bass[stay.start], run=True)
            for tick in closing & set(bass):
                bass[tick] = replace(bass[tick], roles=stay.root, fallback=frozenset())
            run_before = any(stroke.run for stroke in bass.values() if stroke.tick > stay.start)
            rings = any(stroke.rings for stroke in bass.values())
            goes_on: frozenset[str] = frozenset()
            within = [tick for tick in pattern if stay.start <= tick < stay.end]
            for tick in sorted({*bass, *within}):
                struck, stroke = pattern.get(tick, silent), bass.get(tick)
                if stroke is not None:
                    before = goes_on if stroke.optional else frozenset()
                    goes_on = before | stroke.roles | stroke.fallback
                again = goes_on - set(FOREIGN) if struck[0] else goes_on
                onsets.append(_Onset(tick, stay, stroke, struck, rings, again))
        return onsets

    def _line(self, stay: Stay) -> list[BassStroke]:
        """The bass strokes of a stay, in the manner of the bar that it begins in."""
        span = self.spans[bisect_right(self.spans, stay.start, key=lambda span: span.start) - 1]
        return MANNERS[span.manner][1](stay)

    def _closing_ticks(self, stays: list[Stay | tuple[int, int]]) -> set[int]:
        """The last bass stroke of each closing bar, and what may be struck after it."""
        ticks: set[int] = set()
        for index, span in enumerate(self.spans):
            if self._closes(index):
                within = [
                    stroke
                    for stay in stays
                    if isinstance(stay, Stay) and stay.start < span.end and stay.end > span.start
                    for stroke in self._line(stay)
                    if span.start <= stroke.tick < span.end
                ]
                asked = max((s.tick for s in within if not s.optional), default=span.start)
                ticks |= {stroke.tick for stroke in within if stroke.tick >= asked}
        return ticks

    def _closes(self, index: int) -> bool:
        """Whether a passage ends here as the tune does: at the tune's end, and where the music
        begins afresh after the same four bars (as long, with the same chords)."""
        if index == len(self.spans) - 1:
            return True
        back = range(min(ENDING, len(self.spans)))
        return self.spans[index + 1].fresh and all(
            index >= ago and self._bar(index - ago) == self._bar(-1 - ago) for ago in back
        )

    def _bar(self, index: int) -> tuple[Metre, int, tuple[ChordChange, ...]]:
        """What makes two bars alike."""
        bar = self.tune.bars[self.spans[index].written]
        return bar.metre, bar.length, bar.chords

    def _struck(self) -> dict[int, Strokes]:
        """Strings that the pattern strikes at each tick, new bass notes left to the manner."""
        struck: dict[int, Strokes] = {}
        for span in self.spans:
            for tick, stroke in _pattern(span, self.style):
                courses = stroke.courses(self.courses)
                if stroke.new_bass:
                    courses = (False, *courses[1:])
                if any(courses):
                    struck[tick] = courses
        return struck

    def _moment(self, onset: _Onset, span: Span, end: int, after: _Onset | None) -> Moment:
        tick, stay, bass, pattern = onset.tick, onset.stay, onset.bass, onset.pattern
        felt = span.metre.felt_beats
        half = felt in (2, 4) and tick == span.start - span.lead + felt // 2 * span.metre.beat
        hand = self.style.right_hand
        plays = hand.plays(self.courses) if stay else (False,) * self.courses
        return Moment(
            bar=span.number,
            written=span.written,
            offset=tick - span.start,
            length=end - tick,
            ms=self.tune.tempo_at(span.written).milliseconds(end - tick),
            chord=stay.chord if stay else None,
            change=stay is not None and tick == stay.start,
            downbeat=tick == span.start and not span.lead,
            strong=stay is None or tick in stay.strong,
            half_bar=half,
            moves=bass is not None and bass.moves,
            run=bass is not None and bass.run,
            keeps=bass is None and pattern[0],
            rings=onset.rings and not hand.damped,
            leads=onset.leads,
            judged=_judged(onset, after),
            damped=hand.damped and stay is not None,
            strikes=_strikes(pattern, bass),
            plays=plays,
            roles=bass.roles if bass else onset.goes_on,
            fallback=bass.fallback if bass else frozenset(),
            scale=self.tune.bars[span.written].key.pitch_classes,
        )


def _leading(onsets: list[_Onset]) -> list[_Onset]:
    """The onsets, told which have no bass note that must come between them and a new chord."""
    told: list[_Onset] = []
    leads, after = False, None
    for onset in reversed(onsets):
        if after is not None and after.stay is not onset.stay:
            leads = after.stay is not None
        told.append(replace(onset, leads=leads))
        if onset.bass is not None and not onset.bass.optional:
            leads = False
        after = onset
    return told[::-1]


def _strikes(pattern: Strokes, bass: BassStroke | None) -> tuple[Strokes, ...]:
    """What may be struck: as asked; without the melody string; without an optional bass note."""
    asked = (True, *pattern[1:]) if bass and not bass.optional else pattern
    options = [asked]
    if bass and bass.optional:
        options.append((True, *pattern[1:]))
    if all(pattern[1:]):
        options += [(*option[:-1], False) for option in options]
    return tuple(dict.fromkeys(options))


def _judged(onset: _Onset, after: _Onset | None) -> bool:
    """Full strums are judged; of strings struck one by one, the last before the next bass note."""
    if onset.stay is None or not any(onset.pattern[1:]):
        return False
    if all(onset.pattern[1:]) or after is None:
        return True
    goes_on = after.stay is onset.stay and after.bass is None and any(after.pattern[1:])
    return not goes_on
