"""The exact passes against networkx's shortest ways over the graph in full."""

import networkx as nx
import numpy as np
import pytest

from solver.arrays import FAR
from solver.conditions.limits import Limits
from solver.errors import NotPlayable
from solver.graph import ChoiceGraph
from solver.limiting import limited
from solver.passes import (
    Costs,
    Outlook,
    explore,
    first_way,
    furthest,
    may_begin,
    may_end,
    outlook,
)
from tests.solver.full_graph import explicit_graph, step_count
from tests.solver.instances import small, tiny
from tests.solver.made import case_of, graph_of

MOST_STEPS = 25_000


def playable(make, first: int, count: int) -> list[tuple[ChoiceGraph, Costs, nx.DiGraph]]:
    """``count`` graphs of playable instances, with their costs, written out in full."""
    found, seed = [], first
    while len(found) < count:
        case = make(seed)
        seed += 1
        try:
            graph = graph_of(case)
        except NotPlayable:
            continue
        if sum(map(step_count, graph.links)) <= MOST_STEPS:
            costs = Costs.of(graph, case.weights)
            found.append((graph, costs, explicit_graph(graph, costs)))
    return found


@pytest.fixture(scope="module")
def graphs() -> list[tuple[ChoiceGraph, Costs, nx.DiGraph]]:
    return playable(tiny, 50_000, 12) + playable(small, 50_000, 5)


def both_ways(graph: ChoiceGraph, full: nx.DiGraph) -> tuple[dict, dict]:
    """(ms from the start to each node, ms from each node on to the end)."""
    to = nx.single_source_dijkstra_path_length(full, (-1, 0))
    end = (len(graph.layers), 0)
    return to, nx.single_source_dijkstra_path_length(full.reverse(copy=False), end)


def test_the_outlook_is_what_is_still_to_come(graphs) -> None:
    """For every node, and for the whole."""
    for graph, costs, full in graphs:
        ahead = outlook(graph, costs)
        _, on = both_ways(graph, full)
        assert ahead.bound == on[-1, 0]
        for index, layer in enumerate(graph.layers):
            own = costs.nodes[index].tolist()
            for node in range(len(layer)):
                true = on.get((index, node), int(FAR)) + own[node]
                assert int(ahead.on[index][node]) == min(true, int(FAR))


def test_the_first_of_the_cheapest_ways(graphs) -> None:
    """Among all shortest ways of networkx the one with the lowest nodes, moment by moment."""
    ties = 0
    for graph, costs, full in graphs:
        ahead = outlook(graph, costs)
        ways = nx.all_shortest_paths(full, (-1, 0), (len(graph.layers), 0), weight="weight")
        all_nodes = [tuple(node for _, node in way[1:-1]) for way in ways]
        ties += len(all_nodes) > 1
        assert first_way(costs, ahead) == min(all_nodes)
    assert ties


def test_all_that_lies_within_the_limit_is_explored(graphs) -> None:
    for graph, costs, full in graphs:
        ahead = outlook(graph, costs)
        to, on = both_ways(graph, full)
        best = on[-1, 0]
        for slack in (0, 1, 50, 400):
            explored = explore(graph, costs, ahead, best + slack)
            assert explored.best == best
            for index, nodes in enumerate(explored.nodes):
                assert (np.diff(nodes) > 0).all()
                for node, ms in zip(nodes.tolist(), explored.to[index].tolist(), strict=True):
                    whole = to.get((index, node), int(FAR)) + on.get((index, node), int(FAR))
                    assert ms >= to.get((index, node), int(FAR))
                    if whole <= best + slack:
                        assert ms == to[index, node]
                near = {
                    node
                    for node in range(len(graph.layers[index]))
                    if to.get((index, node), FAR) + on.get((index, node), FAR) <= best + slack
                }
                assert near <= set(nodes.tolist())


def test_below_the_best_there_is_no_way(graphs) -> None:
    for graph, costs, full in graphs:
        best = both_ways(graph, full)[1][-1, 0]
        explored = explore(graph, costs, outlook(graph, costs), best - 1)
        assert explored.best >= FAR or explored.best > best - 1


def test_each_step_near_the_best_has_its_cheapest_whole_way(graphs) -> None:
    for graph, costs, full in graphs:
        to, on = both_ways(graph, full)
        ahead = outlook(graph, costs)
        explored = explore(graph, costs, ahead, on[-1, 0] + 150)
        for index, (tail, head) in enumerate(zip(explored.tail, explored.head, strict=True)):
            through = explored.to[index][tail] + explored.cost[index] + explored.on[index + 1][head]
            tails = explored.nodes[index][tail].tolist()
            heads = explored.nodes[index + 1][head].tolist()
            found = dict(zip(zip(tails, heads, strict=True), through.tolist(), strict=True))
            true = {
                (tail, head): to[index, tail] + weight + on[index + 1, head]
                for (moment, tail), (_, head), weight in full.edges(data="weight")
                if moment == index and (index, tail) in to and (index + 1, head) in on
            }
            assert found == {k: ms for k, ms in true.items() if ms <= explored.limit}


