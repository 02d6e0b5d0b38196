"""The choice graph written out in full as a networkx graph, nothing pruned, and its shortest ways.

Public: explicit_graph, every_step, whole_pass, network_best, graph_fingerprint, step_count.
"""

from collections.abc import Iterator

import networkx as nx
import numpy as np

from solver.arrays import FAR
from solver.graph import ChoiceGraph
from solver.layers import Layer
from solver.links import Link, LinkCost
from solver.passes import Costs
from tests.solver.oracles import Mark

Place = tuple[int, int]


def explicit_graph(graph: ChoiceGraph, costs: Costs) -> nx.DiGraph:
    """Every node and step of the choice graph, nothing pruned; START (-1, 0) leads to the nodes
    that may begin, every node that may end leads to (moments, 0); ``weight``: ms."""
    full = nx.DiGraph()
    full.add_nodes_from(((-1, 0), (len(graph.layers), 0)))
    for node, cost in enumerate(costs.nodes[0].tolist()):
        if cost < FAR:
            full.add_edge((-1, 0), (0, node), weight=cost)
    for index, link_cost in enumerate(costs.links):
        for tail, head, cost in every_step(link_cost):
            cost += int(costs.nodes[index + 1][head])
            if cost < FAR:
                full.add_edge((index, tail), (index + 1, head), weight=cost)
    last = len(graph.layers) - 1
    for node, cost in enumerate(costs.nodes[last].tolist()):
        if cost < FAR:
            full.add_edge((last, node), (last + 1, 0), weight=0)
    return full


def node_of(layer: Layer) -> np.ndarray:
    """(shapes, labels): the node of that shape and label, -1 where there is none."""
    table = np.full((len(layer.shapes), len(layer.labels)), -1, np.int32)
    table[layer.shape, layer.label] = np.arange(len(layer))
    return table


def every_step(link_cost: LinkCost) -> Iterator[tuple[int, int, int]]:
    """(tail node, head node, ms of the move and the bass line's step) of a link."""
    ways, before, after = link_cost.link.ways, link_cost.link.before, link_cost.link.after
    tails, heads, moves = shape_pairs(link_cost)
    pairs: dict[int, list[tuple[int, int]]] = {}
    for tail, head, move in zip(tails.tolist(), heads.tolist(), moves.tolist(), strict=True):
        pairs.setdefault(tail, []).append((head, move))
    nodes = node_of(after)
    for tail in range(len(before)):
        old = int(before.label[tail])
        for shape, move in pairs.get(int(before.shape[tail]), ()):
            for new in np.flatnonzero(ways.fits[old, after.kind[shape]]).tolist():
                yield tail, int(nodes[shape, new]), move + int(link_cost.lines[old, new])


def shape_pairs(link_cost: LinkCost) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(tail shapes, head shapes, ms of the move) of every pair that the link allows."""
    link = link_cost.link
    if link.head is None:
        tails, heads = np.nonzero(link.allowed)
        moves = link_cost.moves[tails, heads]
    else:
        tails = np.repeat(np.arange(len(link.before.shapes)), np.diff(link.starts))
        heads, moves = link.head, link_cost.moves
    return tails, heads, moves.astype(np.int64)


def whole_pass(graph: ChoiceGraph, costs: Costs) -> int:
    """ms of the cheapest way through, every step of the graph looked at, nothing bounded."""
    to = costs.nodes[0]
    for index, link_cost in enumerate(costs.links):
        fits, before, after = link_cost.link.ways.fits, *graph.layers[index : index + 2]
        tails, heads, moves = shape_pairs(link_cost)
        cheapest = np.full(len(after), FAR, np.int64)
        tables = node_of(before), node_of(after)
        for old in range(len(before.labels)):
            node = tables[0][tails, old]
            rows = np.flatnonzero(node >= 0)
            ways = to[node[rows]] + moves[rows]
            for new in np.flatnonzero(fits[old].any(axis=0)):
                fit = fits[old, after.kind[heads[rows]], new]
                head = tables[1][heads[rows[fit]], new]
                np.minimum.at(cheapest, head, ways[fit] + link_cost.lines[old, new])
        to = np.minimum(cheapest + costs.nodes[index + 1], FAR)
    return int(to.min())


def network_best(full: nx.DiGraph, moments: int) -> tuple[int, tuple[int, ...]] | None:
    """(ms, nodes) of the first of the shortest ways by networkx, None when there is none."""
    end = (moments, 0)
    onward = nx.single_source_dijkstra_path_length(full.reverse(copy=False), end)
    at: Place = (-1, 0)
    if at not in onward:
        return None
    nodes = []
    while at[0] < moments - 1:
        at = min(
            head
            for _, head, weight in full.out_edges(at, data="weight")
            if head in onward and weight + onward[head] == onward[at]
        )
        nodes.append(at[1])
    return onward[-1, 0], tuple(nodes)


def graph_fingerprint(graph: ChoiceGraph, full: nx.DiGraph, mark: Mark) -> int:
    """One number for the whole set of priced sequences in the full graph (see ``Mark``)."""
    end, start = (len(graph.layers), 0), (-1, 0)
    onward = {end: 1}
    for index in range(len(graph.layers) - 1, -2, -1):
        nodes = [start] if index < 0 else [(index, n) for n in range(len(graph.layers[index]))]
        for node in nodes:
            own = 1 if index < 0 else mark.of(index, graph.layers[index].choice(node[1]))
            ways = full.out_edges(node, data="weight") if node in full else ()
            rest = sum(mark.power(cost) * onward[head] for _, head, cost in ways)
            onward[node] = own * rest % mark.PRIME
    return onward[start]


def step_count(link: Link) -> int:
    """How many steps from node to node a link stands for."""
    before, after = link.before, link.after
    by_label = np.diff(link.ways.starts).reshape(len(before.labels), len(after.kinds))
    by_shape = np.zeros((len(before.shapes), len(after.kinds)), np.int64)
    np.add.at(by_shape, before.shape, by_label[before.label])
    if link.head is None:
        tails, heads = np.nonzero(link.allowed)
    else:
        tails = np.repeat(np.arange(len(before.shapes)), np.diff(link.starts))
        heads = link.head
    return int(by_shape[tails, after.kind[heads]].sum())
