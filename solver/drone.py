"""Moments of a drone: the melody on the last string, the others open and ringing.

Every string is struck with the melody's first note and with those on felt beats, the last string
alone with the others. The tune's chords do not matter: one open fifth on the tonic lies under it.

Public: drone_moments.
"""

from bisect import bisect_right

from scoring.moment import Moment
from solver.solo import melody_ticks
from solver.spans import Span
from solver.style import Style
from tune.chord import Chord
from tune.melody import sung, sung_at
from tune.tune import Tune


def drone_moments(tune: Tune, style: Style, spans: list[Span], courses: int) -> tuple[Moment, ...]:
    """Every moment of the tune as played, in order, without gaps from the first bar's start."""
    notes = sung(tune, style.graces)
    first, end = notes[0].tick, spans[-1].end
    ticks = sorted({0} | melody_ticks(notes, end))
    chord = Chord(tune.key.tonic, "5")
    moments = []
    for tick, until in zip(ticks, [*ticks[1:], end], strict=True):
        span = spans[bisect_right(spans, tick, key=lambda span: span.start) - 1]
        note, place = sung_at(notes, tick), tick - span.start + span.lead
        sings = note is not None and note.tick == tick
        on_beat = place % span.metre.beat == 0
        beat, felt = place // span.metre.beat, span.metre.felt_beats
        others = tick == first or (sings and on_beat)
        moments.append(
            Moment(
                bar=span.number,
                written=span.written,
                offset=tick - span.start,
                length=until - tick,
                ms=tune.tempo_at(span.written).milliseconds(until - tick),
                chord=chord,
                change=tick == 0,
                downbeat=tick == span.start and not span.lead,
                strong=on_beat and (beat == 0 or (felt == 4 and beat == 2)),
                half_bar=on_beat and felt in (2, 4) and beat == felt // 2,
                moves=False,
                run=False,
                keeps=False,
                rings=tick >= first,
                leads=False,
                judged=False,
                damped=False,
                strikes=((*(others,) * (courses - 1), sings),),
                plays=(*(tick >= first,) * (courses - 1), note is not None),
                roles=frozenset({"drone"}),
                scale=tune.bars[span.written].key.pitch_classes,
                texture="drone",
                melody=None if note is None else note.midi,
                sings=sings,
            )
        )
    return tuple(moments)
