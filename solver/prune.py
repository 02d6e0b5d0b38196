"""Exact pruning: the graph of what can still be part of an answer close enough to the bound.

A node or step whose min-marginal exceeds bound + gap is in no answer that costs so little, so
leaving it out loses nothing that a proof within that gap needs. What is kept becomes a networkx
graph whose steps carry reduced costs: what a step gives away against the cheapest way on. The sum
of reduced costs along a whole way, added to the bound, is that way's true cost.

Public: kept_graph, Node, START.
"""

import networkx as nx
import numpy as np

from solver.passes import Explored, Near

Node = tuple[int, int]
"""(moment, node of its layer)."""

START: Node = (-1, 0)


def kept_graph(explored: Explored, near: Near) -> nx.DiGraph:
    """Nodes (moment, node) and steps with ``reduced`` ms, all within the gap; START leads to the
    first moment's nodes."""
    kept = nx.DiGraph()
    first = explored.to[0] + near.on[0] - near.best
    for position in np.flatnonzero(first <= near.gap).tolist():
        node = int(explored.nodes[0][position])
        kept.add_edge(START, (0, node), reduced=int(first[position]))
    for index, (rows, whole) in enumerate(zip(near.steps, near.through, strict=True)):
        tail, head = explored.tail[index][rows], explored.head[index][rows]
        reduced = whole - explored.to[index][tail] - near.on[index][tail]
        tails, heads = explored.nodes[index][tail], explored.nodes[index + 1][head]
        kept.add_edges_from(
            ((index, t), (index + 1, h), {"reduced": r})
            for t, h, r in zip(tails.tolist(), heads.tolist(), reduced.tolist(), strict=True)
        )
    return kept
