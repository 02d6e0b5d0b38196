"""Ways: a bundle of ways through the tune, small enough to be gone over hundreds of times.

The exact pass explores every way of at most so many ms (``passes.explore``). Here those ways lie
as arrays sorted for sweeping, so that multipliers can be tried on them in about a millisecond each.

Costs are scaled: ``SCALE`` units are a millisecond, which lets multipliers be fractions and every
sum stay a whole number.

A node may carry a memory (``split``): what has happened since the bar began, say. Where nothing is
remembered, nodes are the layers' own.

Public: Ways, Way, Prices, Swept, SCALE.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from scoring.choice import Bools
from solver.arrays import FAR, Cost, Rows, spread
from solver.layers import Layer
from solver.passes import Explored

SCALE = 64

NEAR = FAR // 2
"""Sums beyond it have met FAR on their way, whatever prices below nothing took off them."""


@dataclass
class Prices:
    """What multipliers add: nodes[i], steps[i]: scaled, per node of moment i and step from it."""

    nodes: list[Cost]
    steps: list[Cost | int]

    @classmethod
    def none(cls, ways: "Ways") -> "Prices":
        return cls([np.zeros(len(n), np.int64) for n in ways.nodes], [0] * len(ways.tail))

    def __iadd__(self, other: "Prices") -> "Prices":
        self.nodes = [a + b for a, b in zip(self.nodes, other.nodes, strict=True)]
        self.steps = [a + b for a, b in zip(self.steps, other.steps, strict=True)]
        return self


@dataclass(frozen=True)
class Ways:
    """layers: one a moment; nodes[i]: node numbers of layer i, ascending, with memory[i] beside
    them; first: scaled cost of beginning at each node of moment 0; tail[i], head[i]: steps from
    nodes[i] to nodes[i + 1], by position, ordered by tail, then head; cost[i]: scaled, the head's
    own included; covers: every way of at most so many ms is in the bundle."""

    layers: tuple[Layer, ...]
    nodes: tuple[Rows, ...]
    memory: tuple[Rows, ...]
    first: Cost
    tail: tuple[Rows, ...]
    head: tuple[Rows, ...]
    cost: tuple[Cost, ...]
    covers: int

    @classmethod
    def of(cls, layers: Sequence[Layer], explored: Explored, covers: int | None = None) -> "Ways":
        """The explored ways at their true costs; covers: as explored where not given."""
        tails, heads, costs = [], [], []
        for tail, head, cost in zip(explored.tail, explored.head, explored.true, strict=True):
            order = np.lexsort((head, tail))
            tails.append(tail[order])
            heads.append(head[order])
            costs.append(cost[order] * SCALE)
        blank = tuple(np.zeros(len(nodes), np.intp) for nodes in explored.nodes)
        return cls(
            tuple(layers), explored.nodes, blank, explored.first * SCALE, tuple(tails),
            tuple(heads), tuple(costs), explored.limit if covers is None else covers,
        )  # fmt: skip

    def __len__(self) -> int:
        return sum(map(len, self.tail))

    def shape(self, moment: int) -> Rows:
        """(nodes,): the shape of each node of a moment."""
        return self.layers[moment].shape[self.nodes[moment]]

    @cached_property
    def _tails(self) -> list[tuple[Rows, Rows]]:
        return [_groups(tail) for tail in self.tail]

    @cached_property
    def _heads(self) -> list[tuple[Rows, Rows, Rows]]:
        orders = [np.argsort(head, kind="stable") for head in self.head]
        return [
            (order, *_groups(head[order])) for order, head in zip(orders, self.head, strict=True)
        ]

    def onward(self, prices: Prices) -> list[Cost]:
        """Per moment (nodes,): the cheapest way on, the node's own price included; of moment 0
        without the cost of beginning there. FAR where no way leads on: prices below nothing are
        never mistaken for one."""
        on = [np.where(prices.nodes[-1] > NEAR, FAR, prices.nodes[-1])]
        for index in range(len(self.tail) - 1, -1, -1):
            owners, starts = self._tails[index]
            ways = self.cost[index] + prices.steps[index] + on[-1][self.head[index]]
            out = np.full(len(self.nodes[index]), FAR, np.int64)
            if len(owners):
                out[owners] = np.minimum.reduceat(ways, starts)
            out += prices.nodes[index]
            out[out > NEAR] = FAR
            on.append(out)
        on.reverse()
        return on

    def reached(self, prices: Prices) -> list[Cost]:
        """Per moment (nodes,): the cheapest way there, the node's own price included, FAR where
        there is none."""
        begun = self.first + prices.nodes[0]
        to = [np.where(begun > NEAR, FAR, begun)]
        for index in range(len(self.tail)):
            order, owners, starts = self._heads[index]
            ways = (self.cost[index] + prices.steps[index] + to[-1][self.tail[index]])[order]
            out = np.full(len(self.nodes[index + 1]), FAR, np.int64)
            if len(owners):
                out[owners] = np.minimum.reduceat(ways, starts)
            out += prices.nodes[index + 1]
            out[out > NEAR] = FAR
            to.append(out)
        return to

    def cheapest(self, prices: Prices, on: list[Cost]) -> "tuple[int, Way]":
        """(scaled cost, the way) of the cheapest way under the prices; ``on`` as ``onward``, in
        which some way must lead through."""
        whole = self.first + on[0]
        position = int(np.argmin(whole))
        assert on[0][position] < FAR, "there must be a way through"
        positions, steps = [position], []
        for index in range(len(self.tail)):
            tail = self.tail[index]
            start, end = np.searchsorted(tail, [position, position + 1])
            extra = prices.steps[index]
            if not isinstance(extra, int):
                extra = extra[start:end]
            ways = self.cost[index][start:end] + extra + on[index + 1][self.head[index][start:end]]
            step = int(start) + int(np.argmin(ways))
            position = int(self.head[index][step])
            positions.append(position)
            steps.append(step)
        return int(whole.min()), Way(tuple(positions), tuple(steps))

    def cost_of(self, way: "Way") -> int:
        """ms of work along a way."""
        total = int(self.first[way.positions[0]])
        total += sum(int(cost[step]) for cost, step in zip(self.cost, way.steps, strict=True))
        return total // SCALE

    def way_of(self, positions: Sequence[int]) -> "Way":
        """The way through nodes given by position."""
        steps = []
        for index, (tail, head) in enumerate(zip(self.tail, self.head, strict=True)):
            start, end = np.searchsorted(tail, [positions[index], positions[index] + 1])
            found = np.searchsorted(head[start:end], positions[index + 1])
            steps.append(int(start + found))
        return Way(tuple(positions), tuple(steps))

    def layer_nodes(self, way: "Way") -> tuple[int, ...]:
        """The layers' own node numbers along a way."""
        return tuple(
            int(nodes[position]) for nodes, position in zip(self.nodes, way.positions, strict=True)
        )

    def only(self, masks: Sequence[Bools | None]) -> "Ways":
        """The ways through nodes whose mask, (nodes,) of a moment, is true or not given."""
        blocked = Prices.none(self)
        for index, mask in enumerate(masks):
            if mask is not None:
                blocked.nodes[index] = np.where(mask, 0, FAR)
        swept = Swept(self, blocked)
        stay = [
            np.flatnonzero((to < FAR) & (on < FAR) & (to + on < FAR))
            for to, on in zip(swept.to, swept.on, strict=True)
        ]
        tails, heads, costs = [], [], []
        for index in range(len(self.tail)):
            place = [np.full(len(self.nodes[i]), -1) for i in (index, index + 1)]
            for where, rows in zip(place, stay[index : index + 2], strict=True):
                where[rows] = np.arange(len(rows))
            tail, head = place[0][self.tail[index]], place[1][self.head[index]]
            kept = (tail >= 0) & (head >= 0)
            tails.append(tail[kept])
            heads.append(head[kept])
            costs.append(self.cost[index][kept])
        return replace(
            self,
            nodes=tuple(n[rows] for n, rows in zip(self.nodes, stay, strict=True)),
            memory=tuple(m[rows] for m, rows in zip(self.memory, stay, strict=True)),
            first=self.first[stay[0]],
            tail=tuple(tails),
            head=tuple(heads),
            cost=tuple(costs),
        )

    def split(self, first: Rows, follow: "Follow") -> "Ways":
        """The same ways with memory: first: (nodes of moment 0,) what is remembered there;
        follow(i, memory, step): the memory at moment i + 1 after ``step`` from one with
        ``memory``, all arrays alike. Each memory is one bit, set below what nodes remember
        already."""
        origin = [np.arange(len(self.nodes[0]))]
        memory = [first]
        tails, heads, costs = [], [], []
        for index in range(len(self.tail)):
            owners, starts = self._tails[index]
            low = np.full(len(self.nodes[index]) + 1, len(self.tail[index]))
            low[owners] = starts
            low = np.minimum.accumulate(low[::-1])[::-1]
            begin, end = low[origin[-1]], low[origin[-1] + 1]
            at, step = spread(begin, end)
            after = follow(index, memory[-1][at], step)
            both = self.head[index][step] << 1 | after
            found, head = np.unique(both, return_inverse=True)
            head = head.reshape(-1)
            order = np.lexsort((head, at))
            tails.append(at[order])
            heads.append(head[order].astype(np.intp))
            costs.append(self.cost[index][step][order])
            origin.append(found >> 1)
            memory.append(found & 1)
        known = [m[o] for m, o in zip(self.memory, origin, strict=True)]
        return replace(
            self,
            nodes=tuple(n[o] for n, o in zip(self.nodes, origin, strict=True)),
            memory=tuple(old << 1 | new for old, new in zip(known, memory, strict=True)),
            first=self.first[origin[0]],
            tail=tuple(tails),
            head=tuple(heads),
            cost=tuple(costs),
        )