def test_costs_are_counted_once_for_layers_and_links_that_are_shared() -> None:
    case = case_of("D", "D", "D", "D")
    graph = graph_of(case)
    costs = Costs.of(graph, case.weights)
    shared = [i for i, layer in enumerate(graph.layers) if layer is graph.layers[5]]
    assert len(shared) > 1
    inner = [costs.nodes[i] for i in shared if 0 < i < len(graph.layers) - 1]
    assert all(one is inner[0] for one in inner)
    links = [i for i, link in enumerate(graph.links) if link is graph.links[5]]
    assert len(links) > 1
    assert len({id(costs.links[i]) for i in links}) == 1


def test_the_first_layer_shared_with_a_later_one_does_not_lend_it_its_limits() -> None:
    """Only the first moment may not begin with a string that rings."""
    case = case_of("D", "A", "D")
    graph = graph_of(case)
    costs = Costs.of(graph, case.weights)
    later = [i for i, layer in enumerate(graph.layers) if i and layer is graph.layers[0]]
    assert later, "the same chord begins again"
    assert (costs.nodes[0] >= FAR).any()
    assert not (costs.nodes[later[0]] >= FAR).any()


def test_how_a_tune_may_begin_and_end() -> None:
    for graph, _, _ in playable(tiny, 60_000, 10):
        first = graph.layers[0]
        begins = may_begin(first)
        for node in range(len(first)):
            choice = first.choice(node)
            rings = any(
                fret >= 0 and not struck
                for fret, struck in zip(choice.grip.frets, choice.struck, strict=True)
            )
            foreign = choice.role in ("passing", "neighbour", "approach")
            if rings or foreign:
                assert not begins[node]
        assert begins.any()
        last = graph.layers[-1]
        for node, ends in enumerate(may_end(last).tolist()):
            role = last.choice(node).role
            assert ends == (role not in ("passing", "neighbour", "approach"))


def test_a_single_moment() -> None:
    """One chord on one stroke: no links at all."""
    case = case_of("D5", metre="2/4")
    graph = graph_of(case)
    short = ChoiceGraph(graph.moments[:1], graph.layers[:1], ())
    costs = Costs.of(short, case.weights)
    explored = explore(short, costs, outlook(short, costs), int(FAR) // 2)
    assert explored.best == costs.nodes[0].min() < FAR
    assert explored.tail == ()
    assert furthest(short, costs) == 0


def test_how_far_one_gets_where_no_way_leads_through() -> None:
    case = case_of("D", "D")
    graph = graph_of(case)
    costs = Costs.of(graph, case.weights)
    assert furthest(graph, costs) == len(graph.layers) - 1
    for blocked in range(len(graph.layers)):
        nodes = list(costs.nodes)
        nodes[blocked] = np.full_like(nodes[blocked], FAR)
        closed = Costs(tuple(nodes), costs.links)
        assert furthest(graph, closed) == blocked - 1
        ahead = outlook(graph, closed)
        assert ahead.bound >= FAR
        assert explore(graph, closed, ahead, int(FAR) // 2).best >= FAR


def test_how_far_one_gets_is_how_far_steps_lead(graphs) -> None:
    """By networkx where nodes are left out at random, and besides, where moves are forbidden, by
    following every step with its cost."""
    rng = np.random.default_rng(7)
    short = 0
    for graph, costs, _ in graphs:
        for share in (0.0, 0.5, 0.9, 0.99):
            left = costs.allowed([rng.random(len(layer)) >= share for layer in graph.layers])
            full = explicit_graph(graph, left)
            there = {index for index, _ in nx.descendants(full, (-1, 0))} - {len(graph.layers)}
            assert furthest(graph, left) == max(there, default=-1)
            short += max(there, default=-1) < len(graph.layers) - 1
            hurried = limited(left, graph, Limits(time=int(rng.integers(1, 100))))
            blind = Outlook((hurried.first, *hurried.nodes[1:]), 0)
            nodes = explore(graph, hurried, blind, int(FAR) // 2).nodes
            some = [index for index, found in enumerate(nodes) if len(found)]
            assert furthest(graph, hurried) == max(some, default=-1)
    assert short > 3
