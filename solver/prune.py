"""Exact pruning: the graph of what can still be part of an answer close enough to the bound.

A step whose min-marginal exceeds the cheapest way by more than the gap is in no answer within that
gap of the bound, so leaving it out loses nothing that a proof within the gap needs. What is kept
becomes a networkx graph whose steps carry reduced costs: what a step gives away against the
cheapest way on. Their sum along a whole way, added to the cheapest, is that way's charged cost.

Public: kept_graph, Node, START.
"""

from collections.abc import Sequence

import networkx as nx
import numpy as np

from solver.arrays import Cost
from solver.ways import Swept

Node = tuple[int, int]
"""(moment, position among the bundle's nodes there)."""

START: Node = (-1, 0)


def kept_graph(swept: Swept, gap: int, surcharges: Sequence[Sequence[Cost]] = ()) -> nx.DiGraph:
    """Nodes (moment, position) and steps with ``reduced`` (scaled) and ``step`` (their number in
    the bundle), all within the gap (scaled); START leads to the first moment's nodes.

    surcharges: per family and moment (nodes,), what every answer through a node costs beyond its
    cheapest charged way.
    """
    ways, least, kept = swept.ways, swept.least, nx.DiGraph()
    kept.add_node(START)
    first = ways.first + swept.on[0] - least
    near = first <= gap
    for extra in surcharges:
        near &= first + extra[0] <= gap
    for position in np.flatnonzero(near).tolist():
        kept.add_edge(START, (0, position), reduced=int(first[position]), step=position)
    for index in range(len(ways.tail)):
        through = swept.through(index) - least
        near = through <= gap
        for extra in surcharges:
            near &= through + extra[index][ways.tail[index]] <= gap
            near &= through + extra[index + 1][ways.head[index]] <= gap
        rows = np.flatnonzero(near)
        tail, head = ways.tail[index][rows], ways.head[index][rows]
        prices = swept.prices.steps[index]
        own = ways.cost[index][rows] + (prices if isinstance(prices, int) else prices[rows])
        alone = swept.on[index] - swept.prices.nodes[index]
        reduced = own + swept.on[index + 1][head] - alone[tail]
        kept.add_edges_from(
            ((index, t), (index + 1, h), {"reduced": r, "step": s})
            for t, h, r, s in zip(
                tail.tolist(), head.tolist(), reduced.tolist(), rows.tolist(), strict=True
            )
        )
    return kept
