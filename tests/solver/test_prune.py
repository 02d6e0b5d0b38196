"""The kept graph: what is pruned away is truly worse, what is kept costs what it says."""

import networkx as nx
import pytest

from solver.passes import explore, nearest, outlook
from solver.prune import START, kept_graph
from tests.solver.instances import small, tiny
from tests.solver.test_passes import both_ways, playable

MOST_WAYS = 3_000


def kept_at(graph, costs, best: int, gap: int) -> nx.DiGraph:
    explored = explore(graph, costs, outlook(graph, costs), best + gap)
    return kept_graph(explored, nearest(explored, gap))


def true_cost(full: nx.DiGraph, way: list) -> int:
    inner = [(-1, 0), *way[1:]]
    return sum(full.edges[edge]["weight"] for edge in nx.utils.pairwise(inner))


@pytest.mark.parametrize("gap", [0, 5, 40])
def test_reduced_costs_above_the_best_are_the_true_cost_of_every_way(gap: int) -> None:
    ways = 0
    for graph, costs, full in playable(tiny, 70_000, 25) + playable(small, 70_000, 6):
        best = both_ways(graph, full)[1][-1, 0]
        kept = kept_at(graph, costs, best, gap)
        last = len(graph.layers) - 1
        ends = [node for node in kept if node[0] == last]
        assert ends
        for end in ends:
            for number, way in enumerate(nx.all_simple_paths(kept, START, end)):
                if number > MOST_WAYS:
                    break
                given_away = sum(kept.edges[edge]["reduced"] for edge in nx.utils.pairwise(way))
                assert best + given_away == true_cost(full, way)
                ways += 1
    assert ways > 60


@pytest.mark.parametrize("gap", [0, 5, 40, 300])
def test_what_is_left_out_is_truly_worse_and_what_is_kept_is_not(gap: int) -> None:
    left_out = 0
    for graph, costs, full in playable(tiny, 80_000, 15) + playable(small, 80_000, 4):
        to, on = both_ways(graph, full)
        best = on[-1, 0]
        kept = kept_at(graph, costs, best, gap)
        inner = [n for n in full if 0 <= n[0] < len(graph.layers)]
        for node in inner:
            whole = to[node] + on[node] if node in to and node in on else None
            near = whole is not None and whole <= best + gap
            assert (node in kept) == near
            left_out += not near
        for tail, head, weight in full.edges(data="weight"):
            if tail[0] >= 0 and head[0] < len(graph.layers):
                whole = to[tail] + weight + on[head] if tail in to and head in on else None
                near = whole is not None and whole <= best + gap
                assert kept.has_edge(tail, head) == near
        assert all(reduced >= 0 for *_, reduced in kept.edges(data="reduced"))
    assert left_out


def test_the_kept_graph_grows_with_the_gap() -> None:
    for graph, costs, full in playable(tiny, 90_000, 8):
        best = both_ways(graph, full)[1][-1, 0]
        sizes = [kept_at(graph, costs, best, gap) for gap in (0, 20, 100, 500)]
        for narrow, wide in nx.utils.pairwise(sizes):
            assert set(narrow.edges) <= set(wide.edges)
