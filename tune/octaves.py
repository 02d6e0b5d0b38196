"""Melodies moved by octaves where they lie badly: a phrase at a time, chords left as they are.

Public: by_octaves, phrases.
"""

from collections.abc import Collection
from dataclasses import replace

from tune.errors import Place, TuneError
from tune.tune import Bar, Note, Tune

PHRASE = 4
"""Full bars of a phrase."""


def by_octaves(tune: Tune, bars: Collection[int], octaves: int) -> Tune:
    """The tune with the melody of those written bars (by index) so many octaves higher, or lower
    if negative; TuneError with the bar where a note would leave what can be written."""

    def moved(note: Note, bar: Bar) -> Note:
        if note.midi is None:
            return note
        midi = note.midi + 12 * octaves
        if not 0 <= midi <= 127:
            raise TuneError("moved so far, a melody note can no longer be", Place(bar=bar.number))
        return replace(note, midi=midi)

    made = (
        replace(bar, notes=tuple(moved(note, bar) for note in bar.notes)) if index in bars else bar
        for index, bar in enumerate(tune.bars)
    )
    return replace(tune, bars=tuple(made))


def phrases(tune: Tune) -> tuple[range, ...]:
    """The written bars, by index, phrase by phrase: four full bars from each section's or repeat's
    start, a pickup with what follows it; what is left over at its end is a shorter one."""
    begins = [0]
    full = 0
    for index, bar in enumerate(tune.bars):
        fresh = index > begins[-1] and (bool(bar.section) or bar.repeat_start)
        if fresh or full == PHRASE:
            begins.append(index)
            full = 0
        full += bar.length >= bar.metre.bar
    return tuple(
        range(begin, end) for begin, end in zip(begins, [*begins[1:], len(tune.bars)], strict=True)
    )
