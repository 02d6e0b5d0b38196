"""The least over many ways at once: the one loop that the exact passes spend their time in.

For each tail the best of its heads, where a way is a move (from a matrix or a list) and what lies
ahead of its head. There are three questions:

* the least sum of both (``add``);
* the least sum over the moves that are no dearer than a ceiling of the head's (``add`` with
  ``limit``);
* the least value of the costliest step (``worst``): the greater of move + ``add`` and ``limit``.

Where a head has several candidates of which none is best for every move, each further one is a
layer more. Sums are taken in 32 bits, relative to the least that lies ahead, wherever they fit.

A move may be charged less than nothing, so a sum with what cannot be reached may lie a little below
what marks that; ``whole`` tells both apart once at the end, where there are few numbers left.

Public: Ahead, layered, relative, whole, least_of_rows, least_of_runs.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from scoring.choice import Ints
from solver.arrays import FAR, SHORT_FAR, Cost, Moves, Rows, far_of

BLOCK = 1 << 16
"""How many ways are looked at a time, to stay within the processor's cache."""


@dataclass(frozen=True)
class Ahead:
    """What lies ahead of each slot: add: a list of layers (slots,), FAR for no candidate; limit:
    the same, None where only sums are asked for; worst: the question is the costliest step."""

    add: tuple[Moves, ...]
    limit: tuple[Moves, ...] | None = None
    worst: bool = False

    def part(self, slots: slice) -> "Ahead":
        """Of those slots only."""
        limit = self.limit and tuple(each[slots] for each in self.limit)
        return Ahead(tuple(each[slots] for each in self.add), limit, self.worst)


def layered(slot: Rows, slots: int, add: Cost, limit: Cost, worst: bool) -> Ahead:
    """Candidates (slot, add, limit), slots ascending, as layers; those that another one of their
    slot beats for every move are left out.

    The best is the one with the lower ``add`` and the higher ceiling; or, for the costliest step,
    with both lower.
    """
    first, second = (limit, add) if worst else (add, -limit)
    order = np.lexsort((second, first, slot))
    order = order[(add[order] < FAR) & (limit[order] >= 0) & (limit[order] < FAR)]
    kept = np.zeros(len(order), np.bool_)
    rank = np.zeros(len(order), np.intp)
    at, key = slot[order], second[order]
    left = np.arange(len(order))
    layer = 0
    while len(left):  # once a layer: each slot's next candidate, and all that it beats
        first_of = np.flatnonzero(np.diff(at[left], prepend=-1))
        kept[left[first_of]] = True
        rank[left[first_of]] = layer
        bar = np.repeat(key[left[first_of]], np.diff(np.append(first_of, len(left))))
        left = left[key[left] < bar]
        layer += 1
    adds, limits = [], []
    for number in range(max(1, layer)):
        rows = order[kept & (rank == number)]
        adds.append(np.full(slots, FAR, np.int64))
        limits.append(np.full(slots, FAR if worst else -1, np.int64))
        adds[-1][slot[rows]] = add[rows]
        limits[-1][slot[rows]] = limit[rows]
    return Ahead(tuple(adds), tuple(limits), worst)


def relative(ahead: Ahead, most: int, short: bool) -> tuple[Ahead, int]:
    """(the same in as few bits as hold it with moves of at most ``most`` ms, either sign, and
    still tell a way from a dead end; the base that was taken off every sum); ``short``: the moves
    themselves are in 32 bits."""
    reached = [each[each < FAR] for each in ahead.add]
    base = min((int(each.min()) for each in reached if len(each)), default=0)
    if ahead.worst:
        base = 0
    top = max((int(each.max()) for each in reached if len(each)), default=0) - base
    if ahead.worst and ahead.limit:
        top = max([top, *(int(x[x < FAR].max(initial=0)) for x in ahead.limit)])
    fits = short and top + 2 * most < SHORT_FAR
    kind, far = (np.int32, SHORT_FAR) if fits else (np.int64, int(FAR))
    add = tuple(np.where(x < FAR, x - base, far).astype(kind) for x in ahead.add)
    limit = ahead.limit and tuple(np.clip(x, -1, far).astype(kind) for x in ahead.limit)
    return Ahead(add, limit, ahead.worst), base


