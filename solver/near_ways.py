"""The ways near the cheapest one of a graph, laid out step by step, for asking much of them.

Limits and floors only rule ways out. So an answer that costs no more than the laid-out ways cover
is the best of all, and the first of equals too. Only where there is none are more ways laid out,
and where those would be too many, the whole graph has to be asked. What is asked here costs little
beside a pass over the whole graph, and no move is rated that no answer comes near.

Public: NearWays, BestWay, worth_while.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from scoring.choice import Bools
from solver.arrays import FAR, Cost, Moves, Rows
from solver.charges import counted
from solver.conditions.limits import Limits
from solver.floors import floored
from solver.graph import ChoiceGraph
from solver.layers import Layer
from solver.limiting import limited
from solver.links import LinkCost, Within
from solver.passes import Costs, Explored, Outlook, TooWide, explore, first_way, outlook
from solver.ratings import rated
from solver.recalled import Recalled

WIDTH = 256
"""How far above the cheapest way (ms) ways are laid out at first."""

WIDER = 2
"""How many times as far they are laid out next."""

MOST_STEPS = 1 << 19
"""Steps that are laid out for everything that is asked."""

ROOM = 1 << 20
"""Steps that are laid out for one question."""

FEW_NODES = 1_000
"""Nodes a moment up to which passes over all of them are as quick."""


def worth_while(graph: ChoiceGraph) -> bool:
    """Whether the graph is so large that what is near its cheapest way is asked sooner."""
    return graph.size[0] > FEW_NODES * len(graph.layers)


@dataclass(frozen=True)
class BestWay:
    """The best way, among others. graph, costs, ahead: of ways that the best one is among, and the
    outlook over those; of: which of the layers' nodes each of that graph's is, None for the same.
    """

    graph: ChoiceGraph
    costs: Costs
    ahead: Outlook
    of: tuple[Rows, ...] | None = None

    @property
    def cost(self) -> int:
        """ms, FAR where there is none."""
        return self.ahead.bound

    @property
    def nodes(self) -> tuple[int, ...]:
        """The layers' own, one a moment."""
        return self.own(first_way(self.costs, self.ahead))

    def own(self, nodes: tuple[int, ...]) -> tuple[int, ...]:
        """The layers' own nodes, for those of the graph."""
        if self.of is None:
            return nodes
        return tuple(int(there[at]) for there, at in zip(self.of, nodes, strict=True))


@dataclass(frozen=True, eq=False)
class _Moves:
    """Some moves of a link, from shapes to shapes."""

    of: LinkCost
    tail: Rows
    head: Rows

    @cached_property
    def rated(self) -> Moves:
        """(2, moves): see ``solver.ratings``."""
        link, moment = self.of.link, self.of.link.before.moment
        held = link.before.held, link.after.held
        return rated(*held, moment.ms, moment.damped, (self.tail, self.head))

    @cached_property
    def shifts(self) -> Bools:
        """(moves,): whether the hand travels."""
        held = self.of.link.before.held, self.of.link.after.held
        return counted("shifts", *held, (self.tail, self.head))


@dataclass(frozen=True, kw_only=True)
class _Steps(LinkCost):
    """A few of a link's steps, between the nodes that are laid out: ``back``, ``within`` and
    ``first_exact`` know those alone, by their positions. tail, head: ascending by tail; step: ms,
    the head's own not included; known: their moves, ``part`` of those there."""

    tail: Rows
    head: Rows
    step: Cost
    known: _Moves
    part: slice
    count: int

    @cached_property
    def _left(self) -> Cost:
        """ms of each step, FAR where it is banned."""
        left = self.step
        for ban in self.bans:
            if ban.what == "shifts":
                forbidden = self.known.shifts[self.part]
            else:
                forbidden = ban.forbids(self.known.rated[:, self.part])
            left = np.where(forbidden, FAR, left)
        return left

    @cached_property
    def _runs(self) -> tuple[Rows, Rows]:
        """The tails that have steps, and where those of each begin."""
        starts = np.flatnonzero(np.diff(self.tail, prepend=-1))
        return self.tail[starts], starts

    def back(self, on: Cost, own: Cost | None = None, most: int | None = None) -> Cost:
        if most is not None:
            raise ValueError("ways that are laid out know no ceiling")
        best = np.full(self.count, FAR, np.int64)
        owners, starts = self._runs
        if len(starts):
            best[owners] = np.minimum.reduceat(self._left + on[self.head], starts)
        return np.minimum(best, FAR)

    def within(self, nodes: Rows, to: Cost, on: Cost, limit: np.int64) -> Within:
        place = np.full(self.count, -1)
        place[nodes] = np.arange(len(nodes))
        at = place[self.tail]
        rest = self._left + on[self.head]
        near = np.flatnonzero((at >= 0) & (rest < FAR))
        near = near[to[at[near]] + rest[near] <= limit]
        ms = self._left[near]
        return Within(at[near], self.head[near], ms, ms)

    def first_exact(self, node: int, on: Cost, left: int) -> int:
        start, end = np.searchsorted(self.tail, (node, node + 1))
        head = self.head[start:end]
        exact = self._left[start:end] + on[head] == left
        return int(head[exact].min()) if exact.any() else -1


