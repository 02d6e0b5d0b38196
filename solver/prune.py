"""Exact pruning: the graph of what can still be part of an answer close enough to the bound.

A node or step whose min-marginal exceeds bound + gap is in no answer that costs so little, so
leaving it out loses nothing that a proof within that gap needs. What is kept becomes a networkx
graph whose steps carry reduced costs: what a step gives away against the cheapest way on. The sum
of reduced costs along a whole way, added to the bound, is that way's true cost.

Public: kept_graph, Node, START.
"""

import networkx as nx

from solver.graph import ChoiceGraph
from solver.passes import Forward, Near

Node = tuple[int, int]
"""(moment, node of its layer)."""

START: Node = (-1, 0)


def kept_graph(graph: ChoiceGraph, ahead: Forward, near: Near) -> nx.DiGraph:
    """Nodes (moment, node) and steps with ``reduced`` ms, all within the gap; START leads to the
    first moment's nodes."""
    kept = nx.DiGraph()
    first = ahead.to[0][near.nodes[0]] + near.on[0] - ahead.best
    for node, reduced in zip(near.nodes[0].tolist(), first.tolist(), strict=True):
        kept.add_edge(START, (0, node), reduced=reduced)
    for index, (rows, whole) in enumerate(zip(near.steps, near.through, strict=True)):
        steps = graph.steps[index]
        tails, heads = steps.tail[rows], steps.head[rows]
        onward = dict(zip(near.nodes[index].tolist(), near.on[index].tolist(), strict=True))
        to = ahead.to[index]
        kept.add_edges_from(
            ((index, tail), (index + 1, head), {"reduced": way - int(to[tail]) - onward[tail]})
            for tail, head, way in zip(tails.tolist(), heads.tolist(), whole.tolist(), strict=True)
        )
    return kept