def whole(best: Moves, base: int, most: int) -> Cost:
    """What the best ways cost with the base, FAR where there is none; best: from sums as
    ``relative`` gave them, with moves of at most ``most`` ms, either sign."""
    return np.where(best < far_of(best) - most, best.astype(np.int64) + base, FAR)


def least_of_rows(moves: Moves, plain: Moves, tails: Rows, heads: Rows, ahead: Ahead) -> Moves:
    """(tails,): the best way from each of some rows of a matrix; what lies ahead is given for the
    columns ``heads``. plain: the moves that ceilings look at."""
    kind = ahead.add[0].dtype
    layers = list(_columns(moves.shape[1], heads, ahead))
    out = np.full(len(tails), far_of(ahead.add[0]), kind)
    step = max(1, BLOCK // max(1, moves.shape[1]))
    for start in range(0, len(tails), step):
        rows = slice(start, start + step)
        part = _in_kind(_rows(moves, tails[rows]), kind)
        bare = part if plain is moves else _in_kind(_rows(plain, tails[rows]), kind)
        for columns, add, limit in layers:
            mine = part if columns is None else part[:, columns]
            theirs = bare if columns is None else bare[:, columns]
            best = _ways(mine, theirs, add, limit, ahead.worst).min(axis=1)
            np.minimum(out[rows], best, out=out[rows])
    return out


def least_of_runs(
    moves: Moves, plain: Moves, slot: Rows | Ints, starts: Rows, ahead: Ahead
) -> Moves:
    """(runs,): the best way of each run of a list; slot: what each way leads to; starts:
    (runs + 1,)."""
    kind = ahead.add[0].dtype
    far = far_of(ahead.add[0])
    out = np.full(len(starts) - 1, far, kind)
    filled = np.flatnonzero(np.diff(starts))
    if not len(filled):
        return out
    mine = _in_kind(moves, kind)
    theirs = mine if plain is moves else _in_kind(plain, kind)
    for index, add in enumerate(ahead.add):
        limit = None if ahead.limit is None else ahead.limit[index][slot]
        ways = _ways(mine, theirs, add[slot], limit, ahead.worst)
        best = np.minimum.reduceat(ways, starts[filled])
        out[filled] = np.minimum(out[filled], best)
    return np.asarray(np.minimum(out, far))


def _ways(part: Moves, bare: Moves, add: Moves, limit: Moves | None, worst: bool) -> Moves:
    """The value of every way."""
    ways: Moves = part + add
    if limit is None:
        return ways
    if worst:
        np.maximum(ways, limit, out=ways)
        return ways
    ways[bare > limit] = far_of(ways)
    return ways


def _columns(
    count: int, heads: Rows, ahead: Ahead
) -> Iterator[tuple[Rows | None, Moves, Moves | None]]:
    """Each layer spread over the matrix's columns, or over the few that have a candidate."""
    for index, add in enumerate(ahead.add):
        limit = None if ahead.limit is None else ahead.limit[index]
        has = np.flatnonzero(add < far_of(add))
        if not len(has):
            continue
        if 4 * len(has) < count:
            yield heads[has], add[has], None if limit is None else limit[has]
            continue
        wide = np.full(count, far_of(add), add.dtype)
        wide[heads] = add
        if limit is None:
            yield None, wide, None
            continue
        wide_limit = np.full(count, far_of(add) if ahead.worst else -1, add.dtype)
        wide_limit[heads] = limit
        yield None, wide, wide_limit


def _rows(moves: Moves, tails: Rows) -> Moves:
    """Those rows, without a copy where they follow one another."""
    if len(tails) and tails[-1] - tails[0] + 1 == len(tails):
        return moves[tails[0] : tails[-1] + 1]
    return np.take(moves, tails, axis=0)


def _in_kind(moves: Moves, kind: np.dtype) -> Moves:
    """The moves in the bits that the sums are taken in."""
    if moves.dtype == kind:
        return moves
    wide = moves.astype(np.int64)
    wide[moves >= far_of(moves)] = FAR
    return wide
