"""Costs with prices, ceilings, other weights and little room, against networkx over the full graph.

A price or a ceiling is put into the full graph by hand: added to its edges, or by taking edges out.
"""

import random

import networkx as nx
import numpy as np
import pytest

from scoring.counts import barred_anew
from scoring.difficulty import step_difficulty
from scoring.move import Move
from scoring.terms import TERMS
from scoring.weights import Weights
from solver.arrays import FAR
from solver.charges import Charge
from solver.graph import ChoiceGraph
from solver.layers import Layer
from solver.passes import Costs, explore, furthest, outlook, worst
from tests.solver.full_graph import every_step, explicit_graph
from tests.solver.instances import small, tiny
from tests.solver.made import case_of, graph_of
from tests.solver.test_passes import playable

START = (-1, 0)


@pytest.fixture(scope="module")
def graphs() -> list[tuple[ChoiceGraph, Costs, nx.DiGraph]]:
    return playable(tiny, 70_000, 8) + playable(small, 70_000, 2)


def shifts_at(costs: Costs, price: int, where: list[bool]) -> Costs:
    """The costs with a price on each shift of the hand into a moment i with ``where[i]``."""
    charge = Charge("shifts", price)
    return costs.charged([(charge,) if here else () for here in where[1:]])


def still_to_come(full: nx.DiGraph, moments: int) -> dict[tuple[int, int], int]:
    """ms from each place to the end; costs may be negative."""
    back = full.reverse(copy=False)
    return nx.single_source_bellman_ford_path_length(back, (moments, 0))


def assert_exact(graph: ChoiceGraph, costs: Costs, full: nx.DiGraph) -> int:
    """The outlook is what networkx finds for each node; the best is explored, and all within 60
    ms of it. Gives the best."""
    ahead = outlook(graph, costs)
    on = still_to_come(full, len(graph.layers))
    assert ahead.bound == on.get(START, int(FAR))
    for index, layer in enumerate(graph.layers):
        own = (costs.nodes[index] if index else costs.first).tolist()
        true = [
            on[index, node] + own[node] if (index, node) in on and own[node] < FAR else int(FAR)
            for node in range(len(layer))
        ]
        assert ahead.on[index].tolist() == true
    if ahead.bound < FAR:
        explored = explore(graph, costs, ahead, ahead.bound + 60)
        assert explored.best == ahead.bound
        to = nx.single_source_bellman_ford_path_length(full, START)
        for index, nodes in enumerate(explored.nodes):
            near = {
                node
                for (moment, node), ms in to.items()
                if moment == index and ms + on.get((index, node), int(FAR)) <= ahead.bound + 60
            }
            assert set(nodes.tolist()) == near
    return ahead.bound


def extras(dice: np.random.Generator, layers: tuple[Layer, ...], most: int) -> list:
    """Prices of either sign on the nodes of most layers; some nodes forbidden."""
    out = []
    for layer in layers:
        extra = dice.integers(-most, most, len(layer)).astype(np.int64)
        extra[dice.random(len(layer)) < 0.1] = FAR
        out.append(None if dice.random() < 0.2 else extra)
    return out


@pytest.mark.parametrize("most", [300, 1 << 40], ids=["small", "beyond 32 bits"])
def test_prices_on_nodes(graphs, most: int) -> None:
    dice = np.random.default_rng(1)
    ways = 0
    for graph, costs, _ in graphs:
        dearer = costs.priced(extras(dice, graph.layers, most))
        assert dearer.true is costs.nodes
        ways += assert_exact(graph, dearer, explicit_graph(graph, dearer)) < FAR
    assert ways > len(graphs) // 2


def test_nodes_that_are_not_allowed(graphs) -> None:
    dice = np.random.default_rng(2)
    for graph, costs, full in graphs:
        masks = [dice.random(len(layer)) < 0.8 for layer in graph.layers]
        fewer = costs.allowed([None if dice.random() < 0.3 else mask for mask in masks])
        gone = [
            (index, int(node))
            for index, own in enumerate(fewer.nodes)
            for node in np.flatnonzero(own >= FAR)
        ]
        left = full.copy()
        left.remove_nodes_from(gone)
        left.add_nodes_from((START, (len(graph.layers), 0)))
        assert_exact(graph, fewer, left)


