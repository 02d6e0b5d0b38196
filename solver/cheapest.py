"""One of the cheapest ways through the whole graph, where any of them will do.

Public: one_cheapest.
"""

import numpy as np

from solver.arrays import FAR
from solver.graph import ChoiceGraph
from solver.passes import Costs, TooWide, explore, outlook


def one_cheapest(graph: ChoiceGraph, costs: Costs, room: int) -> tuple[tuple[int, ...], int] | None:
    """(the layers' nodes, true ms) of one of the cheapest ways; None where there is none, or more
    than ``room`` steps lie on equally cheap ones."""
    ahead = outlook(graph, costs)
    if ahead.bound >= FAR:
        return None
    try:
        explored = explore(graph, costs, ahead, ahead.bound, room)
    except TooWide:
        return None
    at, work = 0, int(explored.first[0])
    nodes = [int(explored.nodes[0][0])]
    for index, (tail, head) in enumerate(zip(explored.tail, explored.head, strict=True)):
        step = int(np.flatnonzero(tail == at)[0])
        at = int(head[step])
        work += int(explored.true[index][step])
        nodes.append(int(explored.nodes[index + 1][at]))
    return tuple(nodes), work
