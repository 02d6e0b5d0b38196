"""Onsets: where something begins, before a texture says what may be struck there.

The manner lays out each stay's bass strokes, the right hand's pattern adds the strings above.
Passages that end like the tune close on the root as it does.

Public: Onset, Setting, leading, judging.
"""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, replace

from scoring.moment import FOREIGN, Moment, Strokes
from solver.manners import MANNERS, BassStroke, Stay
from solver.spans import Span, pattern_of
from solver.style import Style
from tune.time import Metre
from tune.tune import ChordChange, Tune

ENDING = 4
"""Bars that must be alike for a passage to end as the tune does."""


@dataclass(frozen=True)
class Onset:
    """Something begins: tick, the stay (None for a rest), a new bass note or None, and what the
    pattern strikes besides; rings: the bass must sound on; goes_on: the roles of bass notes that
    may sound on; leads: the next bass note may begin a new chord; judged: the chord's completeness
    is judged here; breath: the bass should fall silent."""

    tick: int
    stay: Stay | None
    bass: BassStroke | None
    pattern: Strokes
    rings: bool = False
    goes_on: frozenset[str] = frozenset()
    leads: bool = False
    judged: bool = False
    breath: bool = False

    @property
    def roles(self) -> frozenset[str]:
        """What the bass may be: a new note's roles, else what may sound on, or be struck again."""
        if self.bass is not None:
            return self.bass.roles
        return self.goes_on - set(FOREIGN) if self.pattern[0] else self.goes_on


@dataclass(frozen=True)
class Setting:
    """A tune on its time line, in a style, on so many courses."""

    tune: Tune
    spans: list[Span]
    style: Style
    courses: int

    def onsets(self, stays: Iterable[Stay | tuple[int, int]]) -> list[Onset]:
        """Bass strokes, strokes of the pattern, and the bars' starts in rests, in order."""
        stays = list(stays)
        silent = (False,) * self.courses
        closing = self._closing_ticks(stays)
        pattern = self._struck()
        onsets: list[Onset] = []
        run_before = False
        for stay in stays:
            if isinstance(stay, tuple):
                rests = {stay[0], *(s.start for s in self.spans if stay[0] <= s.start < stay[1])}
                onsets += [Onset(tick, None, None, silent) for tick in sorted(rests)]
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
                onsets.append(Onset(tick, stay, stroke, struck, rings, goes_on))
        return onsets

    def span_at(self, tick: int) -> Span:
        """The played bar in which the tick lies."""
        return self.spans[bisect_right(self.spans, tick, key=lambda span: span.start) - 1]

    def moments(self, onsets: list[Onset], strikes: Iterable[tuple[Strokes, ...]]) -> list[Moment]:
        """Each onset as a moment; strikes: what may be struck at each, as asked first."""
        ends = [onset.tick for onset in onsets[1:]] + [self.spans[-1].end]
        rows = zip(onsets, ends, strikes, strict=True)
        return [self._moment(onset, end, struck) for onset, end, struck in rows]

    def _line(self, stay: Stay) -> list[BassStroke]:
        """The bass strokes of a stay, in the manner of the bar that it begins in."""
        return MANNERS[self.span_at(stay.start).manner][1](stay)

    def _closing_ticks(self, stays: list[Stay | tuple[int, int]]) -> set[int]:
        """The last bass stroke of each closing bar, and what may be struck after it."""
        ticks: set[int] = set()
        for index, span in enumerate(self.spans):
            if self.closes(index):
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

    def closes(self, index: int) -> bool:
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

    def _moment(self, onset: Onset, end: int, strikes: tuple[Strokes, ...]) -> Moment:
        tick, stay, bass = onset.tick, onset.stay, onset.bass
        span = self.span_at(tick)
        felt = span.metre.felt_beats
        half = felt in (2, 4) and tick == span.start - span.lead + felt // 2 * span.metre.beat
        hand = self.style.right_hand
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
            runs_to=_runs_to(onset),
            climbs=bass is not None and bass.climbs,
            keeps=bass is None and onset.pattern[0],
            rings=onset.rings and not hand.damped,
            leads=onset.leads,
            judged=onset.judged,
            damped=hand.damped and stay is not None,
            strikes=strikes,
            plays=hand.plays(self.courses) if stay else (False,) * self.courses,
            roles=onset.roles,
            fallback=bass.fallback if bass else frozenset(),
            scale=self.tune.bars[span.written].key.pitch_classes,
        )


def _runs_to(onset: Onset) -> int | None:
    """The pitch class of the root that a note of a run leads to; that root itself is there."""
    stay, bass = onset.stay, onset.bass
    if stay is None or bass is None or not bass.run or onset.tick == stay.start:
        return None
    return stay.next_bass


def leading(onsets: list[Onset]) -> list[Onset]:
    """The onsets, told which have no bass note that must come between them and a new chord."""
    told: list[Onset] = []
    leads, after = False, None
    for onset in reversed(onsets):
        if after is not None and after.stay is not onset.stay:
            leads = after.stay is not None
        told.append(replace(onset, leads=leads))
        if onset.bass is not None and not onset.bass.optional:
            leads = False
        after = onset
    return told[::-1]


def judging(onsets: list[Onset]) -> list[Onset]:
    """The onsets, told where the chord is judged: full strums are; of strings struck one by one,
    the last before the next bass note."""
    following = [*onsets[1:], None]
    pairs = zip(onsets, following, strict=True)
    return [replace(onset, judged=_judged(onset, after)) for onset, after in pairs]


def _judged(onset: Onset, after: Onset | None) -> bool:
    if onset.stay is None or not any(onset.pattern[1:]):
        return False
    if all(onset.pattern[1:]) or after is None:
        return True
    goes_on = after.stay is onset.stay and after.bass is None and any(after.pattern[1:])
    return not goes_on
