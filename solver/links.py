"""Links: which shapes of one layer can follow which of the layer before, and what the move costs.

Links are made once per pair of layers, however often that pair occurs in the tune. Where most
pairs of shapes are allowed a link is a whole matrix, otherwise a list of pairs. What their moves
cost is kept on a shelf of so many bytes, and counted anew when it is asked for after it had to
make room; so the memory of a long tune with many chords stays bounded. Measured with a whole hand
on three courses: a search of 512 bars of 20 chords at random, a bass note a beat, held 730 MiB at
its peak, Python and its libraries' 100 among them.

Public: Link, LinkCost, Close, Within, Shelf, Charges, Bans, build_link.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from scoring.choice import Bools, Ints
from solver.arrays import FAR, Cost, Moves, Rows, far_of, spread
from solver.bans import Ban
from solver.charges import Charge, counted
from solver.fans import Fan, fan_of
from solver.labels import LabelWays, label_ways
from solver.layers import Layer
from solver.least import Ahead, layered, least_of_rows, least_of_runs, relative, whole
from solver.ratings import rated
from solver.shelf import Bans, Charges, Shelf
from solver.tables import MoveTables

__all__ = ["Bans", "Charges", "Close", "Link", "LinkCost", "Shelf", "Within", "build_link"]

CROWDED = 0.2
"""Share of allowed pairs from which on a whole matrix is faster than a list."""


@dataclass(frozen=True)
class Link:
    """The allowed pairs of shapes, by tail then head.

    starts: (tails + 1,) and head: (pairs,) list them; both None where all pairs are looked at.
    rings: whether some string may ring on, so that not every pair is allowed. ways: what the
    labels allow.
    """

    before: Layer
    after: Layer
    ways: LabelWays
    starts: Rows | None
    head: Ints | None
    rings: bool

    @property
    def pairs(self) -> int:
        """How many pairs of shapes are looked at."""
        if self.head is not None:
            return len(self.head)
        return len(self.before.shapes) * len(self.after.shapes)

    @property
    def allowed(self) -> Bools:
        """(tails, heads): whether the strings that ring and the labels allow it."""
        possible = self.ways.possible[self.before.kind][:, self.after.kind]
        follows = _follow(self.before, self.after)
        return possible if follows is None else follows & possible

    @cached_property
    def fan(self) -> Fan:
        return fan_of(self.ways)

    @cached_property
    def runs(self) -> tuple[Ints, Ints, Rows]:
        """For a list, (pair, slot, starts): the pairs of each stem that its labels allow, and the
        slots that they lead to; starts: (stems + 1,). In 32 bits, and stems not spelled out as
        ``spread`` would: a quarter of the time, and these are the longest lists there are."""
        assert self.starts is not None
        assert self.head is not None
        tails, width = self.fan.tail, np.int32(self.fan.slot_of.shape[1])
        first = self.starts[tails].astype(np.int32)
        counts = self.starts[tails + 1] - first
        ends = np.cumsum(counts)
        pair = np.repeat(first - (ends - counts).astype(np.int32), counts)
        pair += np.arange(len(pair), dtype=np.int32)
        entry = np.repeat(self.fan.tail_row.astype(np.int32) * width, counts)
        entry += self.head[pair]
        slot = np.take(self.fan.slot_of, entry)
        starts = np.append(0, ends)
        there = slot >= 0
        if not there.all():
            starts = np.append(0, np.cumsum(there))[starts]
            pair, slot = pair[there], slot[there]
        return pair, slot, starts

    def moves(self, tables: MoveTables) -> Moves:
        """(tails, heads) or (pairs,): ms of the moves."""
        held = self.before.held, self.after.held
        ms, damped = self.before.moment.ms, self.before.moment.damped
        if self.starts is None or self.head is None:
            moves = tables.all_pairs(*held, ms, damped)
            if self.rings:
                follows = _follow(self.before, self.after)
                assert follows is not None
                np.copyto(moves, far_of(moves), where=~follows)
            return moves
        tail = np.repeat(np.arange(len(held[0])), np.diff(self.starts))
        return tables.some_pairs(*held, tail, self.head, ms, damped)

    def counts(self, charge: Charge) -> Bools:
        """(tails, heads) or (pairs,): which moves the charge counts."""
        if charge.what == "hard":
            return Ban("hard", charge.above).forbids(self.rated)
        return counted(charge.what, self.before.held, self.after.held, self._listed)

    @property
    def rated(self) -> Moves:
        """(2, tails, heads) or (2, pairs): the moves' ratings (``solver.ratings``)."""
        moment = self.before.moment
        held = self.before.held, self.after.held
        return rated(*held, moment.ms, moment.damped, self._listed)

    @property
    def _listed(self) -> tuple[Rows, Rows] | None:
        """(tail, head) of each pair of a list; None for a matrix."""
        if self.starts is None or self.head is None:
            return None
        tail = np.repeat(np.arange(len(self.before.shapes)), np.diff(self.starts))
        return tail, self.head.astype(np.intp)

    @property
    def told_apart(self) -> tuple[int, ...]:
        """Links of one graph for which this is the same have the same moves."""
        moment = self.before.moment
        numbers = self.before.held.number, self.after.held.number
        return (*numbers, moment.ms, moment.damped, 0 if self.starts is None else id(self))

    def cost(self, tables: MoveTables, shelf: Shelf | None = None) -> "LinkCost":
        """What the steps cost under the tables' weights."""
        lines = self.ways.line_costs(tables.weights)
        return LinkCost(self, tables, lines, shelf or Shelf())


