"""Whether any other choice is left in a bar at all, told without a search.

The ways that differ in the bar from every known one fall into cells: as a known one up to some
moment, and there as none of the known that begin so. A cell in which no way leads through the graph
holds none; where all are so, none is left, whatever is asked of whole tunes besides.

Public: none_left, same.
"""

from collections.abc import Iterator, Sequence

import numpy as np

from scoring.choice import Bools, Choice
from solver.arrays import FAR
from solver.layers import Layer
from solver.passes import outlook
from solver.question import Question

Fretted = tuple[tuple[int, ...], tuple[bool, ...]]


def none_left(asked: Question, known: Sequence[Sequence[Choice]], bar: int) -> bool:
    """Whether no way through differs in the played bar, as fretted or struck, from all known ones;
    known: their choices, one a moment."""
    inside = [index for index, moment in enumerate(asked.moments) if moment.bar == bar]
    barred = [tuple(_fretted(choices[index]) for index in inside) for choices in known]
    for prefix, ruled_out in _cells(barred):
        masks: list[Bools | None] = [None] * len(asked.moments)
        for index, fretted in zip(inside, prefix, strict=False):
            masks[index] = same(asked.graph.layers[index], fretted)
        index = inside[len(prefix)]
        layer = asked.graph.layers[index]
        left = np.ones(len(layer), np.bool_)
        for fretted in ruled_out:
            left &= ~same(layer, fretted)
        masks[index] = left
        if left.any() and outlook(asked.graph, asked.costs.allowed(masks)).bound < FAR:
            return False
    return True


def same(layer: Layer, fretted: Fretted) -> Bools:
    """(nodes,): where the frets and the strokes are these."""
    frets, struck = fretted
    shapes = layer.shapes
    there = (shapes.frets == np.array(frets)).all(axis=1)
    there &= (shapes.struck == np.array(struck)).all(axis=1)
    return np.asarray(there[layer.shape], np.bool_)


def _fretted(choice: Choice) -> Fretted:
    return choice.grip.frets, choice.struck


def _cells(
    known: Sequence[tuple[Fretted, ...]],
) -> Iterator[tuple[tuple[Fretted, ...], set[Fretted]]]:
    """(what the moments before are, what the next one is not), each cell once."""
    for depth in range(len(known[0])):
        for prefix in dict.fromkeys(one[:depth] for one in known):
            yield prefix, {one[depth] for one in known if one[:depth] == prefix}