def priced_and_capped(graph: ChoiceGraph, costs: Costs, dearer: Costs, most: int) -> nx.DiGraph:
    """The full graph at the prices of ``dearer`` without steps whose true ms exceed ``most``."""
    true, full = explicit_graph(graph, costs), explicit_graph(graph, dearer)
    end = len(graph.layers)
    full.remove_edges_from(
        [edge for edge in full.edges if edge[1][0] < end and true.edges[edge]["weight"] > most]
    )
    return full


def test_no_step_is_dearer_than_the_ceiling(graphs) -> None:
    """True ms count, whatever nodes and shifts are priced at."""
    dice = np.random.default_rng(3)
    dearer_than_free, none = 0, 0
    for graph, costs, _ in graphs:
        least = worst(graph, costs)
        where = [bool(x) for x in dice.random(len(graph.layers)) < 0.6]
        some = shifts_at(costs.priced(extras(dice, graph.layers, 200)), -70, where)
        for dear in (costs, some):
            free = outlook(graph, dear).bound
            for most in (least - 1, least, least + 25, least + 200):
                full = priced_and_capped(graph, costs, dear, most)
                best = assert_exact(graph, dear.capped(most), full)
                dearer_than_free += free < best < FAR
                none += best >= FAR
                assert dear is not costs or (best < FAR) == (most >= least)
    assert dearer_than_free
    assert none


def test_the_costliest_step_can_be_no_cheaper(graphs) -> None:
    """By taking steps out of the full graph, the dearest first, until no way is left."""
    for graph, costs, full in graphs:
        end = (len(graph.layers), 0)
        found = worst(graph, costs)
        dear = [e for e in full.edges if e[1] != end and full.edges[e]["weight"] > found]
        left = full.copy()
        left.remove_edges_from(dear)
        assert nx.has_path(left, START, end)
        equal = [e for e in left.edges if e[1] != end and full.edges[e]["weight"] == found]
        left.remove_edges_from(equal)
        assert not nx.has_path(left, START, end)
        assert worst(graph, shifts_at(costs, 40, [True] * len(graph.layers))) == found
        everything = [np.zeros(len(layer), np.bool_) for layer in graph.layers]
        assert worst(graph, costs.allowed(everything)) >= FAR


@pytest.mark.parametrize("price", [55, -40])
def test_a_price_on_shifts_of_the_whole_hand(graphs, price: int) -> None:
    """The scoring room's own word for it is the hand-shift term's amount: with that term alone
    dear by one more, the dearer moves are those that shift."""
    dice = random.Random(4)
    shifts = 0
    for graph, costs, _ in graphs:
        where = [dice.random() < 0.7 for _ in graph.layers]
        dear = shifts_at(costs, price, where)
        weights = costs.links[0].tables.weights
        others = {t.about.name: weights[t.about.name] for t in TERMS}
        more = Weights.of({**others, "hand-shift": weights["hand-shift"] + 1})
        heavier = Costs.of(graph, more)
        for index, link in enumerate(dear.links):
            plain = list(every_step(costs.links[index]))
            shifting = [
                one[2] < other[2]
                for one, other in zip(plain, every_step(heavier.links[index]), strict=True)
            ]
            asked = price if where[index + 1] else 0
            steps = [
                (tail, head, ms + asked * shifted)
                for (tail, head, ms), shifted in zip(plain, shifting, strict=True)
            ]
            assert list(every_step(link)) == steps
            shifts += sum(shifting)
        assert_exact(graph, dear, explicit_graph(graph, dear))
    assert shifts


