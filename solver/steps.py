"""Steps: every way from one layer's nodes to the next layer's.

A step is allowed when every string that rings on keeps its fret and finger, the bass line and the
tones heard follow from the node before, and foreign bass notes go where they must. The first
depends on the two shapes alone, the rest on the two labels and what the later shape sounds, so
both are settled on distinct ones and then multiplied out.

Steps are kept as arrays, once per pair of layers, however often that pair occurs in the tune.

Public: Steps, build_steps.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from scoring.choice import ROLE_CODE, Bools, Ints
from scoring.terms import LINE_TERMS
from scoring.weights import Weights
from solver.layers import APPROACH, PASSING_DOWN, PASSING_UP, RETURN_BY, STRAIGHT, Layer
from solver.tables import MoveTables

Rows = NDArray[np.intp]
Cost = NDArray[np.int64]


@dataclass(frozen=True)
class Steps:
    """Allowed steps, ordered by head, then tail.

    tail, head: (steps,) node numbers; pair: (steps,) which pair of shapes; shape_tail, shape_head:
    (pairs,) shape numbers.
    """

    before: Layer
    after: Layer
    tail: Ints
    head: Ints
    pair: Ints
    shape_tail: Rows
    shape_head: Rows

    def __len__(self) -> int:
        return len(self.tail)

    @cached_property
    def starts(self) -> Rows:
        """(heads reached + 1,): where each head's steps begin."""
        changes = np.flatnonzero(np.diff(self.head)) + 1
        return np.r_[0, changes, len(self)] if len(self) else np.zeros(1, np.intp)

    def cost(self, tables: MoveTables) -> Cost:
        """(steps,): ms that each step costs, its head's own cost not included."""
        moment = self.before.moment
        moves = tables.cost(
            self.before.shapes, self.after.shapes, self.shape_tail, self.shape_head,
            moment.ms, moment.damped,
        )  # fmt: skip
        lines = self._line_costs(tables.weights)
        if not lines.any():
            return moves[self.pair]
        labels = self.before.label[self.tail], self.after.label[self.head]
        return moves[self.pair] + lines[labels]

    def _line_costs(self, weights: Weights) -> Cost:
        """(labels before, labels after): what the bass line's step costs."""
        old, new = self.before.labels, self.after.labels
        before, after = np.broadcast_arrays(old.line[:, None], new.line[None, :])
        struck = np.broadcast_to((new.role >= 0).astype(np.int32), before.shape)
        total = np.zeros(before.shape, np.int64)
        for term in LINE_TERMS:
            amount = term.amount(before, after, struck, self.after.moment)
            total += amount * np.int64(weights[term.about.name])
        return total


def build_steps(before: Layer, after: Layer) -> Steps:
    """Every allowed step between two layers."""
    shape_head, shape_tail = np.nonzero(_shapes_follow(before, after).T)
    kinds, kind = _sound_kinds(after)
    starts, nexts = _label_ways(before, after, kinds)
    node_starts = np.searchsorted(before.shape, np.arange(len(before.shapes) + 1))
    pair, tail = _spread(node_starts[shape_tail], node_starts[shape_tail + 1])
    heads = shape_head[pair]
    way = before.label[tail] * len(kinds) + kind[heads]
    if (np.diff(starts) == 1).all():
        slot = starts[way]
    else:
        row, slot = _spread(starts[way], starts[way + 1])
        pair, tail, heads = pair[row], tail[row], heads[row]
    head = after.node_of[heads, nexts[slot]]
    exists = head >= 0
    if not exists.all():
        pair, tail, head = pair[exists], tail[exists], head[exists]
    order = np.argsort(head, kind="stable")
    return Steps(before, after, tail[order], head[order], pair[order], shape_tail, shape_head)