@dataclass(frozen=True)
class _LaidOut:
    """Every way of at most ``covers`` ms, in so many ``steps``. graph, costs: with nothing else in
    them; nodes: which of the layers' nodes those are; to: ms of the cheapest way there, the node's
    own not included."""

    graph: ChoiceGraph
    costs: Costs
    nodes: tuple[Rows, ...]
    to: tuple[Cost, ...]
    covers: int
    steps: int
    recalled: Recalled = field(default_factory=Recalled)

    @classmethod
    def of(cls, graph: ChoiceGraph, costs: Costs, explored: Explored) -> "_LaidOut":
        nodes = explored.nodes
        own = [each[there] for each, there in zip(costs.nodes, nodes, strict=True)]
        layers = [_only(layer, there) for layer, there in zip(graph.layers, nodes, strict=True)]
        steps = _steps(graph, costs, explored, own)
        few = ChoiceGraph(graph.moments, tuple(layers), graph.links)
        to = tuple(there - mine for there, mine in zip(explored.to, own, strict=True))
        count = sum(map(len, explored.tail))
        return cls(few, Costs(tuple(own), steps), nodes, to, explored.limit, count)

    def ask(
        self,
        masks: Sequence[Bools | None],
        limits: Limits | None,
        floors: Mapping[int, int],
        shifts: Mapping[int, int],
    ) -> BestWay:
        """The best way here (see ``NearWays.ask``)."""
        costs = self._held(masks, limits)
        if floors or shifts:
            costs = floored(self.graph, costs, floors, self.recalled, shifts)[1]
        return BestWay(self.graph, costs, outlook(self.graph, costs, self.recalled), self.nodes)

    def _held(self, masks: Sequence[Bools | None], limits: Limits | None) -> Costs:
        """The costs with only what the masks and the limits leave."""
        pairs = zip(masks, self.nodes, strict=True)
        costs = self.costs.allowed([mask if mask is None else mask[own] for mask, own in pairs])
        return costs if limits is None else limited(costs, self.graph, limits, self.recalled)

    def at_least(
        self, masks: Sequence[Bools | None], limits: Limits | None, ahead: Outlook
    ) -> Outlook:
        """What is still to come at least in the whole graph under the masks and limits, ``ahead``
        without: a way on that is not laid out costs, with the cheapest way to where it begins,
        more than is covered; any other can be looked up here."""
        there = outlook(self.graph, self._held(masks, limits), self.recalled)
        on = [each.copy() for each in ahead.on]
        for far, near, to, nodes in zip(on, there.on, self.to, self.nodes, strict=True):
            far[nodes] = np.maximum(far[nodes], np.minimum(near, self.covers + 1 - to))
        return Outlook(tuple(on), ahead.bound)


def _only(layer: Layer, nodes: Rows) -> Layer:
    """The layer with no other nodes."""
    return Layer(
        layer.moment, layer.held, layer.labels, layer.kinds, layer.kind,
        layer.shape[nodes], layer.label[nodes], {},
    )  # fmt: skip


