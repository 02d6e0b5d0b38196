"""The least over many ways: what a plain loop over whole numbers finds, dead ends told apart.

Moves may be charged less than nothing, so that a sum with a dead end lies below what marks one.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from solver.arrays import FAR, SHORT_FAR, far_of
from solver.charges import Charge
from solver.conditions import Conditions
from solver.errors import NotPlayable
from solver.least import Ahead, layered, least_of_rows, least_of_runs, relative, whole
from solver.passes import explore, outlook
from tests.solver.bundled import EVERYTHING, question_of
from tests.solver.instances import small

MOST = 500


def plain_least(
    moves: list[list[int]], add: list[list[int]], limit: list[list[int]] | None
) -> list[int]:
    """(tails,): the best sum of a move and a candidate of its head, each an actual way; FAR where
    there is none."""
    found = []
    for row in moves:
        ways = [
            move + add[layer][head]
            for head, move in enumerate(row)
            for layer in range(len(add))
            if move < SHORT_FAR and add[layer][head] < FAR
            if limit is None or move <= limit[layer][head]
        ]
        found.append(min(ways, default=int(FAR)))
    return found


def drawn(seed: int, add_at_most: int) -> tuple[np.ndarray, Ahead]:
    dice = np.random.default_rng(seed)
    moves = dice.integers(-MOST, MOST + 1, (7, 9)).astype(np.int32)
    moves[dice.random(moves.shape) < 0.3] = SHORT_FAR
    moves[0] = SHORT_FAR
    add = dice.integers(0, add_at_most, 9)
    add[dice.random(9) < dice.choice((0.1, 0.6, 1.0))] = FAR
    return moves, Ahead((add,))


def as_lists(arrays: tuple[np.ndarray, ...]) -> list[list[int]]:
    return [each.tolist() for each in arrays]


@pytest.mark.parametrize("add_at_most", [MOST, 1 << 40])
def test_a_matrix_and_a_list_find_what_a_plain_loop_finds(add_at_most: int) -> None:
    """Sums in 32 bits and, where they do not fit, in 64."""
    kinds, dead = set(), 0
    for seed in range(200):
        moves, ahead = drawn(seed, add_at_most)
        if seed % 2:
            limit = np.random.default_rng(seed).integers(-MOST, MOST, len(ahead.add[0]))
            limit = np.maximum(limit, 0)
            slot = np.arange(len(limit))
            ahead = layered(slot, len(limit), ahead.add[0], limit, worst=False)
        true = plain_least(
            moves.tolist(), as_lists(ahead.add), ahead.limit and as_lists(ahead.limit)
        )
        near, base = relative(ahead, MOST, short=True)
        kinds.add(near.add[0].dtype)
        tails, heads = np.arange(len(moves)), np.arange(moves.shape[1])
        rows = least_of_rows(moves, moves, tails, heads, near)
        assert whole(rows, base, MOST).tolist() == true, seed
        starts = np.arange(len(moves) + 1) * moves.shape[1]
        runs = least_of_runs(
            moves.reshape(-1), moves.reshape(-1), np.tile(heads, len(moves)), starts, near
        )
        assert whole(runs, base, MOST).tolist() == true, seed
        dead += sum(each == FAR for each in true[1:])
    assert np.dtype(np.int32 if add_at_most == MOST else np.int64) in kinds
    assert dead > 50


def test_sums_that_come_near_to_the_mark_are_taken_in_64_bits() -> None:
    """The greatest sum and the least dead end must not meet."""
    for top, kind in ((SHORT_FAR - 2 * MOST - 1, np.int32), (SHORT_FAR - 2 * MOST, np.int64)):
        ahead = Ahead((np.array([0, top, FAR]),))
        near, base = relative(ahead, MOST, short=True)
        assert near.add[0].dtype == kind
        for price in (-MOST, MOST):
            sums = near.add[0] + near.add[0].dtype.type(price)
            assert whole(sums, base, MOST).tolist() == [price, top + price, FAR]
            assert far_of(sums) - MOST > top + MOST


CHARGES = ("shifts", "barred")


def narrowed() -> list:
    """Questions with few nodes left at random, so that many of them lead nowhere."""
    found = []
    for seed in range(60):
        try:
            question = question_of(small(seed), Conditions())
        except NotPlayable:
            continue
        dice = np.random.default_rng(seed)
        masks = [dice.random(len(layer)) < 0.3 for layer in question.graph.layers]
        found.append(replace(question, costs=question.costs.allowed(masks)))
    return found


@pytest.mark.parametrize("what", CHARGES)
def test_a_charge_below_nothing_opens_no_way(what: str) -> None:
    """A charge changes what ways cost, never which there are; nothing explored leads nowhere."""
    dead = charged_ways = 0
    for question in narrowed():
        plain = outlook(question.graph, question.costs)
        costs = question.costs.charged([(Charge(what, -37),)] * len(question.costs.links))
        ahead = outlook(question.graph, costs)
        for one, other in zip(plain.on, ahead.on, strict=True):
            assert ((one < FAR) == (other < FAR)).all()
            dead += int((one == FAR).sum())
        assert (plain.bound < FAR) == (ahead.bound < FAR)
        charged_ways += ahead.bound < plain.bound
        explored = explore(question.graph, costs, ahead, EVERYTHING)
        for nodes, tail in zip(explored.nodes, explored.tail, strict=False):
            assert set(tail.tolist()) == set(range(len(nodes)))
        for head, (_, nodes) in zip(explored.head, pairwise(explored.nodes), strict=True):
            assert set(head.tolist()) == set(range(len(nodes)))
    assert dead > 1_000
    assert charged_ways or what == "barred"