def _spread(starts: Rows, ends: Rows) -> tuple[Ints, Ints]:
    """For ranges starts[i] … ends[i]: (i repeated, the members), one after another."""
    counts = ends - starts
    row = np.repeat(np.arange(len(starts), dtype=np.int32), counts)
    first = (starts - (np.cumsum(counts) - counts)).astype(np.int32)
    return row, np.arange(len(row), dtype=np.int32) + np.repeat(first, counts)


def _shapes_follow(before: Layer, after: Layer) -> Bools:
    """(shapes before, shapes after): whether every string that rings on is kept as it was."""
    old, new = before.shapes, after.shapes
    follows = np.ones((len(old), len(new)), np.bool_)
    for course in range(new.frets.shape[1]):
        rings = np.flatnonzero(~new.struck[:, course] & (new.frets[:, course] >= 0))
        held_before = 8 * old.frets[:, course] + old.fingers[:, course]
        held_after = 8 * new.frets[rings, course] + new.fingers[rings, course]
        follows[:, rings] &= held_before[:, None] == held_after[None, :]
    return follows


def _sound_kinds(layer: Layer) -> tuple[Ints, Rows]:
    """Distinct (bass pitch newly struck or -1, tones sounding), and each shape's kind."""
    shapes = layer.shapes
    bass = np.where(shapes.struck[:, 0], shapes.pitch[:, 0], -1)
    kinds, kind = np.unique(np.stack([bass, layer.sounding], axis=1), axis=0, return_inverse=True)
    return kinds, kind.reshape(-1).astype(np.intp)


def _label_ways(before: Layer, after: Layer, kinds: Ints) -> tuple[Rows, Rows]:
    """From (label before, sound kind after) to labels after, as ranges: the labels of row
    ``before · kinds + kind`` are nexts[starts[row] : starts[row + 1]]."""
    old, new = before.labels, after.labels
    struck, sounding = kinds[:, 0][None, :], kinds[:, 1][None, :]
    resting = after.moment.chord is None
    line = np.where(struck >= 0, struck, -1 if resting else old.line[:, None])
    heard = sounding if after.moment.change else old.heard[:, None] | sounding
    heard = np.zeros_like(line) if resting else np.broadcast_to(heard, line.shape)
    fits = (line[:, :, None] == new.line) & (heard[:, :, None] == new.heard)
    fits &= ((struck >= 0) == (new.role >= 0)[:, None]).T[None, :, :]
    fits &= _bass_follows(before, after)[:, None, :]
    row, nexts = np.nonzero(fits.reshape(-1, len(new)))
    starts = np.searchsorted(row, np.arange(len(old) * len(kinds) + 1))
    return starts, nexts


def _bass_follows(before: Layer, after: Layer) -> Bools:
    """(labels before, labels after): whether foreign bass notes come from and go where they
    must, and a bass string struck again keeps its note where the moment says so."""
    old, new = before.labels, after.labels
    struck = (new.role >= 0)[None, :]
    up = new.line[None, :] - old.line[:, None]
    known = (old.line >= 0)[:, None]
    going_from, going_to = old.going[:, None], new.going[None, :]
    allowed = np.ones(up.shape, np.bool_)
    if after.moment.keeps:
        allowed &= ~struck | (up == 0)
    passes = {
        PASSING_UP: (up >= 1) & (up <= 2),
        PASSING_DOWN: (up <= -1) & (up >= -2),
    }
    for code, step in passes.items():
        allowed &= (going_from != code) | (struck & step)
        allowed &= (going_to != code) | (known & step)
    for code, by in RETURN_BY.items():
        allowed &= (going_from != code) | (struck & (up == by))
        allowed &= (going_to != code) | (known & (up == -by))
    root = np.isin(new.role, [ROLE_CODE["root"], ROLE_CODE["slash bass"]])[None, :]
    near = (np.abs(up) >= 1) & (np.abs(up) <= 2)
    lands = np.bool_(after.moment.change) & root & near
    allowed &= (going_from != APPROACH) | lands
    allowed &= (going_from == STRAIGHT) | (going_to == STRAIGHT)
    return allowed
