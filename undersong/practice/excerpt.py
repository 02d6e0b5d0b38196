"""A few bars of an arrangement as an arrangement of their own, at any tempo.

Whatever can be printed, rated or heard of a whole arrangement can be of an excerpt. Nothing is
solved anew: frets, fingers and strokes are those of the whole; only the time that moves have is
counted for the tempo.

Public: excerpt, tempo_of.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from scoring.moment import Moment
from solver.conditions import NONE
from solver.result import UNPROVEN, Arrangement, Proof
from tune.time import Tempo
from tune.tune import Bar, ChordChange, Tune


def tempo_of(arrangement: Arrangement, bar: int) -> Tempo:
    """The tempo of a played bar."""
    tune = arrangement.tune
    return tune.tempo_at(tune.played[bar - 1].written)


def excerpt(arrangement: Arrangement, first: int, last: int, per_minute: int) -> Arrangement:
    """The played bars ``first`` to ``last``, the first of them at ``per_minute``, a change of tempo
    among them scaled alike.

    Its bars keep their printed numbers; it has no repeats, and no claim to be proven.
    """
    tune = arrangement.tune
    bars: list[Bar] = []
    tempi = [tempo_of(arrangement, number) for number in range(first, last + 1)]
    for number in range(first, last + 1):
        at = number - first
        changed = tempi[at] if at and tempi[at] != tempi[at - 1] else None
        bar = tune.bars[tune.played[number - 1].written]
        bars.append(
            replace(bar, tempo=changed, section="", repeat_start=False, repeat_times=1, endings=())
        )
    inside = [
        index for index, moment in enumerate(arrangement.moments) if first <= moment.bar <= last
    ]
    kept = [arrangement.moments[index] for index in inside]
    bars[0] = _with_its_chord(bars[0], kept)
    bars[-1] = _without_ties(bars[-1])
    small = replace(
        tune, key=bars[0].key, metre=bars[0].metre, tempo=tempi[0], bars=tuple(bars), notices=()
    ).at_tempo(per_minute)
    choices = tuple(arrangement.choices[index] for index in inside)
    moments = tuple(_moments(kept, first, small))
    return replace(
        arrangement,
        tune=small,
        moments=moments,
        choices=choices,
        conditions=NONE,
        proof=Proof(UNPROVEN, 0, 0),
    )


def _moments(kept: Sequence[Moment], first: int, tune: Tune) -> Iterator[Moment]:
    for at, moment in enumerate(kept):
        number = moment.bar - first
        length = moment.length
        if at == len(kept) - 1:
            left = sum(bar.length for bar in tune.bars[number:]) - moment.offset
            length = min(length, left)
        yield replace(
            moment,
            bar=number + 1,
            written=number,
            length=length,
            ms=tune.tempo_at(number).milliseconds(length),
        )


def _with_its_chord(bar: Bar, kept: Sequence[Moment]) -> Bar:
    """The bar with the chord that sounds on into it named at its start."""
    if not kept or kept[0].offset or kept[0].chord is None:
        return bar
    if any(change.tick == 0 for change in bar.chords):
        return bar
    return replace(bar, chords=(ChordChange(0, kept[0].chord), *bar.chords))


def _without_ties(bar: Bar) -> Bar:
    """The bar whose last note ends with it."""
    if not bar.notes:
        return bar
    return replace(bar, notes=(*bar.notes[:-1], replace(bar.notes[-1], tied=False)))
