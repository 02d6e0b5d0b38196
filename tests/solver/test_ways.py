"""Bundles of ways: swept as networkx measures, split and narrowed without losing or adding any.

Bundles are drawn by lot, in layers; some of their nodes lead nowhere.
"""

import random
from collections import Counter
from itertools import pairwise

import networkx as nx
import numpy as np
import pytest

from solver.arrays import FAR
from solver.passes import explore, outlook
from solver.ways import SCALE, Prices, Swept, Way, Ways
from tests.solver.bundled import bundle_of, charged_on, every_way, way_count, work_of
from tests.solver.instances import tiny
from tests.solver.test_passes import both_ways, playable

START, END = (-1, 0), "end"


def drawn(seed: int, moments: int = 5, most: int = 5) -> Ways:
    """A bundle with one to ``most`` nodes a moment and about half of the steps there could be."""
    dice = np.random.default_rng(seed)
    counts = dice.integers(1, most + 1, moments)
    nodes = tuple(np.sort(dice.choice(50, count, replace=False)) for count in counts)
    tails, heads, costs = [], [], []
    for before, after in pairwise(counts):
        tail, head = np.nonzero(dice.random((before, after)) < 0.6)
        tails.append(tail)
        heads.append(head)
        costs.append(dice.integers(0, 400, len(tail)) * SCALE)
    blank = tuple(np.zeros(count, np.intp) for count in counts)
    first = dice.integers(0, 300, counts[0]) * SCALE
    return Ways((), nodes, blank, first, tuple(tails), tuple(heads), tuple(costs), 10_000)


def priced(ways: Ways, seed: int) -> Prices:
    """Prices of either sign; some steps free, as where no family prices them."""
    dice = np.random.default_rng(seed)
    return Prices(
        [dice.integers(-5_000, 5_000, len(nodes)) for nodes in ways.nodes],
        [
            dice.integers(-5_000, 5_000, len(tail)) if dice.random() < 0.7 else 0
            for tail in ways.tail
        ],
    )


def networked(ways: Ways, prices: Prices) -> nx.DiGraph:
    """The bundle as a network whose steps cost what they are charged, their heads too."""
    graph = nx.DiGraph()
    graph.add_nodes_from([START, END])
    for position, cost in enumerate((ways.first + prices.nodes[0]).tolist()):
        graph.add_edge(START, (0, position), weight=cost)
    for index, (tails, heads) in enumerate(zip(ways.tail, ways.head, strict=True)):
        extra = np.broadcast_to(prices.steps[index], len(tails))
        cost = ways.cost[index] + extra + prices.nodes[index + 1][heads]
        for tail, head, weight in zip(tails.tolist(), heads.tolist(), cost.tolist(), strict=True):
            graph.add_edge((index, tail), (index + 1, head), weight=weight)
    for position in range(len(ways.nodes[-1])):
        graph.add_edge((len(ways.nodes) - 1, position), END, weight=0)
    return graph


def distances(graph: nx.DiGraph, source: object) -> dict:
    """Shortest distances by Bellman and Ford, for weights of either sign."""
    return nx.single_source_bellman_ford_path_length(graph, source)


SEEDS = range(60)


def test_sweeps_are_networkx_distances() -> None:
    dead = 0
    for seed in SEEDS:
        ways = drawn(seed)
        prices = priced(ways, seed + 1_000)
        graph = networked(ways, prices)
        to, on = distances(graph, START), distances(graph.reverse(), END)
        swept = Swept(ways, prices)
        for index in range(len(ways.nodes)):
            for position in range(len(ways.nodes[index])):
                node, own = (index, position), int(prices.nodes[index][position])
                found_to, found_on = int(swept.to[index][position]), int(swept.on[index][position])
                assert found_to == to.get(node, FAR)
                assert found_on == (on[node] + own if node in on else FAR)
                dead += node not in to or node not in on
            if index < len(ways.tail):
                through = swept.through(index).tolist()
                for step, whole in enumerate(through):
                    tail, head = int(ways.tail[index][step]), int(ways.head[index][step])
                    if (index, tail) in to and (index + 1, head) in on:
                        weight = graph.edges[(index, tail), (index + 1, head)]["weight"]
                        assert whole == to[index, tail] + weight + on[index + 1, head]
                    else:
                        assert whole > FAR // 2
        if END in to:
            assert swept.least == to[END]
    assert dead > 20


