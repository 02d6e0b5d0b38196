"""The least cap on time that leaves a way, by networkx and by the scoring room's own figures."""

from dataclasses import replace
from itertools import pairwise

import networkx as nx
import numpy as np

from scoring.difficulty import rate
from solver.arrays import FAR, SHORT_FAR
from solver.conditions.limits import Limits
from solver.errors import NotPlayable
from solver.hurry import least_hurry
from solver.limiting import limited
from solver.passes import Costs, outlook
from tests.solver.full_graph import explicit_graph, step_count
from tests.solver.instances import Instance, small, tiny
from tests.solver.made import case_of, graph_of

MOST_STEPS = 25_000


def most_hurried(case: Instance, graph, way: list[tuple[int, int]]) -> int:
    """Percent, move by move."""
    choices = [graph.layers[index].choice(node) for index, node in way]
    found = [0]
    for (old, before), (new, after) in pairwise(zip(choices, graph.moments, strict=True)):
        two = replace(before, bar=1), replace(after, bar=2)
        rating = rate((old, new), two, case.instrument, case.hand)
        found.append(rating.bars[1].parts.hurry)
    return max(found)


def within(graph, costs: Costs, percent: int) -> nx.DiGraph:
    """The graph in full without the moves that the cap forbids, which cost as good as all there
    is."""
    full = explicit_graph(graph, limited(costs, graph, Limits(time=percent)))
    dear = [edge for edge in full.edges if full.edges[edge]["weight"] >= SHORT_FAR // 2]
    full.remove_edges_from(dear)
    return full


def test_no_way_is_less_hurried() -> None:
    rng = np.random.default_rng(3)
    met, none = 0, 0
    for make, seed in [(tiny, 60_000 + n) for n in range(30)] + [
        (small, 60_000 + n) for n in range(9)
    ]:
        case = make(seed)
        try:
            graph = graph_of(case)
        except NotPlayable:
            continue
        if sum(map(step_count, graph.links)) > MOST_STEPS:
            continue
        costs = Costs.of(graph, case.weights)
        for share in (0.0, 0.6, 0.9):
            left = costs.allowed([rng.random(len(layer)) >= share for layer in graph.layers])
            ends = (-1, 0), (len(graph.layers), 0)
            least = least_hurry(graph, left)
            if least is None:
                none += 1
                assert not nx.has_path(explicit_graph(graph, left), *ends)
                continue
            met += least > 0
            way = nx.shortest_path(within(graph, left, least), *ends)[1:-1]
            assert most_hurried(case, graph, way) == least
            if least:
                assert not nx.has_path(within(graph, left, least - 1), *ends)
    assert met > 10
    assert none > 2


def test_moves_in_lists_and_in_matrices() -> None:
    """Whole graphs: a cap of so much leaves a way, one of less leaves none."""
    kinds = set()
    for bars in (("D", "G", "A7"), ("D/F#", "Em", "A7", "D")):
        case = case_of(*bars, per_minute=400)
        graph = graph_of(case)
        costs = Costs.of(graph, case.weights)
        kinds |= {link.starts is None for link in graph.links}
        least = least_hurry(graph, costs)
        assert least
        bounds = [
            outlook(graph, limited(costs, graph, Limits(time=percent))).bound
            for percent in (least - 1, least)
        ]
        assert bounds[1] < FAR <= bounds[0]
    assert kinds == {True, False}
