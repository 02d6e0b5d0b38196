"""The kept graph: what is pruned away is truly worse, what is kept costs what it says."""

from functools import cache

import networkx as nx
import numpy as np
import pytest

from solver.prune import START, kept_graph
from solver.ways import SCALE, Prices, Swept, Ways
from tests.solver.bundled import bundle_of, charged_on, every_way, way_count, work_of
from tests.solver.instances import small, tiny
from tests.solver.test_passes import both_ways, playable

MOST_WAYS = 1_000

cases = cache(playable)


def kept_at(graph, costs, gap: int) -> tuple[Ways, nx.DiGraph]:
    ways = bundle_of(graph, costs, gap)
    return ways, kept_graph(Swept(ways, Prices.none(ways)), gap * SCALE)


def true_cost(ways: Ways, full: nx.DiGraph, way: list) -> int:
    """ms along kept nodes, looked up in the graph written out in full."""
    inner = [(-1, 0), *((moment, int(ways.nodes[moment][at])) for moment, at in way[1:])]
    return sum(full.edges[edge]["weight"] for edge in nx.utils.pairwise(inner))


def given_away(kept: nx.DiGraph, way: list) -> int:
    return sum(kept.edges[edge]["reduced"] for edge in nx.utils.pairwise(way))


@pytest.mark.parametrize("gap", [0, 5, 40])
def test_reduced_costs_above_the_best_are_the_true_cost_of_every_way(gap: int) -> None:
    seen = 0
    for graph, costs, full in cases(tiny, 70_000, 20) + cases(small, 70_000, 3):
        best = both_ways(graph, full)[1][-1, 0]
        ways, kept = kept_at(graph, costs, gap)
        last = len(graph.layers) - 1
        ends = [node for node in kept if node[0] == last]
        assert ends
        for end in ends:
            for number, way in enumerate(nx.all_simple_paths(kept, START, end)):
                if number > MOST_WAYS:
                    break
                excess = given_away(kept, way)
                assert best * SCALE + excess == true_cost(ways, full, way) * SCALE
                seen += 1
    assert seen > 60


@pytest.mark.parametrize("gap", [0, 5, 40, 300])
def test_what_is_left_out_is_truly_worse_and_what_is_kept_is_not(gap: int) -> None:
    left_out = 0
    for graph, costs, full in cases(tiny, 80_000, 12) + cases(small, 80_000, 2):
        to, on = both_ways(graph, full)
        best = on[-1, 0]
        ways, kept = kept_at(graph, costs, gap)
        there = {(moment, int(ways.nodes[moment][at])) for moment, at in kept if moment >= 0}
        inner = [n for n in full if 0 <= n[0] < len(graph.layers)]
        for node in inner:
            whole = to[node] + on[node] if node in to and node in on else None
            near = whole is not None and whole <= best + gap
            assert (node in there) == near
            left_out += not near
        steps = {
            ((t[0], int(ways.nodes[t[0]][t[1]])), (h[0], int(ways.nodes[h[0]][h[1]])))
            for t, h in kept.edges
            if t != START
        }
        for tail, head, weight in full.edges(data="weight"):
            if tail[0] >= 0 and head[0] < len(graph.layers):
                whole = to[tail] + weight + on[head] if tail in to and head in on else None
                near = whole is not None and whole <= best + gap
                assert ((tail, head) in steps) == near
        assert all(reduced >= 0 for *_, reduced in kept.edges(data="reduced"))
    assert left_out


def test_the_kept_graph_grows_with_the_gap() -> None:
    for graph, costs, _ in cases(tiny, 70_000, 20):
        ways = bundle_of(graph, costs, 500)
        swept = Swept(ways, Prices.none(ways))
        sizes = [kept_graph(swept, gap * SCALE) for gap in (0, 20, 100, 500)]
        for narrow, wide in nx.utils.pairwise(sizes):
            assert set(narrow.edges) <= set(wide.edges)


def drawn(ways: Ways, dice: np.random.Generator) -> Prices:
    """Prices of either sign on every node and step."""
    return Prices(
        [dice.integers(-9_000, 9_000, len(nodes)) for nodes in ways.nodes],
        [dice.integers(-3_000, 3_000, len(tail)) for tail in ways.tail],
    )


@pytest.mark.parametrize("gap", [0, 700, 5_000, 40_000])
def test_under_prices_it_keeps_just_the_steps_of_ways_within_the_gap(gap: int) -> None:
    """Found by writing out every way of the bundle."""
    dice = np.random.default_rng(gap)
    pruned = compared = 0
    for graph, costs, _ in cases(tiny, 70_000, 20):
        ways = bundle_of(graph, costs, 60)
        prices = drawn(ways, dice)
        if way_count(ways) > MOST_WAYS:
            continue
        whole = {w: work_of(ways, w) + charged_on(prices, w) for w in every_way(ways)}
        least = min(whole.values())
        kept = kept_graph(Swept(ways, prices), gap)
        near: dict[tuple, int] = {}
        for way, cost in whole.items():
            nodes = [START, *enumerate(way.positions)]
            numbers = (way.positions[0], *way.steps)
            edges = list(zip(nx.utils.pairwise(nodes), numbers, strict=True))
            if all(kept.has_edge(*edge) for edge, _ in edges):
                assert given_away(kept, nodes) == cost - least
            if cost <= least + gap:
                near.update(edges)
            pruned += cost > least + gap
        assert {(t, h): step for t, h, step in kept.edges(data="step")} == near
        compared += 1
    assert compared >= 10
    assert pruned or gap == 40_000


def test_surcharges_prune_what_lies_further_off_than_it_seems() -> None:
    """A node with a surcharge is kept only where the gap holds that too, its steps with it."""
    dice = np.random.default_rng(5)
    fewer = 0
    for graph, costs, _ in cases(tiny, 70_000, 20):
        ways = bundle_of(graph, costs, 300)
        swept = Swept(ways, Prices.none(ways))
        extra = [dice.integers(0, 2, len(n)) * dice.integers(0, 12_000, len(n)) for n in ways.nodes]
        gap = 200 * SCALE
        kept, plain = kept_graph(swept, gap, [extra]), kept_graph(swept, gap)
        expected = set()
        for index in range(len(ways.tail)):
            through = swept.through(index) - swept.least
            for step, cost in enumerate(through.tolist()):
                tail, head = int(ways.tail[index][step]), int(ways.head[index][step])
                if cost + max(0, extra[index][tail], extra[index + 1][head]) <= gap:
                    expected.add(((index, tail), (index + 1, head)))
        assert {edge for edge in kept.edges if edge[0] != START} == expected
        for (tail, head), reduced in nx.get_edge_attributes(kept, "reduced").items():
            assert plain.edges[tail, head]["reduced"] == reduced
        fewer += len(kept.edges) < len(plain.edges)
    assert fewer
