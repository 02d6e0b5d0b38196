"""The chords that the page prints over each moment.

A moment's own chord is what the search holds the strings to. In a drone that is the open strings'
fifth from the first bar to the last, while the tune's chords stand above the tab for whoever
accompanies; whoever reads wants those. A chord goes on until the next is printed, over repeats too,
but not before the tune's first, as in ``solver.spans``.

Public: printed_chords.
"""

from solver.result import Arrangement
from tune.chord import Chord
from tune.tune import Tune

Printed = tuple[Chord | None, ...]


def printed_chords(arrangement: Arrangement) -> tuple[Printed, ...]:
    """For each moment the chords in order that sound before the next, None for no chord; nothing
    where the tune has no chords at all."""
    tune, moments = arrangement.tune, arrangement.moments
    if arrangement.style.texture != "drone":
        return tuple((moment.chord,) for moment in moments)
    if not tune.has_chords:
        return ((),) * len(moments)
    changes, at, here = _changes(tune), 0, None
    printed: list[Printed] = []
    for moment in moments:
        start = tune.played[moment.bar - 1].start + moment.offset
        while at < len(changes) and changes[at][0] <= start:
            here, at = changes[at][1], at + 1
        over = [here]
        while at < len(changes) and changes[at][0] < start + moment.length:
            here, at = changes[at][1], at + 1
            over.append(here)
        printed.append(tuple(dict.fromkeys(over)))
    return tuple(printed)


def _changes(tune: Tune) -> list[tuple[int, Chord | None]]:
    """(tick, chord) wherever one is printed, as played."""
    first = next(at for at, bar in enumerate(tune.bars) if bar.chords)
    changes: list[tuple[int, Chord | None]] = []
    for played in tune.played:
        bar = tune.bars[played.written]
        if played.written <= first and not any(change.tick == 0 for change in bar.chords):
            changes.append((played.start, None))
        changes += [(played.start + change.tick, change.chord) for change in bar.chords]
    return changes
