"""One fingering for each shape: what a beginner learns once, she should meet as she learned it.

The frets come first: a version is solved, and a shape that it plays with several fingerings is
settled on the one that it plays most often, or where that cannot be on the next; then it is solved
again with that. So the version is proven the best with these fingerings, not the best over all
choices of one fingering a shape. Common practice, no source.

Public: settled, settling.
"""

from collections import Counter
from collections.abc import Callable, Collection, Sequence
from typing import TypeVar

from scoring.choice import Choice
from solver.conditions.bars import WHOLE
from solver.conditions.few_shapes import LearnedShape, learned
from solver.conditions.pinned import Fingering
from solver.conditions.pins import Pin

MOST_ROUNDS = 12
"""How often a version is solved anew for its fingerings at most."""

Solved = TypeVar("Solved")

Ways = tuple[Pin, ...]
"""The fingerings that one shape has been played with, the one played most often first."""


def settled(choices: Sequence[Choice], left: Collection[LearnedShape] = ()) -> tuple[Ways, ...]:
    """For each shape with several fingerings, those, the first of equals first; the shapes that are
    played most often first. left: shapes, without fingers, that are left as they are."""
    shapes = Counter(shape for choice in choices if (shape := learned(choice.grip)) is not None)
    played: dict[LearnedShape, list[LearnedShape]] = {}
    for shape, _ in shapes.most_common():
        played.setdefault(LearnedShape(shape.frets), []).append(shape)
    return tuple(
        tuple(Pin(WHOLE, Fingering(each)) for each in fingered)
        for shape, fingered in played.items()
        if len(fingered) > 1 and shape not in left
    )


def settling(
    first: Solved,
    open_shapes: Callable[[Solved], Sequence[Ways]],
    solve: Callable[[tuple[Pin, ...]], Solved | None],
) -> Solved:
    """The version with as many shapes settled as can be.

    first: the version without any; open_shapes: what is still to be settled in a version, as
    ``settled`` gives it; solve: it with pins, None where none is. All shapes at once, and
    where that cannot be, fewer at a time, until nothing is open or ``MOST_ROUNDS`` are over.
    """
    found, pins = first, tuple[Pin, ...]()
    refused: set[Pin] = set()
    at_once: int | None = None
    for _ in range(MOST_ROUNDS):
        left = ([pin for pin in ways if pin not in refused] for ways in open_shapes(found))
        more = [ways[0] for ways in left if ways][:at_once]
        if not more:
            break
        better = solve((*pins, *more))
        if better is not None:
            found, pins = better, (*pins, *more)
        elif len(more) == 1:
            refused.add(more[0])
        else:
            at_once = len(more) // 2
    return found