def test_the_cheapest_way_is_one_of_the_cheapest() -> None:
    found = 0
    for seed in SEEDS:
        ways = drawn(seed)
        prices = priced(ways, seed + 2_000)
        whole = {w: work_of(ways, w) + charged_on(prices, w) for w in every_way(ways)}
        if not whole:
            continue
        cost, way = ways.cheapest(prices, ways.onward(prices))
        assert cost == whole[way] == min(whole.values())
        assert ways.way_of(way.positions) == way
        found += 1
    assert found > 30


def test_no_price_below_nothing_leads_through_a_node_that_is_blocked() -> None:
    """Nor is a cheapest way looked for where none is left."""
    shut = narrowed = 0
    for seed in SEEDS:
        ways = drawn(seed)
        prices = priced(ways, seed + 3_000)
        dice = np.random.default_rng(seed)
        blocked = [dice.random(len(nodes)) < 0.3 for nodes in ways.nodes]
        narrow = Prices(
            [np.where(no, FAR, own) for no, own in zip(blocked, prices.nodes, strict=True)],
            [each - 10_000 for each in prices.steps],
        )
        left = {
            way: work_of(ways, way) + charged_on(narrow, way)
            for way in every_way(ways)
            if not any(no[p] for no, p in zip(blocked, way.positions, strict=True))
        }
        swept = Swept(ways, narrow)
        for moment, (to, on) in enumerate(zip(swept.to, swept.on, strict=True)):
            there = {way.positions[moment] for way in left}
            found = np.flatnonzero((to < FAR) & (on < FAR)).tolist()
            assert set(found) == there
        if left:
            cost, way = ways.cheapest(narrow, swept.on)
            assert cost == left[way] == min(left.values())
            narrowed += len(left) < way_count(ways)
            continue
        shut += 1
        assert swept.least == (ways.first + swept.on[0]).min() - ways.first.min() == FAR
        with pytest.raises(AssertionError, match="a way through"):
            ways.cheapest(narrow, swept.on)
    assert shut > 5
    assert narrowed > 10


def test_a_way_is_found_again_from_its_positions_and_costs_what_its_steps_do() -> None:
    seen = 0
    for seed in SEEDS:
        ways = drawn(seed)
        for way in every_way(ways):
            assert ways.way_of(way.positions) == way
            assert ways.cost_of(way) * SCALE == work_of(ways, way)
            nodes = tuple(int(row[p]) for row, p in zip(ways.nodes, way.positions, strict=True))
            assert ways.layer_nodes(way) == nodes
            seen += 1
    assert seen > 500


def told(ways: Ways) -> Counter:
    """(layer nodes, work) of every way, how often each."""
    return Counter((ways.layer_nodes(way), work_of(ways, way)) for way in every_way(ways))


def follow_of(seed: int):
    """A rule by lot for what is remembered, and what it says of a way step by step."""

    def bit(index: int, memory: int, step: int) -> int:
        return random.Random(f"{seed} {index} {memory} {step}").randint(0, 1)

    def follow(index, memory, step):
        pairs = zip(memory.tolist(), step.tolist(), strict=True)
        return np.array([bit(index, m, s) for m, s in pairs], np.intp)

    def along(way: Way, first: np.ndarray) -> list[int]:
        bits = [int(first[way.positions[0]])]
        for index, step in enumerate(way.steps):
            bits.append(bit(index, bits[-1], step))
        return bits

    return follow, along


def test_splitting_keeps_every_way_and_remembers_its_own_past() -> None:
    """Twice over: the second memory lies below the first."""
    grown = 0
    for seed in SEEDS:
        ways = drawn(seed)
        dice = np.random.default_rng(seed)
        firsts = [dice.integers(0, 2, len(ways.first)) for _ in range(2)]
        follow, along = follow_of(seed)
        once = ways.split(firsts[0], follow)
        assert told(once) == told(ways)
        for way in every_way(once):
            before = ways.way_of(positions_in(ways, once, way))
            bits = [int(m[p]) for m, p in zip(once.memory, way.positions, strict=True)]
            assert bits == along(before, firsts[0])
        again, along_again = follow_of(seed + 1)
        origin = firsts[1][: len(once.first)]
        twice = once.split(origin, again)
        assert told(twice) == told(ways)
        for way in every_way(twice):
            before = once.way_of(positions_in(once, twice, way))
            memory = [int(m[p]) for m, p in zip(twice.memory, way.positions, strict=True)]
            known = [int(m[p]) for m, p in zip(once.memory, before.positions, strict=True)]
            assert [m >> 1 for m in memory] == known
            assert [m & 1 for m in memory] == along_again(before, origin)
        grown += sum(map(len, twice.nodes)) > sum(map(len, ways.nodes))
        ordered(twice)
    assert grown > 30


