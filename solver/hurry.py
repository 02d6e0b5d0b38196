"""How much of its time the most hurried move of a whole way needs at least.

One pass forward, in which a way is as hurried as its most hurried move, in place of a pass for
every cap on time that might do.

Public: least_hurry.
"""

import numpy as np

from scoring.difficulty import MOST
from solver.arrays import FAR, Moves, far_of
from solver.graph import ChoiceGraph
from solver.links import LinkCost
from solver.passes import Costs
from solver.ratings import HURRY

NONE = MOST + 1
"""More than any move is rated: where no way leads to."""


def least_hurry(graph: ChoiceGraph, costs: Costs) -> int | None:
    """Percent: a way without a move that needs more of its time is there, and none without one
    that needs as much; None where there is no way."""
    known: dict[tuple[int, bytes], Moves] = {}
    worst = np.where(costs.first < FAR, 0, NONE).astype(np.int16)
    for index, link in enumerate(costs.links):
        key = id(link), worst.tobytes()
        if key not in known:
            known[key] = _follows(link, worst)
        worst = np.where(costs.nodes[index + 1] < FAR, known[key], NONE).astype(np.int16)
    least = int(worst.min(initial=NONE))
    return None if least == NONE else least


def _follows(link: LinkCost, worst: Moves) -> Moves:
    """(nodes after,): the most hurried move of the least hurried way to each; worst: the same for
    the nodes before."""
    fan, moves = link.link.fan, link.moves
    hurry = link.shelf.ratings(link.link, link.tables)[HURRY]
    stems = np.full(len(fan.tail), NONE, np.int16)
    np.minimum.at(stems, fan.stem, worst)
    slots = np.full(len(fan.head), NONE, np.int16)
    if link.link.starts is not None:
        pair, slot, starts = link.link.runs
        step = np.maximum(hurry[pair], np.repeat(stems, np.diff(starts)))
        step[moves[pair] >= far_of(moves)] = NONE
        np.minimum.at(slots, slot, step)
    else:
        for row in range(len(fan.stems) - 1):
            own = np.arange(fan.stems[row], fan.stems[row + 1])
            own = own[stems[own] < NONE]
            tails, heads = fan.tail[own], slice(fan.slots[row], fan.slots[row + 1])
            step = np.maximum(hurry[tails], stems[own][:, None])
            step[moves[tails] >= far_of(moves)] = NONE
            slots[heads] = step.min(axis=0, initial=NONE)[fan.head[heads]]
    after = np.full(len(link.link.after), NONE, np.int16)
    np.minimum.at(after, fan.node, np.repeat(slots, np.diff(fan.starts)))
    return after
