"""The melody of a solo or drone, heard again from what the hands do, equals the tune's.

Heard means: a struck string begins a note, and it lasts as long as a string rings on at its pitch,
nothing is struck at that pitch and nothing sounds above it. What moments say of the melody is not
believed.

Public: melody_kept, heard.
"""

from collections.abc import Iterator
from itertools import accumulate

from undersong.check.fault import Fault
from undersong.check.melody import Sounded, melody_of
from undersong.check.passage import Passage


def melody_kept(passage: Passage) -> Iterator[Fault]:
    """Every note of the tune is heard at its tick, pitch and length, and the melody string is
    silent where the tune rests."""
    arrangement = passage.arrangement
    notes = melody_of(arrangement.tune, arrangement.style.graces)
    starts = _starts(passage)
    moments = {tick: index for index, tick in enumerate(starts)}
    for note in notes:
        index = moments[note.start]
        got = heard(passage, index, note.end)
        if got is None or got.midi != note.midi:
            yield passage.fault(index, "melody", "the melody note that begins here is not heard")
        elif got.end != note.end:
            yield passage.fault(
                moments[got.end], "melody", "the melody note stops sounding before its end"
            )
    for index, tick in enumerate(starts):
        sounding = any(note.start <= tick < note.end for note in notes)
        if not sounding and passage.pitch(index, passage.last) >= 0:
            yield passage.fault(
                index, "melody", f"{passage.string(passage.last)} sounds where the melody rests"
            )


def _starts(passage: Passage) -> list[int]:
    """The tick at which each moment begins."""
    return [0, *accumulate(moment.length for moment in passage.moments)][:-1]


def heard(passage: Passage, index: int, until: int) -> Sounded | None:
    """The melody note that begins at a moment, as the ear has it: the highest string, in a drone
    the last one; None where that one is not struck. It is followed no further than ``until``."""
    drone = passage.texture == "drone"
    strings = [passage.last] if drone else range(passage.last + 1)
    starts, struck = _starts(passage), passage.choices[index].struck
    midi = max(passage.pitch(index, course) for course in strings)
    if midi < 0 or not any(struck[c] and passage.pitch(index, c) == midi for c in strings):
        return None
    for later in range(index + 1, len(starts)):
        if starts[later] >= until:
            break
        again = passage.choices[later].struck
        pitches = {course: passage.pitch(later, course) for course in strings}
        covered = any(pitches[c] > midi or (again[c] and pitches[c] == midi) for c in strings)
        if covered or midi not in pitches.values():
            return Sounded(starts[index], starts[later], midi)
    return Sounded(starts[index], until, midi)
