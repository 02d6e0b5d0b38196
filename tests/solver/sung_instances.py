"""Random cases with a melody to keep, small enough to be counted out in full.

A ``tiny`` case is given a melody of few notes, most of them where the instrument has them: rests,
ties over bar lines, grace notes, notes that begin between the beats and notes that the last string
does not have.

Public: tiny_solo, tiny_drone, tiny_solo_again.
"""

import random
from dataclasses import replace
from itertools import pairwise

from tests.solver.instances import Instance, tiny, tiny_again
from tune.time import QUARTER
from tune.tune import Bar, Note


def tiny_solo(seed: int) -> Instance:
    """Every manner and right hand."""
    return _sung(random.Random(f"solo {seed}"), tiny(seed), "solo")


def tiny_solo_again(seed: int) -> Instance:
    """Music that comes again, its melody with it."""
    return _sung(random.Random(f"solo again {seed}"), tiny_again(seed), "solo")


def tiny_drone(seed: int) -> Instance:
    return _sung(random.Random(f"drone {seed}"), tiny(seed), "drone")


def _sung(dice: random.Random, case: Instance, texture: str) -> Instance:
    highest = dice.choice((3, 5, 9, 12, 36))
    there = _pitches(case, texture, highest)
    known: dict[Bar, tuple[Note, ...]] = {}
    bars = []
    for bar in case.tune.bars:
        if bar not in known:
            known[bar] = _notes(dice, bar, there)
        bars.append(replace(bar, notes=known[bar]))
    if all(note.midi is None or note.grace for bar in bars for note in bar.notes):
        bars[-1] = replace(bars[-1], notes=(Note(0, bars[-1].length, dice.choice(there)),))
    style = replace(
        case.style,
        texture=texture,
        manner="held" if texture == "drone" else case.style.manner,
        melody_highest=highest,
        graces=dice.random() < 0.3,
    )
    return replace(case, tune=replace(case.tune, bars=tuple(bars)), style=style)


def _pitches(case: Instance, texture: str, highest: int) -> list[int]:
    """Mostly those of the last string near the nut; in a solo a few of the others."""
    instrument, last = case.instrument, len(case.instrument.courses) - 1
    courses = [last] if texture == "drone" else [last, last, last, *range(last)]
    limit = instrument.capo + min(highest, 7)
    return [
        instrument.pitch(course, fret)
        for course in courses
        for fret in instrument.frets(course)
        if fret <= limit
    ]


def _notes(dice: random.Random, bar: Bar, there: list[int]) -> tuple[Note, ...]:
    count = dice.choice((0, 1, 1, 2, 2, 3))
    units = bar.length // (QUARTER // 2)
    if not count or units < 2:
        return ()
    cuts = sorted({0, *(dice.randrange(units) for _ in range(count))} - {0})
    edges = [0 if dice.random() < 0.7 else cuts[0] if cuts else 0, *cuts, units]
    edges = sorted(set(edges))
    notes: list[Note] = []
    for begin, end in pairwise(edges):
        tick, length = begin * QUARTER // 2, (end - begin) * QUARTER // 2
        if dice.random() < 0.2:
            notes.append(Note(tick, length, None))
            continue
        if dice.random() < 0.1:
            notes.append(Note(tick, 0, dice.choice(there), grace=True))
        again = bool(notes) and notes[-1].midi is not None and dice.random() < 0.2
        midi = notes[-1].midi if again else dice.choice(there) + (dice.random() < 0.02)
        notes.append(Note(tick, length, midi, tied=dice.random() < 0.25))
    return tuple(notes)
