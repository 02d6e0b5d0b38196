"""How many choices the hard rules left at the moments of a bar, counted in the search's own graph.

Public: Room, rooms_of.
"""

from dataclasses import dataclass

import numpy as np

from scoring.choice import Bools, Choice
from solver.arrays import FAR, Rows
from solver.layers import Layer
from solver.passes import TooWide, explore, may_begin, may_end, outlook
from solver.question import Question
from solver.result import Arrangement
from undersong.why.cells import same

STEPS = 20_000_000
"""More steps than that through one bar are not counted out."""


@dataclass(frozen=True)
class Room:
    """What is left of one moment's choices. Frets are counted as fretted and struck, whatever
    fingers; fingerings: ways to finger the frets that are played; fitting: different frets that fit
    the chord, the bass, the right hand and the reach of the hand; allowed: of these, those that the
    conditions leave; through: of these, those that can follow what is played before the bar and
    lead on to what is played after it, None where they are too many to be counted or what is
    played is not among the search's choices."""

    fingerings: int
    fitting: int
    allowed: int
    through: int | None


def rooms_of(asked: Question, arrangement: Arrangement, bar: int) -> dict[int, Room]:
    """Moment's number → its room, for the moments of that played bar; asked: what the search would
    prove for the arrangement's own weights and conditions."""
    inside = [i for i, moment in enumerate(arrangement.moments) if moment.bar == bar]
    through = _through(asked, arrangement, set(inside))
    rooms = {}
    for index in inside:
        layer, choice = asked.graph.layers[index], arrangement.choices[index]
        left = np.flatnonzero(asked.costs.nodes[index] < FAR)
        there = np.ones(len(layer), np.bool_) if index else may_begin(layer)
        if index == len(asked.moments) - 1:
            there = there & may_end(layer)
        rooms[index] = Room(
            fingerings=_fingerings(layer, choice),
            fitting=_frets(layer, np.flatnonzero(there)),
            allowed=_frets(layer, left),
            through=None if through is None else _frets(layer, through[index]),
        )
    return rooms


def _through(asked: Question, arrangement: Arrangement, inside: set[int]) -> dict[int, Rows] | None:
    """Nodes of the bar's moments that lie on a whole way with everything else as it is played."""
    masks: list[Bools | None] = [
        None if index in inside else _is(layer, choice)
        for index, (layer, choice) in enumerate(
            zip(asked.graph.layers, arrangement.choices, strict=True)
        )
    ]
    costs = asked.costs.allowed(masks)
    ahead = outlook(asked.graph, costs)
    if ahead.bound >= FAR:
        return None
    try:
        found = explore(asked.graph, costs, ahead, int(FAR) // 2, STEPS)
    except TooWide:
        return None
    return {index: found.nodes[index] for index in inside}


def _is(layer: Layer, choice: Choice) -> Bools:
    """(nodes,): where the player does just that."""
    there = same(layer, (choice.grip.frets, choice.struck))
    mask = np.zeros(len(layer), np.bool_)
    for node in np.flatnonzero(there).tolist():
        mask[node] = layer.choice(node) == choice
    return mask


def _fingerings(layer: Layer, choice: Choice) -> int:
    shapes = np.unique(layer.shape[same(layer, (choice.grip.frets, choice.struck))])
    return len(np.unique(layer.shapes.fingers[shapes], axis=0))


def _frets(layer: Layer, nodes: Rows) -> int:
    """How many different frets and strokes those nodes have."""
    if not len(nodes):
        return 0
    shape = np.unique(layer.shape[nodes])
    rows = np.concatenate([layer.shapes.frets[shape], layer.shapes.struck[shape]], axis=1)
    return len(np.unique(rows, axis=0))
