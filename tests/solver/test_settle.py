"""Of equal answers the first, on kept graphs made by hand."""

import networkx as nx

from solver.prune import START
from solver.settle import first_allowed, first_best


def kept(*steps: tuple[tuple[int, int], tuple[int, int], int]) -> nx.DiGraph:
    graph = nx.DiGraph()
    for tail, head, reduced in steps:
        graph.add_edge(tail, head, reduced=reduced)
    return graph


def test_the_lowest_node_of_the_first_moment_that_differs() -> None:
    graph = kept(
        (START, (0, 4), 0), (START, (0, 2), 0),
        ((0, 4), (1, 0), 0), ((0, 2), (1, 9), 0), ((0, 2), (1, 7), 0),
        ((1, 0), (2, 0), 0), ((1, 9), (2, 0), 0), ((1, 7), (2, 5), 0),
    )  # fmt: skip
    assert first_best(graph, 2) == (2, 7, 5)


def test_a_lower_node_that_gives_something_away_is_passed_by() -> None:
    graph = kept(
        (START, (0, 0), 1), (START, (0, 3), 0),
        ((0, 0), (1, 0), 0), ((0, 3), (1, 0), 2), ((0, 3), (1, 1), 0),
    )  # fmt: skip
    assert first_best(graph, 1) == (3, 1)


def test_the_order_in_which_steps_were_added_does_not_matter() -> None:
    steps = [(START, (0, n), 0) for n in (3, 1, 2)]
    steps += [((0, n), (1, m), 0) for n in (1, 2, 3) for m in (6, 5)]
    assert first_best(kept(*steps), 1) == first_best(kept(*reversed(steps)), 1) == (1, 5)


def test_a_single_moment() -> None:
    assert first_best(kept((START, (0, 8), 0), (START, (0, 7), 3)), 0) == (8,)


def asked_of(ways: list[tuple[int, ...]]):
    """A model that allows just these ways: told the first node of some that one of them passes
    through, it keeps those ways only."""
    left = list(ways)

    def lowest(nodes: list[tuple[int, int]]) -> int | None:
        for moment, node in nodes:
            through = [way for way in left if way[moment] == node]
            if through:
                left[:] = through
                return node
        return None

    return lowest


def test_under_other_families_the_first_way_that_the_model_allows() -> None:
    steps = [(START, (0, n), 0) for n in (2, 0, 1)]
    steps += [((0, n), (1, m), 0) for n in range(3) for m in (8, 4)]
    graph = kept(*steps)
    assert first_best(graph, 1) == (0, 4)
    assert first_allowed(graph, asked_of([(2, 4), (1, 8), (0, 8)])) == (0, 8)
    assert first_allowed(graph, asked_of([(2, 4), (1, 8)])) == (1, 8)


def test_a_model_that_cannot_tell_in_its_time_settles_nothing() -> None:
    graph = kept((START, (0, 0), 0), (START, (0, 1), 0))
    assert first_allowed(graph, lambda nodes: None) is None