@pytest.mark.parametrize(
    ("charge", "count"),
    [
        (Charge("barred", 30), barred_anew),
        (Charge("hard", 30, above=40), lambda move: step_difficulty(move) > 40),
        (Charge("hard", 30, above=100), lambda move: step_difficulty(move) > 100),
        (Charge("hard", 30, above=0), lambda move: step_difficulty(move) > 0),
    ],
)
def test_what_a_charge_counts_is_the_scoring_rooms_word(graphs, charge, count) -> None:
    """Each pair of shapes moved between by itself, by the scoring room's own function."""
    counts = []
    for graph, costs, _ in graphs:
        for link in {id(link): link for link in costs.links}.values():
            before, after = link.link.before, link.link.after
            found = np.asarray(link.link.counts(charge))
            if link.link.starts is None:
                tail, head = (part.reshape(-1) for part in np.indices(found.shape))
            else:
                tail = np.repeat(np.arange(len(before.shapes)), np.diff(link.link.starts))
                head = link.link.head.astype(np.intp)
            moment = before.moment
            move = Move(before.shapes.take(tail), after.shapes.take(head), moment.ms, moment.damped)
            assert found.reshape(-1).tolist() == count(move).tolist()
            counts += found.reshape(-1).tolist()
        dear = costs.charged([(charge,)] * len(costs.links))
        assert_exact(graph, dear, explicit_graph(graph, dear))
    assert any(counts)
    assert not all(counts)


def test_weighing_again_gives_what_weighing_afresh_gives(graphs) -> None:
    dice = random.Random(6)
    for graph, costs, _ in graphs:
        for _ in range(6):
            changed = {
                term.about.name: dice.randint(0, min(400, term.about.limit))
                for term in dice.sample(TERMS, dice.randint(1, 3))
            }
            fresh = Costs.of(graph, Weights.of(changed))
            costs = Costs.of(graph, Weights.of(changed), before=costs)
            for one, other in zip(fresh.nodes, costs.nodes, strict=True):
                assert one.tolist() == other.tolist()
            for one, other in zip(fresh.links, costs.links, strict=True):
                assert one.moves.tolist() == other.moves.tolist()
                assert one.lines.tolist() == other.lines.tolist()
            assert outlook(graph, fresh).bound == outlook(graph, costs).bound


def test_the_dearest_weights_and_beyond(graphs) -> None:
    """All weights at their limits; prices that no 32 bits hold."""
    dearest = Weights.of({term.about.name: term.about.limit for term in TERMS})
    for graph, _, _ in graphs:
        costs = Costs.of(graph, dearest)
        assert_exact(graph, costs, explicit_graph(graph, costs))
        beyond = shifts_at(costs, 1 << 34, [True] * len(graph.layers))
        assert {link.moves.dtype for link in costs.links} == {np.dtype(np.int32)}
        assert {link.moves.dtype for link in beyond.links} == {np.dtype(np.int64)}
        assert_exact(graph, beyond, explicit_graph(graph, beyond))


def test_a_shelf_with_little_room_changes_nothing(graphs) -> None:
    """It holds no more than it has room for, one link's moves at least."""
    for graph, costs, _ in graphs:
        most = max(link.moves.nbytes for link in costs.links)
        for room in (1, 2 * most):
            tight = Costs.of(graph, costs.links[0].tables.weights)
            shelf = tight.links[0].shelf
            shelf.room = room
            one, other = outlook(graph, tight), outlook(graph, costs)
            assert one.bound == other.bound
            assert [x.tolist() for x in one.on] == [x.tolist() for x in other.on]
            assert 0 < shelf.held <= max(room, most)
            for link in tight.links:
                link.plain  # noqa: B018  asked for, so that it has to find room
                assert 0 < shelf.held <= max(room, most)


def test_links_of_like_shapes_share_their_moves_on_the_shelf() -> None:
    """Bars whose chord comes from another one differ in their past, not in their shapes."""
    case = case_of("D G", "A D", "G D", "D G A D")
    graph = graph_of(case)
    costs = Costs.of(graph, case.weights)
    moves: dict[int, set[int]] = {}
    for link in costs.links:
        moves.setdefault(id(link.moves), set()).add(id(link.link))
    assert any(len(links) > 1 for links in moves.values())
    for link in costs.links:
        assert link.moves.tolist() == link.link.moves(link.tables).tolist()


def test_how_far_one_gets_under_a_ceiling(graphs) -> None:
    for graph, costs, _ in graphs:
        least = worst(graph, costs)
        assert furthest(graph, costs.capped(least)) == len(graph.layers) - 1
        assert furthest(graph, costs.capped(least - 1)) < len(graph.layers) - 1
        assert furthest(graph, costs.capped(-1)) == -1
