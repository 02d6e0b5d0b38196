"""The shapes that an arrangement uses, in the order of first use.

A shape is what the fingers stop and with which; whatever strings are open or silent besides belongs
to its first use. It comes once for each time that the hand takes it up, repeats counted as played.

Public: used_shapes, UsedShape.
"""

from dataclasses import dataclass, replace

from fretboard.grip import Grip
from solver.conditions.few_shapes import LearnedShape, learned
from solver.result import Arrangement
from tune.chord import Chord
from tune.key import Key
from undersong.sheet.printed_chords import printed_chords


@dataclass(frozen=True)
class UsedShape:
    """shape: what is learned; grip: that of its first use; times: how often the hand takes it up;
    bar, key: the played bar of its first use, and the key there; chords: that are printed over it,
    in order of first use."""

    shape: LearnedShape
    grip: Grip
    times: int
    bar: int
    key: Key
    chords: tuple[Chord, ...]


def used_shapes(arrangement: Arrangement) -> tuple[UsedShape, ...]:
    """Every shape once; none where every string is open throughout."""
    found: dict[LearnedShape, UsedShape] = {}
    before: LearnedShape | None = None
    rows = zip(arrangement.moments, arrangement.choices, printed_chords(arrangement), strict=True)
    for moment, choice, printed in rows:
        shape = learned(choice.grip)
        if shape is not None:
            key = arrangement.tune.bars[moment.written].key
            old = found.get(shape) or UsedShape(shape, choice.grip, 0, moment.bar, key, ())
            chords = tuple(dict.fromkeys((*old.chords, *filter(None, printed))))
            times = old.times + (shape != before)
            found[shape] = replace(old, times=times, chords=chords)
        before = shape
    return tuple(found.values())
