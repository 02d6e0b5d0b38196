"""The time line: the bars as they are played, and the stays of their chords.

Played bars are cut into stays (one chord each). A chord that merely goes on is one stay, except
that it begins afresh after a pickup, in a new metre, at a section, where another manner begins,
and wherever a repeat or an ending comes back to, so that every time through has the same bass.
Before the tune's first chord, over a pickup say, there is a rest each time through: what rang when
the playing came back there is nothing that the bar asks for.

Public: Span, spans_of, stays_of, pattern_of.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from solver.manners import Stay
from solver.righthand import Stroke
from solver.style import Style
from tune.chord import Chord
from tune.time import Metre
from tune.tune import Tune


@dataclass(frozen=True)
class Span:
    """A played bar on the tune's time line; lead: ticks of its full bar that are missing before
    it (a pickup's); section: a section begins there: a name, a repeat sign, or where the playing
    comes back to; fresh: the music begins afresh there; manner: the bass manner of the bar."""

    number: int
    written: int
    start: int
    end: int
    lead: int
    metre: Metre
    section: bool
    fresh: bool
    manner: str


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
        section = bool(bar.section or bar.repeat_start or played.written in came_back_to)
        fresh = bool(
            before is None
            or section
            or before.manner != here
            or before.lead
            or before.metre != bar.metre
        )
        spans.append(
            Span(
                played.number, played.written, played.start, played.start + bar.length,
                lead, bar.metre, section or before is None, fresh, here,
            )
        )  # fmt: skip
    return spans


def _changes(tune: Tune, spans: list[Span], style: Style) -> list[tuple[int, Chord | None]]:
    """(tick, chord) wherever a stay begins; the first begins at 0."""
    changes: list[tuple[int, Chord | None]] = []
    chord: Chord | None = None
    first = next((at for at, bar in enumerate(tune.bars) if bar.chords), len(tune.bars))
    for span in spans:
        if span.written <= first:
            chord = None
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


def stays_of(tune: Tune, spans: list[Span], style: Style) -> list[Stay | tuple[int, int]]:
    """The chords' stays and, as (start, end), rests, in order."""
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
            for tick, stroke in pattern_of(span, style)
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
        steps=tuple(tick for span in spans for tick in _steps(span) if start <= tick < end),
    )


def _steps(span: Span) -> list[int]:
    """Where a figure moves on: the felt beats where a bar has three or more, else two notes a
    beat, the halves of a simple one, the beat and the last third of a compound one."""
    metre, first = span.metre, span.start - span.lead
    offsets = [beat * metre.beat for beat in range(metre.felt_beats)]
    if metre.felt_beats < 3:
        later = metre.beat * 2 // 3 if metre.compound else metre.beat // 2
        offsets = [offset + more for offset in offsets for more in (0, later)]
    return [first + offset for offset in offsets if span.start <= first + offset < span.end]


def pattern_of(span: Span, style: Style) -> list[tuple[int, Stroke]]:
    """The right hand's strokes that fall within the bar, with their ticks on the time line."""
    strokes = style.right_hand.strokes(span.metre)
    return [
        (span.start + stroke.tick - span.lead, stroke)
        for stroke in strokes
        if span.lead <= stroke.tick < span.lead + span.end - span.start
    ]
