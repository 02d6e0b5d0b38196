"""Exact pruning: the graph of what can still be part of an answer close enough to the bound.

A node or step whose min-marginal exceeds bound + gap is in no answer that costs so little, so
leaving it out loses nothing that a proof within that gap needs. What is kept becomes a networkx
graph whose steps carry reduced costs: what a step gives away against the cheapest way on. The sum
of reduced costs along a whole way, added to the bound, is that way's true cost.

Public: kept_graph, START.
"""

import networkx as nx
import numpy as np

from solver.graph import ChoiceGraph
from solver.passes import Costs, Passes, step_margins

Node = tuple[int, int]
"""(moment, node of its layer)."""

START: Node = (-1, 0)


def kept_graph(graph: ChoiceGraph, costs: Costs, passes: Passes, gap: int) -> nx.DiGraph:
    """Nodes (moment, node) and steps with ``reduced`` ms, all within ``gap`` of the best; START
    leads to the first moment's nodes."""
    kept = nx.DiGraph()
    limit = passes.best + gap
    first = passes.through(0)
    for node in np.flatnonzero(first <= limit):
        kept.add_edge(START, (0, int(node)), reduced=int(first[node]) - passes.best)
    for index, steps in enumerate(graph.steps):
        margins = step_margins(graph, costs, passes, index)
        rows = np.flatnonzero(margins <= limit)
        tails, heads = steps.tail[rows], steps.head[rows]
        reduced = margins[rows] - passes.through(index)[tails]
        kept.add_edges_from(
            ((index, t), (index + 1, h), {"reduced": r})
            for t, h, r in zip(tails.tolist(), heads.tolist(), reduced.tolist(), strict=True)
        )
    return kept
