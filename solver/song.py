"""Moments of a song: what is asked, beat by beat, of chords with a moving bass.

The manner lays out each stay's bass strokes; the right hand's pattern adds the strings above.
Passages that end like the tune close on the root as it does.

Public: song_moments.
"""

from bisect import bisect_right
from dataclasses import dataclass, replace

from scoring.moment import FOREIGN, Moment, Strokes
from solver.manners import MANNERS, BassStroke, Stay
from solver.spans import Span, pattern_of, stays_of
from solver.style import Style
from tune.time import Metre
from tune.tune import ChordChange, Tune

ENDING = 4
"""Bars that must be alike for a passage to end as the tune does."""


def song_moments(tune: Tune, style: Style, spans: list[Span], courses: int) -> tuple[Moment, ...]:
    """Every moment of the tune as played, in order, without gaps from the first bar's start."""
    return tuple(_Builder(tune, spans, style, courses).build(stays_of(tune, spans, style)))


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
            for tick, stroke in pattern_of(span, self.style):
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