def _steps(
    graph: ChoiceGraph, costs: Costs, explored: Explored, own: Sequence[Cost]
) -> tuple[_Steps, ...]:
    """The explored steps of every link, of which none is banned; the moves of links that are the
    same are kept as one."""
    rows: list[tuple[Rows, Rows, Cost]] = []
    moves: dict[int, list[tuple[Rows, Rows]]] = {}
    parts: list[slice] = []
    for index, link in enumerate(costs.links):
        order = np.argsort(explored.tail[index].astype(np.uint32), kind="stable")
        tail, head = explored.tail[index][order], explored.head[index][order]
        rows.append((tail, head, explored.cost[index][order] - own[index + 1][head]))
        before, after = graph.layers[index], graph.layers[index + 1]
        known = moves.setdefault(id(link), [])
        begin = sum(len(each) for each, _ in known)
        parts.append(slice(begin, begin + len(tail)))
        nodes = explored.nodes[index][tail], explored.nodes[index + 1][head]
        known.append((before.shape[nodes[0]], after.shape[nodes[1]]))
    joined = {
        id(link): _Moves(
            link, *(np.concatenate(each) for each in zip(*moves[id(link)], strict=True))
        )
        for link in costs.links
    }
    return tuple(
        _Steps(
            link.link, link.tables, link.lines, link.shelf, link.charges,
            tail=tail, head=head, step=step, known=joined[id(link)], part=part, count=len(there),
        )
        for link, (tail, head, step), part, there in zip(
            costs.links, rows, parts, explored.nodes[:-1], strict=True
        )
    )  # fmt: skip


class NearWays:
    """Of one graph under one set of costs; ahead: the outlook over those."""

    def __init__(
        self, graph: ChoiceGraph, costs: Costs, ahead: Outlook, recalled: Recalled
    ) -> None:
        self.graph, self.costs, self.ahead, self.recalled = graph, costs, ahead, recalled
        self._laid: _LaidOut | None = None
        self._width: int | None = WIDTH

    def ask(
        self,
        masks: Sequence[Bools | None],
        limits: Limits | None,
        floors: Mapping[int, int],
        shifts: Mapping[int, int],
    ) -> BestWay | None:
        """The best way; None where the whole graph is to be asked.

        masks: (nodes,) a layer, which may be; limits: on moves and bars; floors: played bar →
        percent; shifts: → how many at most.
        """
        asked = masks, limits, floors, shifts
        if limits is None and not floors and not shifts and all(mask is None for mask in masks):
            near = BestWay(self.graph, self.costs, self.ahead)
            return near if near.cost < FAR else None
        while True:
            if self._laid is not None:
                found = self._laid.ask(*asked)
                if found.cost <= self._laid.covers:
                    return found
                if found.cost < FAR:
                    return self._within(self._laid, found.cost, *asked)
            if self._width is None:
                return None
            self._lay_out_more()

    def _lay_out_more(self) -> None:
        """Lays out ways twice as wide; no more after that where they would be too many, or there
        are no others."""
        assert self._width is not None
        most = self.ahead.bound + self._width
        laid, before = self._lay_out(self.costs, self.ahead, most, MOST_STEPS), self._laid
        grown = laid is not None and (before is None or laid.steps > before.steps)
        self._laid = laid or before
        self._width = WIDER * self._width if grown else None

    def _within(
        self,
        laid: _LaidOut,
        most: int,
        masks: Sequence[Bools | None],
        limits: Limits | None,
        floors: Mapping[int, int],
        shifts: Mapping[int, int],
    ) -> BestWay | None:
        """The best way, where it is known that there is one of ``most`` ms: looked for among those
        alone that the masks and limits leave, which are far fewer."""
        costs, ahead = self.costs.allowed(masks), laid.at_least(masks, limits, self.ahead)
        if limits is not None:
            costs = limited(costs, self.graph, limits, self.recalled).sparing()
        own = self._lay_out(costs, ahead, most, ROOM)
        return None if own is None else own.ask([None] * len(masks), None, floors, shifts)

    def _lay_out(self, costs: Costs, ahead: Outlook, most: int, room: int) -> _LaidOut | None:
        """Every way of at most so many ms, None where those have more steps than there is room."""
        try:
            explored = explore(self.graph, costs, ahead, most, room)
        except TooWide:
            return None
        return _LaidOut.of(self.graph, costs, explored)
