"""Steps: every way from one layer's nodes to the next layer's.

A step is allowed when every string that rings on keeps its fret and finger, the bass line and the
tones heard follow from the node before, and foreign bass notes go where they must. Steps are kept
as arrays, once per pair of layers, however often that pair occurs in the tune.

Public: Steps, build_steps.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from scoring.choice import ROLE_CODE, Bools, Ints, Stands
from scoring.move import Move
from scoring.terms import LINE_TERMS, MOVE_TERMS
from scoring.weights import Weights
from solver.layers import APPROACH, PASSING_DOWN, PASSING_UP, RETURN_BY, STRAIGHT, Layer

Rows = NDArray[np.intp]


@dataclass(frozen=True)
class Steps:
    """Allowed steps, ordered by head, then tail.

    tail, head: (steps,) node numbers; pair: (steps,) row of the shapes' move; move_amounts: term
    name → (pairs,); line_amounts: term name → (steps,).
    """

    tail: Rows
    head: Rows
    pair: Rows
    move_amounts: dict[str, Ints]
    line_amounts: dict[str, Ints]

    def __len__(self) -> int:
        return len(self.tail)

    @cached_property
    def by_tail(self) -> Rows:
        """Step numbers ordered by tail, then head."""
        return np.argsort(self.tail, kind="stable")

    def cost(self, weights: Weights) -> NDArray[np.int64]:
        """(steps,): ms that each step costs, its head's own cost not included."""
        moves = np.zeros(int(self.pair.max()) + 1 if len(self) else 0, np.int64)
        for name, amount in self.move_amounts.items():
            moves += amount.astype(np.int64)[: len(moves)] * weights[name]
        total = moves[self.pair]
        for name, amount in self.line_amounts.items():
            total += amount.astype(np.int64) * weights[name]
        return total


def build_steps(before: Layer, after: Layer) -> Steps:
    """Every allowed step between two layers."""
    pair_tail, pair_head = np.nonzero(_shapes_follow(before, after))
    tail, head, pair = _expand(before, after, pair_tail, pair_head)
    allowed = _line_follows(before, after, tail, head)
    tail, head, pair = tail[allowed], head[allowed], pair[allowed]
    used, pair = np.unique(pair, return_inverse=True)
    move = Move(
        before.shapes.take(pair_tail[used]),
        after.shapes.take(pair_head[used]),
        before.moment.ms,
        before.moment.damped,
    )
    order = np.lexsort((tail, head))
    tail, head, pair = tail[order], head[order], pair[order]
    line_before, line_after = _stands(before, tail), _stands(after, head)
    return Steps(
        tail,
        head,
        pair,
        _filled({term.about.name: term.amount(move) for term in MOVE_TERMS}),
        _filled(
            {
                term.about.name: term.amount(line_before, line_after, after.moment)
                for term in LINE_TERMS
            }
        ),
    )


def _filled(amounts: dict[str, Ints]) -> dict[str, Ints]:
    return {name: amount for name, amount in amounts.items() if amount.any()}


def _stands(layer: Layer, nodes: Rows) -> Stands:
    """The nodes' bass lines; line terms look at no shape, so shapes stay as they are."""
    return Stands(layer.shapes, layer.role[nodes], layer.line[nodes], layer.heard[nodes])


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


def _expand(
    before: Layer, after: Layer, pair_tail: Rows, pair_head: Rows
) -> tuple[Rows, Rows, Rows]:
    """From pairs of shapes to (tail, head, pair): heads that agree with the tail on the bass line
    and on what has been heard."""
    starts = np.searchsorted(before.shape, np.arange(len(before.shapes) + 1))
    counts = np.diff(starts)[pair_tail]
    pair = np.repeat(np.arange(len(pair_tail)), counts)
    first = np.repeat(starts[pair_tail], counts)
    within = np.arange(len(pair)) - np.repeat(np.cumsum(counts) - counts, counts)
    tail = first + within
    shape = pair_head[pair]
    struck = after.shapes.struck[:, 0][shape]
    pitch = after.shapes.pitch[:, 0][shape]
    resting = np.int32(-1) if after.moment.chord is None else before.line[tail]
    line = np.where(struck, pitch, resting)
    sounding = _sounding(after)[shape]
    heard = sounding if after.moment.change else before.heard[tail] | sounding
    if after.moment.chord is None:
        heard = np.zeros_like(sounding)
    keys = _key(after.shape, after.going, after.line, after.heard)
    order = np.argsort(keys, kind="stable")
    found: list[tuple[Rows, Rows, Rows]] = []
    for going in np.unique(after.going):
        wanted = _key(shape, np.full(len(shape), going, np.int32), line, heard)
        spot = np.minimum(np.searchsorted(keys, wanted, sorter=order), len(keys) - 1)
        head = order[spot]
        match = keys[head] == wanted
        found.append((tail[match], head[match], pair[match]))
    tails, heads, pairs = zip(*found, strict=True)
    return np.concatenate(tails), np.concatenate(heads), np.concatenate(pairs)


def _key(shape: Rows, going: Ints, line: Ints, heard: Ints) -> NDArray[np.int64]:
    key = shape.astype(np.int64) * 8 + going
    return (key * 256 + line + 1) * 64 + heard


def _sounding(layer: Layer) -> Ints:
    """(shapes,): the least heard set of each shape is what sounds in it."""
    least = np.full(len(layer.shapes), np.iinfo(np.int32).max, np.int32)
    np.minimum.at(least, layer.shape, layer.heard)
    return least


def _line_follows(before: Layer, after: Layer, tail: Rows, head: Rows) -> Bools:
    """(steps,): whether foreign bass notes come from and go where they must."""
    old, new = before.line[tail], after.line[head]
    going_from, going_to = before.going[tail], after.going[head]
    struck = after.role[head] >= 0
    up = new - old
    allowed = np.ones(len(tail), np.bool_)
    if after.moment.keeps:
        allowed &= ~struck | (old == new)
    stepwise = {
        PASSING_UP: (up >= 1) & (up <= 2),
        PASSING_DOWN: (up <= -1) & (up >= -2),
        **{code: up == by for code, by in RETURN_BY.items()},
    }
    for code, step in stepwise.items():
        allowed &= (going_from != code) | (struck & step)
        into = step if code in (PASSING_UP, PASSING_DOWN) else up == -RETURN_BY[code]
        allowed &= (going_to != code) | (into & (old >= 0))
    roots = np.isin(after.role[head], [ROLE_CODE["root"], ROLE_CODE["slash bass"]])
    lands = np.bool_(after.moment.change) & roots & (np.abs(up) >= 1) & (np.abs(up) <= 2)
    allowed &= (going_from != APPROACH) | lands
    allowed &= (going_from == STRAIGHT) | (going_to == STRAIGHT)
    return allowed