Follow = Callable[[int, Rows, Rows], Rows]


@dataclass(frozen=True)
class Way:
    """One way: positions: one a moment, among the nodes of the bundle; steps: one fewer, numbers
    of its steps."""

    positions: tuple[int, ...]
    steps: tuple[int, ...]


@dataclass(frozen=True)
class Swept:
    """Both sweeps under some prices: to, on: as ``reached`` and ``onward``; least: scaled cost of
    the cheapest way."""

    ways: Ways
    prices: Prices
    to: list[Cost] = field(init=False)
    on: list[Cost] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "to", self.ways.reached(self.prices))
        object.__setattr__(self, "on", self.ways.onward(self.prices))

    @property
    def least(self) -> int:
        return int(self.to[-1].min())

    def through(self, moment: int) -> Cost:
        """(steps from a moment,): each one's cheapest whole way."""
        ways = self.ways
        return np.asarray(
            self.to[moment][ways.tail[moment]]
            + ways.cost[moment]
            + self.prices.steps[moment]
            + self.on[moment + 1][ways.head[moment]]
        )


def _groups(sorted_rows: Rows) -> tuple[Rows, Rows]:
    """(distinct values, where each one's range begins) of an ascending array."""
    owners, starts = np.unique(sorted_rows, return_index=True)
    return owners, starts.astype(np.intp)
