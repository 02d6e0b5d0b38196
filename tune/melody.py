"""The melody as it is sung: every note from where it begins to where it ends, repeats unfolded.

Ties are joined, also over bar lines and from one time through to the next: a tied note goes on
where the next note played begins as it ends, at the same pitch, and ends there otherwise. Between
the notes are rests. Grace notes are left out, or take an eighth of a quarter each, all of one note
together at most a third of it, from the beginning of the note that follows; one that no new note
follows is dropped.

Public: Sung, sung, sung_at.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace

from tune.time import QUARTER
from tune.tune import Tune

GRACE = QUARTER // 8
"""Ticks of a grace note where there is room for it."""


@dataclass(frozen=True)
class Sung:
    """One melody note: tick: from the start of the tune as played; length: ticks, above 0; midi:
    sounding pitch; bar: the number of the played bar that it begins in; written: that bar's index
    in the tune."""

    tick: int
    length: int
    midi: int
    bar: int
    written: int

    @property
    def end(self) -> int:
        return self.tick + self.length


def sung(tune: Tune, graces: bool = False) -> tuple[Sung, ...]:
    """Every melody note in playing order, without overlaps; graces: with the grace notes."""
    notes: list[Sung] = []
    before: list[tuple[Sung, ...]] = []
    waiting: list[Sung] = []
    tied = False
    for played in tune.played:
        for note in tune.bars[played.written].notes:
            if note.midi is None:
                waiting, tied = [], False
                continue
            here = Sung(
                played.start + note.tick, note.length, note.midi, played.number, played.written
            )
            if note.grace:
                waiting.append(here)
                continue
            last = notes[-1] if notes else None
            if tied and last and (last.end, last.midi) == (here.tick, here.midi):
                notes[-1] = replace(last, length=last.length + here.length)
            else:
                notes.append(here)
                before.append(tuple(waiting))
            waiting, tied = [], note.tied
    if not graces:
        return tuple(notes)
    pairs = zip(notes, before, strict=True)
    return tuple(one for note, small in pairs for one in _ornamented(note, small))


def _ornamented(note: Sung, small: Sequence[Sung]) -> list[Sung]:
    """The grace notes before a note, and the note that they shorten."""
    if not small:
        return [note]
    each = min(GRACE, note.length // (3 * len(small)))
    if not each:
        return [note]
    taken = each * len(small)
    begin = [
        replace(note, tick=note.tick + place * each, length=each, midi=grace.midi)
        for place, grace in enumerate(small)
    ]
    return [*begin, replace(note, tick=note.tick + taken, length=note.length - taken)]


def sung_at(notes: Sequence[Sung], tick: int) -> Sung | None:
    """The note that sounds at that tick; None in a rest. notes: as ``sung`` gives them."""
    index = bisect_right(notes, tick, key=lambda note: note.tick) - 1
    return notes[index] if index >= 0 and tick < notes[index].end else None
