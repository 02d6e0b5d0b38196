"""The exact pass: what every choice costs at best, and every step that is close to the best.

Backward over nodes, labels and all: what each still costs to the end (``outlook``); its bound is
what the best way of all costs. Forward over nodes: a step is followed only when what led to it,
itself, and the outlook from its head stay within a limit (``explore``); so what is explored is
just what lies on a way within the limit, and each step's cheapest whole way is known.
The same pass backward with the greater in place of the sum finds how cheap the costliest step of a
whole way can be (``worst``).

All costs are whole ms in 64-bit integers.

Public: Costs, Outlook, outlook, Explored, first_way, explore, TooWide,
furthest, worst, may_begin, may_end.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from hashlib import blake2b

import numpy as np

from scoring.choice import Bools
from scoring.weights import Weights
from solver.arrays import FAR, Cost, Rows, far_of
from solver.graph import ChoiceGraph
from solver.layers import Layer
from solver.links import Charges, LinkCost, Shelf
from solver.recalled import Recalled
from solver.tables import MoveTables


@dataclass(frozen=True)
class Costs:
    """nodes[i]: (nodes of layer i,) what each costs; links[i]: the costs of link i; shared where
    the layers are. own: the nodes' own ms where prices were added to ``nodes``, else empty; work:
    the same where wishes at a price were added to the own ms, without them; most: what a step and
    its head's work may cost (the first moment: its work), None for anything.
    """

    nodes: tuple[Cost, ...]
    links: tuple[LinkCost, ...]
    own: tuple[Cost, ...] = ()
    work: tuple[Cost, ...] = ()
    most: int | None = None

    @classmethod
    def of(cls, graph: ChoiceGraph, weights: Weights, before: "Costs | None" = None) -> "Costs":
        """What every node and link costs under these weights; ``before``: the same graph's costs
        under others, of which is kept whatever the new weights leave alone."""
        layers = {id(layer): layer for layer in graph.layers}
        if before is not None and before.links:
            tables, shelf = before.links[0].tables.updated(weights), before.links[0].shelf
        else:
            tables = MoveTables.of(graph.layers[0].held.states, weights)
            shelf = Shelf()
        of_layer = {key: layer.cost(weights) for key, layer in layers.items()}
        links = {id(link): link for link in graph.links}
        of_link = {key: link.cost(tables, shelf) for key, link in links.items()}
        nodes = [of_layer[id(layer)] for layer in graph.layers]
        nodes[0] = np.where(may_begin(graph.layers[0]), nodes[0], FAR)
        nodes[-1] = np.where(may_end(graph.layers[-1]), nodes[-1], FAR)
        return cls(tuple(nodes), tuple(of_link[id(link)] for link in graph.links))

    @property
    def true(self) -> tuple[Cost, ...]:
        """The nodes' own ms, wishes at a price included."""
        return self.own or self.nodes

    @property
    def worked(self) -> tuple[Cost, ...]:
        """The nodes' own ms of work: what counts in a moment's own cost."""
        return self.work or self.true

    def priced(self, extra: Sequence[Cost | None]) -> "Costs":
        """With ``extra[i]`` (nodes of layer i,) ms, of either sign or FAR, added to the nodes."""
        nodes = tuple(
            own if more is None else np.where((own < FAR) & (more < FAR), own + more, FAR)
            for own, more in zip(self.nodes, extra, strict=True)
        )
        return replace(self, nodes=nodes, own=self.true)

    def wished(self, extra: Sequence[Cost | None]) -> "Costs":
        """With ``extra[i]`` (nodes of layer i,) ms that an answer owes for its nodes, but that no
        ceiling on single steps sees."""
        own = tuple(
            true if more is None else true + more
            for true, more in zip(self.true, extra, strict=True)
        )
        return replace(self.priced(extra), own=own, work=self.worked)

    def allowed(self, masks: Sequence[Bools | None]) -> "Costs":
        """With only those nodes for which ``masks[i]`` (nodes of layer i,) is true; the same costs
        where no mask is given."""
        if all(mask is None for mask in masks):
            return self
        nodes = tuple(
            own if mask is None else np.where(mask, own, FAR)
            for own, mask in zip(self.nodes, masks, strict=True)
        )
        return replace(self, nodes=nodes, own=self.true)

    def charged(self, charges: Sequence[Charges]) -> "Costs":
        """With ``charges[i]`` on the steps of link i."""
        made: dict[tuple[int, Charges], LinkCost] = {}
        links = []
        for link, more in zip(self.links, charges, strict=True):
            key = id(link), tuple(more)
            if key not in made:
                made[key] = replace(link, charges=(*link.charges, *more)) if more else link
            links.append(made[key])
        return replace(self, links=tuple(links))

    def capped(self, most: int | None) -> "Costs":
        """With no step dearer than ``most``."""
        return replace(self, most=most)

    def sparing(self) -> "Costs":
        """The same where no more moves are rated for the links' bans than are close."""
        made = {id(link): replace(link, sparing=True) for link in self.links}
        return replace(self, links=tuple(made[id(link)] for link in self.links))

    @property
    def first(self) -> Cost:
        """(nodes of the first layer,): what each costs, FAR where it may not begin."""
        nodes = self.nodes[0]
        return nodes if self.most is None else np.where(self.worked[0] <= self.most, nodes, FAR)