def positions_in(before: Ways, after: Ways, way: Way) -> list[int]:
    """Where a split bundle's way passes in the bundle that was split."""
    found = []
    for moment, position in enumerate(way.positions):
        node, memory = after.nodes[moment][position], after.memory[moment][position] >> 1
        (place,) = np.flatnonzero(
            (before.nodes[moment] == node) & (before.memory[moment] == memory)
        )
        found.append(int(place))
    return found


def ordered(ways: Ways) -> None:
    """Nodes ascend with their memory; steps go by tail, then head, each pair once."""
    for nodes, memory in zip(ways.nodes, ways.memory, strict=True):
        keys = list(zip(nodes.tolist(), memory.tolist(), strict=True))
        assert keys == sorted(set(keys))
    for tail, head in zip(ways.tail, ways.head, strict=True):
        keys = list(zip(tail.tolist(), head.tolist(), strict=True))
        assert keys == sorted(set(keys))


def test_only_keeps_exactly_the_ways_through_the_nodes_allowed() -> None:
    emptied = narrowed = 0
    for seed in SEEDS:
        ways = drawn(seed)
        dice = np.random.default_rng(seed)
        masks = [
            dice.random(len(nodes)) < 0.75 if dice.random() < 0.7 else None for nodes in ways.nodes
        ]
        narrow = ways.only(masks)
        left = Counter(
            (ways.layer_nodes(way), work_of(ways, way))
            for way in every_way(ways)
            if all(
                mask is None or mask[position]
                for mask, position in zip(masks, way.positions, strict=True)
            )
        )
        assert told(narrow) == left
        on_a_way = [set(nodes) for nodes in zip(*(nodes for nodes, _ in left), strict=True)]
        for moment, nodes in enumerate(narrow.nodes):
            assert set(nodes.tolist()) == (on_a_way[moment] if left else set())
        assert narrow.covers == ways.covers
        ordered(narrow)
        emptied += not left
        narrowed += 0 < len(left) < way_count(ways)
    assert emptied > 3
    assert narrowed > 10


def test_prices_add_up() -> None:
    ways = drawn(4)
    one, other = priced(ways, 1), priced(ways, 2)
    way = next(every_way(ways))
    alone = charged_on(one, way), charged_on(other, way)
    one += other
    assert charged_on(one, way) == sum(alone)


def test_a_single_moment() -> None:
    ways = drawn(8, moments=1)
    cost, way = ways.cheapest(Prices.none(ways), ways.onward(Prices.none(ways)))
    assert (cost, way) == (ways.first.min(), Way((int(ways.first.argmin()),), ()))
    assert len(ways) == 0


@pytest.mark.parametrize("slack", [0, 40])
def test_what_was_explored_is_the_bundle(slack: int) -> None:
    """The first costs are networkx' own; prices that steered the exploring are taken off again."""
    dice = np.random.default_rng(slack)
    compared = 0
    for graph, costs, full in playable(tiny, 93_000, 8):
        best = both_ways(graph, full)[1][-1, 0]
        ways = bundle_of(graph, costs, slack)
        assert ways.covers == best + slack
        assert Swept(ways, Prices.none(ways)).least == best * SCALE
        ordered(ways)
        extra = [dice.integers(-30, 30, len(layer)) for layer in graph.layers]
        steered = costs.priced(extra)
        ahead = outlook(graph, steered)
        explored = explore(graph, steered, ahead, ahead.bound + slack)
        other = Ways.of(graph.layers, explored, covers=7)
        assert other.covers == 7
        if way_count(other) > 300:
            continue
        for way in every_way(other):
            nodes = other.layer_nodes(way)
            inner = [(-1, 0), *enumerate(nodes)]
            true = sum(full.edges[edge]["weight"] for edge in nx.utils.pairwise(inner))
            assert other.cost_of(way) == true
            compared += 1
    assert compared >= 8
