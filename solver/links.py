"""Links: which shapes of one layer can follow which of the layer before, and what the move costs.

A link looks at shapes alone and forgets their labels, except that it knows the cheapest step that
any two labels of the shapes allow; so its costs are lower bounds, and exact but for the labels'
own share. Links are made once per pair of layers, however often that pair occurs in the tune.

Where most pairs are allowed a link is a whole matrix, otherwise a list of pairs.

Public: Link, LinkCost, build_link, FAR.
"""

from dataclasses import dataclass

import numpy as np

from scoring.choice import Bools, Ints
from solver.arrays import FAR, Cost, Rows
from solver.labels import LabelWays, label_ways
from solver.layers import Layer
from solver.tables import MoveTables

CROWDED = 0.2
"""Share of allowed pairs from which on a whole matrix is faster than a list."""


@dataclass(frozen=True)
class Link:
    """The allowed pairs of shapes, by tail then head.

    starts: (tails + 1,) and head: (pairs,) list them; both None where ``allowed`` (tails, heads)
    is kept instead. ways: what the labels allow.
    """

    before: Layer
    after: Layer
    ways: LabelWays
    starts: Rows | None
    head: Ints | None
    allowed: Bools | None

    @property
    def pairs(self) -> int:
        """How many pairs of shapes are looked at."""
        if self.head is not None:
            return len(self.head)
        return len(self.before.shapes) * len(self.after.shapes)

    def cost(self, tables: MoveTables) -> "LinkCost":
        """What the pairs cost under the tables' weights."""
        ms, damped = self.before.moment.ms, self.before.moment.damped
        lines = self.ways.line_costs(tables.weights)
        least = self.ways.least(lines)
        shapes = self.before.shapes, self.after.shapes
        kinds = self.before.kind, self.after.kind
        if self.starts is None or self.head is None:
            moves = tables.all_pairs(*shapes, ms, damped)
            moves += least[kinds[0]][:, kinds[1]]
            moves[~np.asarray(self.allowed)] = FAR
            return LinkCost(self, np.minimum(moves, FAR), lines, least)
        tail = np.repeat(np.arange(len(shapes[0])), np.diff(self.starts))
        moves = tables.some_pairs(*shapes, tail, self.head, ms, damped)
        moves += least[kinds[0][tail], kinds[1][self.head]]
        return LinkCost(self, np.minimum(moves, FAR), lines, least)


@dataclass(frozen=True)
class LinkCost:
    """A link's costs: shapes: (tails, heads) or (pairs,), the cheapest labels' share included;
    lines: (labels before, labels after) what the bass line's step costs; least: (kinds before,
    kinds after) the share that ``shapes`` includes."""

    link: Link
    shapes: Cost
    lines: Cost
    least: Cost

    def back(self, onward: Cost) -> Cost:
        """(tails,): the least of cost + ``onward`` (heads,) over each tail's heads."""
        if self.link.starts is None or self.link.head is None:
            return np.asarray(np.minimum((self.shapes + onward).min(axis=1), FAR))
        out = np.full(len(self.link.before.shapes), FAR, np.int64)
        ways = self.shapes + onward[self.link.head]
        filled = np.flatnonzero(np.diff(self.link.starts))
        if len(filled):
            out[filled] = np.minimum.reduceat(ways, self.link.starts[filled])
        return np.minimum(out, FAR)

    def close(
        self, tails: Rows, to: Cost, onward: Cost, limit: np.int64
    ) -> tuple[Rows, Rows, Cost]:
        """(position in ``tails``, head shape, move cost) of every pair from the shapes ``tails``,
        reached at cost ``to``, whose cheapest whole way costs at most ``limit``."""
        if self.link.starts is None or self.link.head is None:
            costs = self.shapes[tails]
            at, head = np.nonzero(to[:, None] + costs + onward <= limit)
            cost = costs[at, head]
        else:
            starts, ends = self.link.starts[tails], self.link.starts[tails + 1]
            at, pair = spread(starts, ends)
            near = to[at] + self.shapes[pair] + onward[self.link.head[pair]] <= limit
            at, pair = at[near], pair[near]
            head, cost = self.link.head[pair].astype(np.intp), self.shapes[pair]
        before, after = self.link.before.kind, self.link.after.kind
        return at, head, cost - self.least[before[tails[at]], after[head]]


def spread(starts: Rows, ends: Rows) -> tuple[Rows, Rows]:
    """For ranges starts[i] … ends[i]: (i repeated, the members), one after another."""
    counts = ends - starts
    row = np.repeat(np.arange(len(starts)), counts)
    first = starts - (np.cumsum(counts) - counts)
    return row, np.arange(len(row)) + first[row]


def build_link(before: Layer, after: Layer) -> Link:
    """The pairs of shapes in which every string that rings on keeps its fret and finger, and
    whose labels have some way on."""
    ways = label_ways(before, after)
    follows = _follow(before, after)
    follows &= ways.possible[before.kind][:, after.kind]
    count = int(follows.sum())
    if count > CROWDED * follows.size:
        return Link(before, after, ways, None, None, follows)
    tail, head = np.nonzero(follows)
    starts = np.searchsorted(tail, np.arange(len(before.shapes) + 1))
    return Link(before, after, ways, starts, head.astype(np.int32), None)


def _follow(before: Layer, after: Layer) -> Bools:
    """(shapes before, shapes after): whether every string that rings on is kept as it was."""
    old, new = before.shapes, after.shapes
    follows = np.ones((len(old), len(new)), np.bool_)
    for course in range(new.frets.shape[1]):
        rings = np.flatnonzero(~new.struck[:, course] & (new.frets[:, course] >= 0))
        held_before = 8 * old.frets[:, course] + old.fingers[:, course]
        held_after = 8 * new.frets[rings, course] + new.fingers[rings, course]
        follows[:, rings] &= held_before[:, None] == held_after[None, :]
    return follows
