"""A tab in the fingers that are written on it: the same frets and strokes, other fingers than those
that cost least.

A page does not say where the hand is while no string is stopped: it waits where the hardest move
from finger to finger is the least hard.

Public: as_fingered.
"""

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from fretboard.fingering import fingerings, open_places
from fretboard.grip import Grip
from scoring.choice import Shapes
from scoring.difficulty import step_difficulty
from scoring.moment import Moment
from scoring.move import Move
from solver.result import Arrangement
from undersong.handed.sounding import Here


def as_fingered(
    nearest: Arrangement, here: Sequence[Here], missing: Collection[int] = ()
) -> Arrangement | None:
    """The arrangement in the fingers that are written; itself where they are its own, None where
    not every stopped string has one, or the hand cannot put them so. missing: played bars that the
    tab does not have, which stay as they are."""
    found = {(one.at.played, one.at.tick): one for one in here}
    grips: list[Grip | None] = []
    for moment, choice in zip(nearest.moments, nearest.choices, strict=True):
        if not choice.grip.down:
            grips.append(None)
            continue
        if moment.bar in missing:
            grips.append(choice.grip)
            continue
        grip = _written(choice.grip.frets, found.get((moment.bar, moment.offset)), nearest)
        if grip is None:
            return None
        grips.append(grip)
    own = (choice.grip for choice in nearest.choices)
    if all(grip is None or grip == one for grip, one in zip(grips, own, strict=True)):
        return nearest
    choices = (
        replace(choice, grip=grip)
        for choice, grip in zip(nearest.choices, _waiting(grips, nearest), strict=True)
    )
    return replace(nearest, choices=tuple(choices))


def _written(frets: tuple[int, ...], here: Here | None, nearest: Arrangement) -> Grip | None:
    """The grip with those frets in the fingers of that column; None where they are not all
    written, or the hand has none such."""
    if here is None:
        return None
    capo = nearest.instrument.capo
    fingers = []
    for course, fret in enumerate(frets):
        finger = here.fingers[course] if fret > capo else -1
        if finger is None or (fret > capo and here.frets[course] != fret):
            return None
        fingers.append(finger)
    ways = fingerings(frets, nearest.instrument, nearest.hand)
    return next((grip for grip in ways if grip.fingers == tuple(fingers)), None)


def _waiting(grips: Sequence[Grip | None], nearest: Arrangement) -> list[Grip]:
    """The grips, those without a finger down where the moves between the others are the least
    hard: the hardest of them first, then their sum."""
    ways = [_ways(index, grips, nearest) for index in range(len(grips))]
    best = [(0, 0)] * len(ways[0])
    back: list[list[int]] = []
    strokes = [choice.struck for choice in nearest.choices]
    for index, (before, after) in enumerate(pairwise(ways)):
        percent = _percents(
            [(grip, strokes[index]) for grip in before],
            [(grip, strokes[index + 1]) for grip in after],
            nearest.moments[index],
            nearest,
        )
        if len(before) == 1:  # what came before is settled
            best = [(0, 0)]
        came, then = [], []
        for to in range(len(after)):
            options = [
                (max(most, percent[at][to]), total + percent[at][to])
                for at, (most, total) in enumerate(best)
            ]
            came.append(min(range(len(options)), key=options.__getitem__))
            then.append(options[came[-1]])
        back.append(came)
        best = then
    at = min(range(len(best)), key=best.__getitem__)
    out = [ways[-1][at]]
    for came, before in zip(reversed(back), reversed(ways[:-1]), strict=True):
        at = came[at]
        out.append(before[at])
    return out[::-1]


def _ways(index: int, grips: Sequence[Grip | None], nearest: Arrangement) -> list[Grip]:
    """The grip, or everywhere where the hand may wait."""
    grip = grips[index]
    if grip is not None:
        return [grip]
    own = nearest.choices[index].grip
    highest = nearest.instrument.capo + nearest.style.bass_ceiling
    places = {own.place, *open_places(nearest.instrument, highest)}
    return [replace(own, place=place) for place in sorted(places)]


_Shape = tuple[Grip, tuple[bool, ...]]


def _percents(
    before: Sequence[_Shape], after: Sequence[_Shape], moment: Moment, nearest: Arrangement
) -> list[list[int]]:
    """How hard the move is from each of the first to each of the others; moment: in which it has
    its time."""
    rows = np.repeat(np.arange(len(before)), len(after))
    columns = np.tile(np.arange(len(after)), len(before))
    move = Move(
        Shapes.of(before, nearest.instrument, nearest.hand).take(rows),
        Shapes.of(after, nearest.instrument, nearest.hand).take(columns),
        moment.ms,
        moment.damped,
    )
    table: list[list[int]] = step_difficulty(move).reshape(len(before), len(after)).tolist()
    return table