@dataclass(frozen=True)
class Close:
    """Steps that are close to the best: at: the position of their tails in what was asked; entry:
    of the link's fan; move: ms with, plain: without charges."""

    at: Rows
    entry: Rows
    move: Cost
    plain: Cost


@dataclass(frozen=True)
class Within:
    """Steps within a limit: at: the position of their tails in what was asked; head: node; ms: of
    the step, the head's own not included; plain: the same without charges."""

    at: Rows
    head: Rows
    ms: Cost
    plain: Cost


@dataclass(frozen=True)
class LinkCost:
    """A link's costs: lines: (labels before, labels after) what the bass line's step costs; the
    moves are on the shelf; charges: ms more for moves that count; bans: on moves that may not be;
    sparing: ``close`` looks at those of the moves alone that are close.
    """

    link: Link
    tables: MoveTables
    lines: Cost
    shelf: Shelf
    charges: Charges = ()
    bans: Bans = ()
    sparing: bool = False

    @property
    def moves(self) -> Moves:
        """(tails, heads) or (pairs,): ms of every move with its charges; what is banned cannot be
        reached."""
        return self.shelf.moves(self.link, self.tables, self.charges, self.bans)

    @property
    def _before_bans(self) -> Moves:
        """The same, but what is banned at its ms."""
        return self.shelf.moves(self.link, self.tables, self.charges)

    @property
    def plain(self) -> Moves:
        """The same without the charges, and what is banned at its ms."""
        return self.shelf.moves(self.link, self.tables)

    @cached_property
    def line(self) -> Cost:
        """(entries of the fan,): what the bass line's step costs."""
        fan = self.link.fan
        return np.asarray(self.lines[self.link.ways.of_row[fan.row], fan.label])

    @cached_property
    def _most(self) -> int:
        moment = self.link.before.moment
        most = self.tables.most(moment.ms, moment.damped)
        return most + sum(abs(each.price) for each in self.charges)

    def back(self, on: Cost, own: Cost | None = None, most: int | None = None) -> Cost:
        """(nodes before,): the least that the way on from each costs, FAR where there is none.

        on: (nodes after,) what is still to come from each, its own ms included; own: their own
        ms alone; most: what a step and its head's own may cost, None for anything.
        """
        ahead = self.ahead(on, own, most)
        return self._best(ahead)[self.link.fan.stem]

    def worst(self, on: Cost, own: Cost) -> Cost:
        """(nodes before,): the least possible value of the costliest step still to come; on: the
        same for the nodes after."""
        fan = self.link.fan
        add, limit = self.line + own[fan.node], on[fan.node]
        slot = self._slot_of_entry
        return self._best(layered(slot, len(fan.head), add, limit, worst=True))[fan.stem]

    def ahead(self, on: Cost, own: Cost | None = None, most: int | None = None) -> Ahead:
        """What lies ahead of each slot of the fan (see ``back``)."""
        fan = self.link.fan
        ahead = on[fan.node]
        ahead = np.where(ahead < FAR, ahead + self.line, FAR)
        if most is None:
            if not len(ahead):
                return Ahead((ahead,))
            return Ahead((np.minimum.reduceat(ahead, fan.starts[:-1]),))
        assert own is not None
        limit = most - self.line - own[fan.node]
        return layered(self._slot_of_entry, len(fan.head), ahead, limit, worst=False)

    @property
    def _slot_of_entry(self) -> Rows:
        starts = self.link.fan.starts
        return np.repeat(np.arange(len(starts) - 1), np.diff(starts))

    def _best(self, ahead: Ahead) -> Cost:
        """(stems,): the best way on."""
        link, fan = self.link, self.link.fan
        moves = self.moves
        plain = self.plain if ahead.limit is not None and not ahead.worst else moves
        near, base = relative(ahead, self._most, moves.dtype == np.int32)
        if link.starts is not None:
            pair, slot, starts = link.runs
            listed = moves[pair]
            bare = listed if plain is moves else plain[pair]
            best = least_of_runs(listed, bare, slot, starts, near)
        else:
            best = np.full(len(fan.tail), far_of(near.add[0]), near.add[0].dtype)
            for row in range(len(fan.stems) - 1):
                stems = slice(fan.stems[row], fan.stems[row + 1])
                slots = slice(fan.slots[row], fan.slots[row + 1])
                if stems.start < stems.stop and slots.start < slots.stop:
                    best[stems] = least_of_rows(
                        moves, plain, fan.tail[stems], fan.head[slots], near.part(slots)
                    )
        return whole(best, base, self._most)

    def within(self, nodes: Rows, to: Cost, on: Cost, limit: np.int64) -> Within:
        """Every step from ``nodes``, reached at cost ``to``, on a way of at most ``limit`` ms; on:
        (nodes after,) what is still to come from each, its own ms included."""
        close = self.close(nodes, to, self.ahead(on), limit)
        head, line = self.link.fan.node[close.entry], self.line[close.entry]
        step = close.move + line
        near = to[close.at] + step + on[head] <= limit
        return Within(close.at[near], head[near], step[near], (close.plain + line)[near])

    def close(self, nodes: Rows, to: Cost, ahead: Ahead, limit: np.int64) -> Close:
        """Every step from ``nodes``, reached at cost ``to``, over a slot from which a way of at
        most ``limit`` ms leads on; each slot's entries all told."""
        link, fan = self.link, self.link.fan
        moves = self._before_bans if self.sparing else self.moves
        stem = fan.stem[nodes]
        tail, row = fan.tail[stem], fan.tail_row[stem]
        reach = np.minimum.reduce(ahead.add)
        if link.starts is not None and link.head is not None:
            at, pair = spread(link.starts[tail], link.starts[tail + 1])
            slot = fan.slot_of[row[at], link.head[pair]].astype(np.intp)
            near = slot >= 0
            at, pair, slot = at[near], pair[near], slot[near]
            listed = moves[pair]
            near = (to[at] + listed + reach[slot] <= limit) & (listed < far_of(moves))
            at, slot = at[near], slot[near]
            where: tuple[Rows, ...] = (pair[near],)
        else:
            at, slot = self._close_rows(moves, tail, row, to, reach, limit)
            where = tail[at], fan.head[slot]
        if self.sparing:
            left = self._not_banned(tail[at], fan.head[slot])
            at, slot = at[left], slot[left]
            where = tuple(each[left] for each in where)
        move = moves[where].astype(np.int64)
        bare = self.plain[where].astype(np.int64) if self.charges else move
        way, entry = spread(fan.starts[slot], fan.starts[slot + 1])
        return Close(at[way], entry, move[way], bare[way])

    def _not_banned(self, tail: Rows, head: Rows) -> Bools:
        """(moves,): which may be, of the moves from some shapes to others."""
        link, may = self.link, np.ones(len(tail), np.bool_)
        moment, held = link.before.moment, (link.before.held, link.after.held)
        ratings: Moves | None = None
        for ban in self.bans:
            if ban.what == "shifts":
                may &= ~counted("shifts", *held, (tail, head))
                continue
            if ratings is None:
                ratings = rated(*held, moment.ms, moment.damped, (tail, head))
            may &= ~ban.forbids(ratings)
        return may

    def first_exact(self, node: int, on: Cost, left: int) -> int:
        """The first node that a step from ``node`` leads to from which the way on costs just what
        is ``left``, step and all; -1 where none does. on: what is still to come from each."""
        link, fan = self.link, self.link.fan
        stem = fan.stem[node]
        tail, row = fan.tail[stem], fan.tail_row[stem]
        if link.starts is not None and link.head is not None:
            pair = np.arange(link.starts[tail], link.starts[tail + 1])
            slot = fan.slot_of[row, link.head[pair]].astype(np.intp)
            moves = self.moves[pair[slot >= 0]]
            slot = slot[slot >= 0]
        else:
            slot = np.arange(fan.slots[row], fan.slots[row + 1])
            moves = self.moves[tail, fan.head[slot]]
        there = moves < far_of(moves)
        way, entry = spread(fan.starts[slot[there]], fan.starts[slot[there] + 1])
        head = fan.node[entry]
        exact = moves[there][way].astype(np.int64) + self.line[entry] + on[head] == left
        return int(head[exact].min()) if exact.any() else -1

    def _close_rows(
        self, moves: Moves, tail: Rows, row: Rows, to: Cost, reach: Cost, limit: np.int64
    ) -> tuple[Rows, Rows]:
        """(position in ``tail``, slot) within the limit, for a matrix."""
        fan = self.link.fan
        far, least = far_of(moves), sum(min(0, each.price) for each in self.charges)
        found: list[tuple[Rows, Rows]] = []
        for each in np.unique(row):
            rows = np.flatnonzero(row == each)
            slots = np.arange(fan.slots[each], fan.slots[each + 1])
            slots = slots[reach[slots] <= limit - to[rows].min() - least]
            if not len(slots):
                continue
            heads, on = fan.head[slots], reach[slots]
            step = max(1, (1 << 18) // moves.shape[1])
            for start in range(0, len(rows), step):
                some = rows[start : start + step]
                part = moves[tail[some]][:, heads]
                close = part <= np.minimum((limit - to[some])[:, None] - on, far - 1)
                at, column = np.nonzero(close)
                found.append((some[at], slots[column]))
        if not found:
            return np.zeros(0, np.intp), np.zeros(0, np.intp)
        at, slot = (np.concatenate(part) for part in zip(*found, strict=True))
        return at, slot


def build_link(before: Layer, after: Layer) -> Link:
    """The pairs of shapes in which every string that rings on keeps its fret and finger, and
    whose labels have some way on."""
    ways = label_ways(before, after)
    follows = _follow(before, after)
    rings = follows is not None
    if follows is None:
        follows = np.ones((len(before.shapes), len(after.shapes)), np.bool_)
    if not ways.possible.all():
        follows &= ways.possible[before.kind].take(after.kind, axis=1)
    if np.count_nonzero(follows) > CROWDED * follows.size:
        return Link(before, after, ways, None, None, rings)
    counts = np.count_nonzero(follows, axis=1)
    row = np.repeat(np.arange(len(counts)) * follows.shape[1], counts)
    head = np.flatnonzero(follows) - row
    starts = np.append(0, np.cumsum(counts))
    return Link(before, after, ways, starts, head.astype(np.int32), rings)


def _follow(before: Layer, after: Layer) -> Bools | None:
    """(shapes before, shapes after): whether every string that rings on is kept as it was; None
    where each may follow each."""
    old, new = before.shapes, after.shapes
    follows: Bools | None = None
    for course in range(new.frets.shape[1]):
        rings = ~new.struck[:, course] & (new.frets[:, course] >= 0)
        if rings.any():
            held = 8 * old.frets[:, course] + old.fingers[:, course]
            asked = 8 * new.frets[:, course] + new.fingers[:, course]
            states, state = np.unique(held, return_inverse=True)
            kept = (~rings | (states[:, None] == asked)).take(state.reshape(-1), axis=0)
            follows = kept if follows is None else np.logical_and(follows, kept, out=follows)
    return None if follows is None or follows.all() else follows
