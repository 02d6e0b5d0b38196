"""Of several answers that cost the same, the first: moment by moment the lowest node that still
belongs to a best answer. What is kept at gap 0 holds every best answer, so the walk never fails,
and the same tune always gets the same hands, whatever the solver's seed or thread order.

Public: first_best.
"""

import networkx as nx

from solver.prune import START


def first_best(kept: nx.DiGraph, last: int) -> tuple[int, ...]:
    """One node a moment: the lexicographically first way through the kept graph that gives
    nothing away."""
    nodes: list[int] = []
    at = START
    while at[0] < last:
        at = min(head for _, head, cost in kept.out_edges(at, data="reduced") if cost == 0)
        nodes.append(at[1])
    return tuple(nodes)
