"""The melody as the instrument is to sound it, worked out from the written notes for the checker
alone.

Public: Sounded, melody_of, melody_at.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tune.time import QUARTER
from tune.tune import Note, Tune

_GRACE = QUARTER // 8


@dataclass(frozen=True)
class Sounded:
    """A note from start to end (ticks of the tune as played) at that MIDI pitch."""

    start: int
    end: int
    midi: int


def melody_of(tune: Tune, graces: bool) -> tuple[Sounded, ...]:
    """Every note in playing order, tied ones as one; graces: grace notes are played too."""
    joined: list[tuple[Sounded, tuple[int, ...]]] = []
    waiting: list[tuple[int, int]] = []
    going_on = False
    for start, note in _played(tune):
        if note.grace:
            waiting += [] if note.midi is None else [(start, note.midi)]
            continue
        if note.midi is None:
            waiting, going_on = [], False
            continue
        end = start + note.length
        last, before = joined[-1] if joined else (None, ())
        if going_on and last and (last.end, last.midi) == (start, note.midi):
            joined[-1] = (Sounded(last.start, end, note.midi), before)
        else:
            here = tuple(midi for tick, midi in waiting if graces and tick == start)
            joined.append((Sounded(start, end, note.midi), here))
        waiting, going_on = [], note.tied
    return tuple(part for note, before in joined for part in _graced(note, before))


def _played(tune: Tune) -> Iterator[tuple[int, Note]]:
    """Every written note as it comes, with the tick where it begins."""
    clock = 0
    for played in tune.played:
        bar = tune.bars[played.written]
        for note in bar.notes:
            yield clock + note.tick, note
        clock += bar.length


def _graced(note: Sounded, before: tuple[int, ...]) -> Iterator[Sounded]:
    """Grace notes, and what they leave of the note that they belong to."""
    each = min(_GRACE, (note.end - note.start) // (3 * len(before))) if before else 0
    if each == 0:
        before = ()
    for place, midi in enumerate(before):
        yield Sounded(note.start + place * each, note.start + (place + 1) * each, midi)
    yield Sounded(note.start + len(before) * each, note.end, note.midi)


def melody_at(notes: Sequence[Sounded], tick: int) -> Sounded | None:
    """The note that sounds at a tick."""
    index = bisect_right(notes, tick, key=lambda note: note.start) - 1
    return notes[index] if index >= 0 and tick < notes[index].end else None
