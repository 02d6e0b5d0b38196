"""Of equal answers the first: on kept graphs made by hand, and among answers drawn by lot."""

import random
from collections.abc import Mapping, Sequence

import networkx as nx
import pytest

import solver.settle as settling
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


class Allowed:
    """Stands for a model that allows just these ways; asked: the moments of each question."""

    def __init__(self, ways: Sequence[tuple[int, ...]], last_words: int | None = None) -> None:
        self.left, self.asked, self.last_words = list(ways), [], last_words

    def __call__(
        self, choices: Mapping[int, Sequence[int]], weights: Mapping[int, int]
    ) -> int | None:
        """The least of the numbers that the ways left spell, to which they are then held."""
        self.asked.append(list(choices))
        if len(self.asked) == self.last_words:
            return None

        def number(way: tuple[int, ...]) -> int:
            return sum(weights[m] * list(options).index(way[m]) for m, options in choices.items())

        least = min(map(number, self.left))
        self.left = [way for way in self.left if number(way) == least]
        return least


def drawn(dice: random.Random) -> tuple[list[list[int]], list[tuple[int, ...]]]:
    """(each moment's positions, the ways allowed among them)."""
    choices = [sorted(dice.sample(range(40), dice.randint(1, 6))) for _ in range(7)]
    count = dice.randint(1, 30)
    return choices, [tuple(map(dice.choice, choices)) for _ in range(count)]


@pytest.mark.parametrize("digits", [1 << 34, 100, 7, 2])
def test_under_other_families_the_first_way_that_is_allowed(monkeypatch, digits: int) -> None:
    """However many moments are asked for at a time."""
    monkeypatch.setattr(settling, "DIGITS", digits)
    dice = random.Random(digits)
    questions = 0
    for _ in range(40):
        choices, ways = drawn(dice)
        allowed = Allowed(ways)
        assert first_allowed(choices, allowed) == min(ways)
        questions += len(allowed.asked)
        open_moments = [m for m, options in enumerate(choices) if len(options) > 1]
        assert [m for batch in allowed.asked for m in batch] == open_moments, "once, in order"
        for batch in allowed.asked:
            size = 1
            for moment in batch:
                size *= len(choices[moment])
            assert size <= digits or len(batch) == 1
    assert (questions <= 40) == (digits == 1 << 34)


def test_where_nothing_is_open_nothing_is_asked() -> None:
    allowed = Allowed([(4, 0, 9)])
    assert first_allowed([[4], [0], [9]], allowed) == (4, 0, 9)
    assert allowed.asked == []


@pytest.mark.parametrize("question", [1, 2, 3])
def test_a_model_that_cannot_tell_in_its_time_settles_nothing(monkeypatch, question: int) -> None:
    """At whichever question it falls silent."""
    monkeypatch.setattr(settling, "DIGITS", 2)
    choices = [[0, 1], [2, 3], [4], [5, 6]]
    assert first_allowed(choices, Allowed([(0, 2, 4, 5)])) == (0, 2, 4, 5)
    assert first_allowed(choices, Allowed([(0, 2, 4, 5)], question)) is None
