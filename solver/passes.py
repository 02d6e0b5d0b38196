"""The exact pass: what every choice costs at best, looked at only as far as it can matter.

Backward over views, which are shapes with the tones heard, the rest of the labels forgotten: a
lower bound on what each view still costs to the end (``outlook``). Forward over nodes, labels and
all: a step is followed only when what led to it, itself, and the outlook from there stay within a
limit. Whatever costs no more than the limit is then in the explored graph, so the best way in it
is the best way of all (``explore``). Backward once more over what was explored gives each step's
cheapest whole way (``nearest``).

All costs are whole ms in 64-bit integers.

Public: Costs, Outlook, outlook, Explored, explore, furthest, Near, nearest.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scoring.weights import Weights
from solver.arrays import FAR, Cost, Rows
from solver.graph import ChoiceGraph
from solver.layers import Layer
from solver.links import LinkCost, spread
from solver.tables import MoveTables


@dataclass(frozen=True)
class Costs:
    """nodes[i]: (nodes of layer i,); links[i]: the costs of link i; shared where the layers are."""

    nodes: tuple[Cost, ...]
    links: tuple[LinkCost, ...]

    @classmethod
    def of(cls, graph: ChoiceGraph, weights: Weights) -> "Costs":
        """What every node and link costs under these weights."""
        layers = {id(layer): layer for layer in graph.layers}
        tables = MoveTables([layer.shapes for layer in layers.values()], weights)
        of_layer = {key: layer.cost(weights) for key, layer in layers.items()}
        links = {id(link): link for link in graph.links}
        of_link = {key: link.cost(tables) for key, link in links.items()}
        nodes = [of_layer[id(layer)] for layer in graph.layers]
        nodes[0] = np.where(may_begin(graph.layers[0]), nodes[0], FAR)
        nodes[-1] = np.where(may_end(graph.layers[-1]), nodes[-1], FAR)
        return cls(tuple(nodes), tuple(of_link[id(link)] for link in graph.links))


def may_begin(layer: Layer) -> NDArray[np.bool_]:
    """(nodes,): whether the tune may begin here: nothing rings, nothing was heard before."""
    shapes, labels = layer.shapes, layer.labels
    quiet = np.asarray((shapes.struck | (shapes.frets < 0)).all(axis=1))[layer.shape]
    struck, _, sounding = layer.kinds[layer.kind[layer.shape]].T
    fresh = (labels.heard[layer.label] == sounding) & (labels.line[layer.label] == struck)
    return np.asarray(quiet & fresh & may_end(layer), np.bool_)


def may_end(layer: Layer) -> NDArray[np.bool_]:
    """(nodes,): whether the tune may end here: no foreign bass note is left hanging."""
    return np.asarray(layer.labels.going[layer.label] == 0, np.bool_)


@dataclass(frozen=True)
class Outlook:
    """on[i]: (views of layer i,) what is still to come costs at least, the view's own moment
    included; bound: no way through costs less, FAR when there is none."""

    on: tuple[Cost, ...]
    bound: int


def outlook(graph: ChoiceGraph, costs: Costs) -> Outlook:
    """The lower bounds, from the last moment back.

    Bars that come again often have the same outlook but for a constant; it is then reused.
    """
    on = [_least_of_view(graph.layers[-1], costs.nodes[-1])]
    known: dict[tuple[int, bytes], Cost] = {}
    for index in range(len(graph.links) - 1, -1, -1):
        base = on[-1].min()
        ahead = np.where(on[-1] < FAR, on[-1] - base, FAR)
        key = (id(costs.links[index]), ahead.tobytes())
        if key not in known:
            known[key] = _back(graph.layers[index], costs.links[index], ahead)
        own = _least_of_view(graph.layers[index], costs.nodes[index])
        on.append(np.minimum(own + known[key] + base, FAR))
    on.reverse()
    return Outlook(tuple(on), int(on[0].min()))


def _back(before: Layer, link: LinkCost, ahead: Cost) -> Cost:
    """(views before,): the least that ``ahead`` (views after,) and the move there cost."""
    out = np.full(len(before.views), FAR, np.int64)
    shape, heard = before.views.T
    for value in np.unique(heard):
        rows = heard == value
        out[rows] = link.back(_onward(link.link.after, ahead, value))[shape[rows]]
    return out


def _onward(after: Layer, on: Cost, heard: np.int32) -> Cost:
    """(shapes after,): what is still to come from each shape when ``heard`` was heard before."""
    fresh = after.moment.change or after.moment.chord is None
    sounding = after.kinds[after.kind, 2]
    view = after.view_of[np.arange(len(after.shapes)), sounding | (0 if fresh else heard)]
    return np.where(view >= 0, on[view], FAR)


def _least_of_view(layer: Layer, nodes: Cost) -> Cost:
    """(views,): the cheapest node of each view."""
    out = np.full(len(layer.views), FAR, np.int64)
    np.minimum.at(out, layer.view, nodes)
    return out


@dataclass(frozen=True)
class Explored:
    """Everything on a way of at most ``limit`` ms, and perhaps more.

    nodes[i]: node numbers of layer i, ascending; to[i]: the cheapest way to each, itself included;
    tail[i], head[i]: steps from nodes[i] to nodes[i + 1], by position in those; cost[i]: ms of the
    step and its head; best: the cheapest way through, FAR when none is within the limit.
    """

    limit: int
    nodes: tuple[Rows, ...]
    to: tuple[Cost, ...]
    tail: tuple[Rows, ...]
    head: tuple[Rows, ...]
    cost: tuple[Cost, ...]

    @property
    def best(self) -> int:
        return int(self.to[-1].min()) if len(self.to[-1]) else int(FAR)


def explore(graph: ChoiceGraph, costs: Costs, ahead: Outlook, limit: int) -> Explored:
    """The cheapest way to every node that lies on some way of at most ``limit`` ms."""
    top = np.int64(min(limit, int(FAR) - 1))
    first, layer = costs.nodes[0], graph.layers[0]
    rest = ahead.on[0] - _least_of_view(layer, first)
    start = np.flatnonzero(first + rest[layer.view] <= top)
    nodes, to = [start], [first[start]]
    tails: list[Rows] = []
    heads: list[Rows] = []
    steps: list[Cost] = []
    for index in range(len(graph.links)):
        tail, head, cost = _steps(graph, costs, ahead, index, nodes[-1], to[-1], top)
        found, position = np.unique(head, return_inverse=True)
        position = position.reshape(-1).astype(np.intp)
        cheapest = np.full(len(found), FAR, np.int64)
        np.minimum.at(cheapest, position, to[-1][tail] + cost)
        nodes.append(found.astype(np.intp))
        to.append(cheapest)
        tails.append(tail)
        heads.append(position)
        steps.append(cost)
    return Explored(limit, tuple(nodes), tuple(to), tuple(tails), tuple(heads), tuple(steps))


def furthest(graph: ChoiceGraph, costs: Costs) -> int:
    """The last moment that any way from the start reaches, wherever it leads; -1 for none."""
    pairs = zip(graph.layers, costs.nodes, strict=True)
    blind = Outlook(tuple(_least_of_view(layer, own) for layer, own in pairs), 0)
    nodes = explore(graph, costs, blind, int(FAR) // 2).nodes
    return max((index for index, found in enumerate(nodes) if len(found)), default=-1)


def _steps(
    graph: ChoiceGraph,
    costs: Costs,
    ahead: Outlook,
    index: int,
    nodes: Rows,
    to: Cost,
    top: np.int64,
) -> tuple[Rows, Rows, Cost]:
    """(position in ``nodes``, head node, ms with the head's own) of the steps within ``top``."""
    before, after = graph.layers[index], graph.layers[index + 1]
    link, on = costs.links[index], ahead.on[index + 1]
    at, shape, move = _close_pairs(before, link, on, nodes, to, top)
    ways = link.link.ways
    row = before.label[nodes[at]] * len(after.kinds) + after.kind[shape]
    way, slot = spread(ways.starts[row], ways.starts[row + 1])
    at, shape, move, label = at[way], shape[way], move[way], ways.nexts[slot]
    head = after.node_of[shape, label].astype(np.intp)
    cost = move + link.lines[before.label[nodes[at]], label] + costs.nodes[index + 1][head]
    rest = on - _least_of_view(after, costs.nodes[index + 1])
    close = to[at] + cost + rest[after.view[head]] <= top
    return at[close], head[close], cost[close]


def _close_pairs(
    before: Layer, link: LinkCost, on: Cost, nodes: Rows, to: Cost, top: np.int64
) -> tuple[Rows, Rows, Cost]:
    """(position in ``nodes``, head shape, move cost) of the moves within ``top``."""
    heard = before.labels.heard[before.label[nodes]]
    found: list[tuple[Rows, Rows, Cost]] = []
    for value in np.unique(heard):
        rows = np.flatnonzero(heard == value)
        onward = _onward(link.link.after, on, value)
        at, shape, move = link.close(before.shape[nodes[rows]], to[rows], onward, top)
        found.append((rows[at], shape, move))
    if not found:
        return np.zeros(0, np.intp), np.zeros(0, np.intp), np.zeros(0, np.int64)
    at, shape, move = (np.concatenate(part) for part in zip(*found, strict=True))
    return at, shape, move


@dataclass(frozen=True)
class Near:
    """What lies within ``gap`` of the best: steps[i]: which explored steps are kept; through[i]:
    each one's cheapest whole way; on[i]: (nodes explored,) the cheapest way on, FAR from what is
    not kept."""

    gap: int
    best: int
    steps: tuple[Rows, ...]
    through: tuple[Cost, ...]
    on: tuple[Cost, ...]


def nearest(explored: Explored, gap: int) -> Near:
    """The steps whose cheapest whole way costs at most best + ``gap``; that must not exceed the
    limit of what was explored."""
    limit = explored.best + gap
    assert limit <= explored.limit, "the graph was not explored that far"
    on = [np.where(explored.to[-1] <= limit, np.int64(0), FAR)]
    kept: list[Rows] = []
    through: list[Cost] = []
    for index in range(len(explored.tail) - 1, -1, -1):
        tail = explored.tail[index]
        ways = explored.cost[index] + on[-1][explored.head[index]]
        whole = explored.to[index][tail] + ways
        rows = np.flatnonzero(whole <= limit)
        cheapest = np.full(len(explored.nodes[index]), FAR, np.int64)
        np.minimum.at(cheapest, tail[rows], ways[rows])
        kept.append(rows)
        through.append(whole[rows])
        on.append(cheapest)
    for found in (kept, through, on):
        found.reverse()
    return Near(gap, explored.best, tuple(kept), tuple(through), tuple(on))