def may_begin(layer: Layer) -> Bools:
    """(nodes,): whether the tune may begin here: nothing rings, nothing was heard before."""
    shapes, labels = layer.shapes, layer.labels
    quiet = np.asarray((shapes.struck | (shapes.frets < 0)).all(axis=1))[layer.shape]
    struck, _, sounding, _ = layer.kinds[layer.kind[layer.shape]].T
    fresh = (labels.heard[layer.label] == sounding) & (labels.line[layer.label] == struck)
    return np.asarray(quiet & fresh & may_end(layer), np.bool_)


def may_end(layer: Layer) -> Bools:
    """(nodes,): whether the tune may end here: no foreign bass note is left hanging."""
    return np.asarray(layer.labels.going[layer.label] == 0, np.bool_)


@dataclass(frozen=True)
class Outlook:
    """on[i]: (nodes of layer i,) ms still to come, the node's own included, FAR where no way on;
    bound: what the best way costs, FAR when there is none."""

    on: tuple[Cost, ...]
    bound: int


def outlook(graph: ChoiceGraph, costs: Costs, recalled: Recalled | None = None) -> Outlook:
    """What is still to come, from the last moment back.

    Bars that come again often have the same outlook but for a constant; it is then reused.
    recalled: what was found before over the same links; it is added to.
    """
    recalled = Recalled() if recalled is None else recalled
    ahead, least = recalled.ahead(costs.nodes[-1] if graph.links else costs.first)
    on = [ahead.whole(least)]
    for index in range(len(graph.links) - 1, -1, -1):
        if least >= FAR:  # no way leads on from there, nor to there
            on += [np.full_like(each, FAR) for each in costs.nodes[index::-1]]
            break
        link, before = costs.links[index], costs.nodes[index] if index else costs.first
        if costs.most is None:
            ahead, more = recalled.before(before, link, ahead)
            least = min(least + more, int(FAR))
            on.append(ahead.whole(least))
            continue
        rest = recalled.back(link, on[-1], costs.worked[index + 1], costs.most)
        on.append(np.where((before < FAR) & (rest < FAR), before + rest, FAR))
        least = int(on[-1].min(initial=FAR))
    on.reverse()
    return Outlook(tuple(on), int(on[0].min()))


def first_way(costs: Costs, ahead: Outlook) -> tuple[int, ...]:
    """Of the cheapest ways the first: moment by moment the lowest node from which no more than the
    least is still to come. It is the answer where nothing reaches over the tune: exact sums, so
    that nothing more is to be proven. ahead: the outlook over the costs, which leaves a way."""
    node = int(np.flatnonzero(ahead.on[0] == ahead.bound)[0])
    nodes, left = [node], ahead.bound - int(costs.first[node])
    for index, link in enumerate(costs.links):
        on = ahead.on[index + 1]
        node = link.first_exact(node, on, left)
        nodes.append(node)
        left = int(on[node]) - int(costs.nodes[index + 1][node])
    return tuple(nodes)


def worst(graph: ChoiceGraph, costs: Costs) -> int:
    """The least possible value of the costliest step of a whole way: its move, its bass line's
    step and its head's own ms, or the first moment's own ms; FAR when there is no way.

    Prices and wishes count for nothing here, but nodes that they forbid stay forbidden.
    """
    nodes = [np.where(n < FAR, w, FAR) for n, w in zip(costs.nodes, costs.worked, strict=True)]
    free = {id(link): replace(link, charges=()) if link.charges else link for link in costs.links}
    known: dict[tuple[int, bytes, bytes], Cost] = {}
    on = np.where(nodes[-1] < FAR, np.int64(0), FAR)
    for index in range(len(graph.links) - 1, -1, -1):
        own = nodes[index + 1]
        key = (id(costs.links[index]), _digest(on), _digest(own))
        if key not in known:
            known[key] = free[id(costs.links[index])].worst(on, own)
        on = np.where(nodes[index] < FAR, known[key], FAR)
    return int(np.maximum(on, nodes[0]).min())


def _digest(values: Cost) -> bytes:
    return blake2b(values.tobytes(), digest_size=32).digest()


