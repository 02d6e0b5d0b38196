"""Of several answers that cost the same, the first: moment by moment the lowest node that still
belongs to a best answer, so that the same tune always gets the same hands, whatever the solver's
seed or thread order.

Where one way through is all that is asked, a walk over the kept graph finds it: its steps that
give nothing away make up every best answer, and nothing else. Where other families are asked for
too, CP-SAT is asked moment by moment.

Public: first_best, first_allowed.
"""

from collections.abc import Callable
from itertools import groupby

import networkx as nx

from solver.prune import START, Node

Lowest = Callable[[list[Node]], int | None]
"""Asks a model for the first of some nodes that an answer it still allows passes through, and
holds it to that one; None when it cannot tell in its time."""


def first_best(kept: nx.DiGraph, last: int) -> tuple[int, ...]:
    """One node a moment: the lexicographically first way through the kept graph that gives
    nothing away."""
    nodes: list[int] = []
    at = START
    while at[0] < last:
        at = min(head for _, head, cost in kept.out_edges(at, data="reduced") if cost == 0)
        nodes.append(at[1])
    return tuple(nodes)


def first_allowed(kept: nx.DiGraph, lowest: Lowest) -> tuple[int, ...] | None:
    """One node a moment: the lexicographically first way that ``lowest`` allows; None when it
    could not be told in time."""
    nodes: list[int] = []
    inner = sorted(node for node in kept if node != START)
    for _, group in groupby(inner, key=lambda node: node[0]):
        found = lowest(list(group))
        if found is None:
            return None
        nodes.append(found)
    return tuple(nodes)
