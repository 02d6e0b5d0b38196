"""Moves by table against the scoring room's own moves, pair by pair."""

import random
from itertools import pairwise

import numpy as np
import pytest

from scoring.choice import Shapes
from scoring.move import NOWHERE, HandWay, Move
from scoring.terms import FINGER_TERMS, HAND_TERMS, PAIR_TERMS, TERMS, VOICE_TERMS
from scoring.weights import Weights
from solver.errors import NotPlayable
from solver.held import HeldShapes
from solver.tables import MoveTables
from tests.solver.instances import small, tiny
from tests.solver.made import case_of, graph_of

EVERY_TERM = Weights.of({term.about.name: 3 + 7 * n % 90 for n, term in enumerate(TERMS)})


def by_hand(before: Shapes, after: Shapes, ms: int, damped: bool, weights: Weights) -> int:
    """ms of one move between single shapes, term by term."""
    move = Move(before, after, ms, damped)
    cost = 0
    for term in FINGER_TERMS:
        cost += weights[term.about.name] * int(term.amount(move.fingers).sum())
    for term in HAND_TERMS:
        cost += weights[term.about.name] * int(term.amount(move.whole)[0])
    for term in VOICE_TERMS:
        amount = term.amount(before.pitch[:, 1:], after.pitch[:, 1:])
        cost += weights[term.about.name] * int(amount.sum())
    for term in PAIR_TERMS:
        cost += weights[term.about.name] * int(term.amount(before, after)[0])
    return cost


def single(held: HeldShapes, row: int) -> Shapes:
    return held.shapes.take(np.array([row]))


def distinct_shapes(make, count: int) -> list[list[HeldShapes]]:
    """Of ``count`` playable instances the shapes of their layers."""
    found, seed = [], 0
    while len(found) < count:
        try:
            graph = graph_of(make(seed))
            found.append(list({id(layer.held): layer.held for layer in graph.layers}.values()))
        except NotPlayable:
            pass
        seed += 1
    return found


@pytest.mark.parametrize("weights", [EVERY_TERM, Weights()], ids=["every term", "defaults"])
@pytest.mark.parametrize("make", [tiny, small], ids=["tiny", "small"])
def test_both_ways_to_read_the_tables_give_what_single_moves_cost(make, weights: Weights) -> None:
    dice = random.Random(5)
    for shapes in distinct_shapes(make, 12):
        tables = MoveTables.of(shapes[0].states, weights)
        for _ in range(3):
            before, after = dice.choice(shapes), dice.choice(shapes)
            ms, damped = dice.randint(0, 1500), dice.random() < 0.5
            whole = tables.all_pairs(before, after, ms, damped)
            assert whole.shape == (len(before), len(after))
            tail = np.array([dice.randrange(len(before)) for _ in range(15)], np.intp)
            head = np.array([dice.randrange(len(after)) for _ in range(15)], np.int32)
            some = tables.some_pairs(before, after, tail, head, ms, damped)
            assert some.tolist() == whole[tail, head].tolist()
            for one, other, cost in zip(tail, head, some.tolist(), strict=True):
                pair = single(before, int(one)), single(after, int(other))
                assert by_hand(*pair, ms, damped, weights) == cost


def test_a_pair_term_counts_in_both_ways() -> None:
    """Parallel fifths have no price by default; with one, D to E in fifths costs it."""
    assert Weights()["parallel-fifths"] == 0
    dear = Weights.of({"parallel-fifths": 1000})
    graph = graph_of(case_of("D5", "E5", style=None))
    before, after = graph.layers[1].held, graph.layers[-1].held
    cheap, dearer = (MoveTables.of(before.states, each) for each in (Weights(), dear))
    asked = before, after, 500, False
    more = dearer.all_pairs(*asked) - cheap.all_pairs(*asked)
    tail, head = np.nonzero(np.ones_like(more))
    term = PAIR_TERMS[0]
    counted = term.amount(before.shapes.take(tail), after.shapes.take(head)).reshape(more.shape)
    assert (more == 1000 * counted).all()
    assert more.any()
    pairs = before, after, tail, head.astype(np.int32), 500, False
    assert (dearer.some_pairs(*pairs) == dearer.all_pairs(*asked).ravel()).all()


def test_a_damped_bass_and_one_that_is_not_are_told_apart_at_the_same_length() -> None:
    """A finger leaves a damped bass note earlier, so that it hurries less."""
    graph = graph_of(case_of("D", "G", "A7"))
    tables = MoveTables.of(graph.layers[0].held.states, Weights())
    less = 0
    for before, after in pairwise(layer.held for layer in graph.layers):
        ringing = tables.all_pairs(before, after, 300, False)
        damped = tables.all_pairs(before, after, 300, True)
        assert (damped <= ringing).all()
        less += int((damped < ringing).sum())
    assert less > 0


def test_an_anchored_hand_does_not_shift_however_dear_the_fingers_are() -> None:
    """A finger that stays is told apart from the others' cost in one sum; the dearest weights
    must not spill into it."""
    dearest = Weights.of({term.about.name: term.about.limit for term in TERMS})
    graph = graph_of(case_of("D", "G"))
    before, after = graph.layers[0].held, graph.layers[-1].held
    tables = MoveTables.of(before.states, dearest)
    whole = tables.all_pairs(before, after, 10, False)
    dice, anchored = random.Random(2), 0
    for _ in range(200):
        one, other = dice.randrange(len(before)), dice.randrange(len(after))
        pair = single(before, one), single(after, other)
        anchored += bool(Move(*pair, 10).fingers.stays.any())
        assert by_hand(*pair, 10, False, dearest) == whole[one, other]
    assert anchored


def test_no_move_costs_more_than_foreseen() -> None:
    """By that it is known whether 32 bits hold the costs; a hand term counts no more than the ms
    that hand and most pressed finger take together."""
    dearest = Weights.of({term.about.name: term.about.limit for term in TERMS})
    for shapes in distinct_shapes(tiny, 8):
        tables = MoveTables.of(shapes[0].states, dearest)
        for before, after in pairwise(shapes):
            moves = tables.all_pairs(before, after, 60, False)
            assert abs(moves).max() <= tables.most(60, False)
    ms, pressure = np.meshgrid(np.arange(0, 900, 7), np.append(np.arange(-500, 900, 9), NOWHERE))
    for term in HAND_TERMS:
        counted = term.amount(HandWay(ms.astype(np.int32), pressure.astype(np.int32)))
        assert (counted <= ms + np.maximum(pressure, 0)).all()