@dataclass(frozen=True)
class Explored:
    """Everything on a way of at most ``limit`` ms, and nothing else.

    nodes[i]: node numbers of layer i, ascending; to[i]: the cheapest way to each, itself included;
    on[i]: the cheapest way on from each, itself not included; tail[i], head[i]: steps from
    nodes[i] to nodes[i + 1], by position in those; cost[i]: ms of the step and its head; true[i]:
    the same without prices and charges; first: true ms of the first moment's nodes; best: the
    cheapest way through, FAR when none is within the limit.
    """

    limit: int
    first: Cost
    nodes: tuple[Rows, ...]
    to: tuple[Cost, ...]
    on: tuple[Cost, ...]
    tail: tuple[Rows, ...]
    head: tuple[Rows, ...]
    cost: tuple[Cost, ...]
    true: tuple[Cost, ...]

    @property
    def best(self) -> int:
        return int(self.to[-1].min()) if len(self.to[-1]) else int(FAR)


class TooWide(Exception):  # noqa: N818  what it is: no fault
    """There are more steps within the limit than there is room for."""


def explore(
    graph: ChoiceGraph, costs: Costs, ahead: Outlook, limit: int, room: int | None = None
) -> Explored:
    """Every node and step on a way of at most ``limit`` ms; TooWide where that would be more than
    ``room`` steps."""
    left = room
    top = np.int64(min(limit, int(FAR) - 1))
    start = np.flatnonzero(ahead.on[0] <= top)
    nodes, to = [start], [costs.first[start]]
    on = [ahead.on[0][start] - to[0]]
    tails: list[Rows] = []
    heads: list[Rows] = []
    steps: list[Cost] = []
    true: list[Cost] = []
    for index in range(len(graph.links)):
        near = costs.links[index].within(nodes[-1], to[-1], ahead.on[index + 1], top)
        tail, head = near.at, near.head
        cost, own = near.ms + costs.nodes[index + 1][head], near.plain + costs.true[index + 1][head]
        if costs.most is not None:
            may = near.plain + costs.worked[index + 1][head] <= costs.most
            tail, head, cost, own = tail[may], head[may], cost[may], own[may]
        if left is not None:
            left -= len(tail)
            if left < 0:
                raise TooWide
        there = np.zeros(len(graph.layers[index + 1]), np.bool_)
        there[head] = True
        found, position = np.flatnonzero(there), (np.cumsum(there) - 1)[head]
        cheapest = np.full(len(found), FAR, np.int64)
        np.minimum.at(cheapest, position, to[-1][tail] + cost)
        nodes.append(found)
        to.append(cheapest)
        on.append(ahead.on[index + 1][found] - costs.nodes[index + 1][found])
        tails.append(tail)
        heads.append(position)
        steps.append(cost)
        true.append(own)
    found_all = (tuple(part) for part in (nodes, to, on, tails, heads, steps, true))
    return Explored(limit, costs.true[0][start], *found_all)


def furthest(graph: ChoiceGraph, costs: Costs) -> int:
    """The last moment that any way from the start reaches, wherever it leads; -1 for none."""
    if costs.most is not None:
        blind = Outlook((costs.first, *costs.nodes[1:]), 0)
        nodes = explore(graph, costs, blind, int(FAR) // 2).nodes
        return max((index for index, found in enumerate(nodes) if len(found)), default=-1)
    there, reached = costs.first < FAR, -1
    for index, link in enumerate((*costs.links, None)):
        if not there.any():
            break
        reached = index
        if link is not None:
            there = _follows(link, there) & (costs.nodes[index + 1] < FAR)
    return reached


def _follows(link: LinkCost, there: Bools) -> Bools:
    """(nodes after,): which any of the nodes before leads to."""
    fan, moves = link.link.fan, link.moves
    far = far_of(moves)
    stems = np.zeros(len(fan.tail), np.bool_)
    stems[fan.stem[there]] = True
    slots = np.zeros(len(fan.head), np.bool_)
    if link.link.starts is not None:
        pair, slot, starts = link.link.runs
        near = np.repeat(stems, np.diff(starts))
        slots[slot[near][moves[pair[near]] < far]] = True
    else:
        for row in range(len(fan.stems) - 1):
            own = np.arange(fan.stems[row], fan.stems[row + 1])
            tails, heads = fan.tail[own[stems[own]]], slice(fan.slots[row], fan.slots[row + 1])
            slots[heads] = np.asarray((moves[tails] < far).any(axis=0))[fan.head[heads]]
    after = np.zeros(len(link.link.after), np.bool_)
    after[fan.node[np.repeat(slots, np.diff(fan.starts))]] = True
    return after
