"""Orders of tunes against every order written down, and against a pass over subsets of tunes."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise, permutations, product
from random import Random
from typing import Any

import pytest
from ortools.sat.python import cp_model

from solver import set_order
from solver.errors import ArrangeError, NotFound, Unfulfillable
from solver.set_order import SetQuestion, least_in_a_row, order_set
from solver.watch import OutOfTime, Standing, Stopped, Watch


def made(seed: int, tunes: int, most_ways: int, *, plain: bool = False) -> SetQuestion:
    """A question by chance: few costs, so that many orders are equal."""
    chance = Random(seed)
    tune = tuple(t for t in range(tunes) for _ in range(chance.randint(1, most_ways)))
    ways = range(len(tune))
    never = 0.0 if plain else chance.choice((0.0, 0.1, 0.3))
    step = tuple(
        tuple(
            None if tune[a] == tune[b] or chance.random() < never else chance.randint(0, 4)
            for b in ways
        )
        for a in ways
    )
    group = chance.sample(range(tunes), min(tunes, chance.choice((0, 2, 3))))
    return SetQuestion(
        tune=tune,
        own=tuple(chance.randint(0, 5) for _ in ways),
        begin=tuple(chance.randint(0, 3) for _ in ways),
        step=step,
        key=tuple(chance.choice("DGA") for _ in range(tunes)),
        first=None if plain else chance.choice((None, None, chance.randrange(tunes))),
        last=None if plain else chance.choice((None, None, chance.randrange(tunes))),
        in_a_row=None if plain else chance.choice((None, 1, 2)),
        together=() if plain or len(group) < 2 else (frozenset(group),),
    )


def allowed(asked: SetQuestion, order: tuple[int, ...]) -> bool:
    if asked.first not in (None, order[0]) or asked.last not in (None, order[-1]):
        return False
    keys = "".join(str(asked.key[tune]) for tune in order)
    if asked.in_a_row is not None and any(k * (asked.in_a_row + 1) in keys for k in set(keys)):
        return False
    return all(
        max(at) - min(at) == len(group) - 1
        for group in asked.together
        for at in [[order.index(tune) for tune in group]]
    )


def every(asked: SetQuestion) -> Iterator[tuple[int, tuple[int, ...]]]:
    """(ms, ways) of every order that is allowed, added up here."""
    of = [[w for w, t in enumerate(asked.tune) if t == tune] for tune in range(asked.tunes)]
    for order in permutations(range(asked.tunes)):
        if not allowed(asked, order):
            continue
        for ways in product(*(of[tune] for tune in order)):
            steps = [asked.step[a][b] for a, b in pairwise(ways)]
            if None not in steps:
                total = asked.begin[ways[0]] + sum(asked.own[way] for way in ways)
                yield total + sum(step for step in steps if step is not None), ways


def held_to_every(asked: SetQuestion) -> bool:
    """Checks one question; whether it has an answer."""
    best = min(every(asked), default=None)
    if best is None:
        with pytest.raises(Unfulfillable):
            order_set(asked)
        return False
    found = order_set(asked)
    assert (found.cost, found.ways) == best  # the first of the cheapest, place by place
    assert found.bound == found.cost
    assert found.proven
    assert found.settled
    return True


def test_orders_are_the_first_of_the_cheapest() -> None:
    answered = [held_to_every(made(seed, 1 + seed % 5, 2)) for seed in range(60)]
    assert 15 < sum(answered) < 60  # both kinds were met


def test_eight_tunes() -> None:
    asked = replace(made(8, 8, 1), first=None, last=None, in_a_row=2, key=tuple("DDDGGADA"))
    assert held_to_every(asked)


@pytest.mark.slow
def test_many_orders() -> None:
    answered = [held_to_every(made(seed, 3 + seed % 4, 2)) for seed in range(1000, 1600)]
    assert 100 < sum(answered) < 600
    for seed in range(12):
        held_to_every(made(seed, 8, 1))


def by_subsets(asked: SetQuestion) -> int:
    """The cheapest cost where nothing is asked of the whole: for every set of tunes and the way
    played last, the least that it takes (Held and Karp 1962; Bellman 1962; from memory)."""
    best = {(1 << t, way): asked.begin[way] + asked.own[way] for way, t in enumerate(asked.tune)}
    for _ in range(asked.tunes - 1):
        further: dict[tuple[int, int], int] = {}
        for (done, last), cost in best.items():
            for way, tune in enumerate(asked.tune):
                step = asked.step[last][way]
                if done >> tune & 1 or step is None:
                    continue
                state = done | 1 << tune, way
                total = cost + step + asked.own[way]
                further[state] = min(total, further.get(state, total))
        best = further
    return min(best.values())


@pytest.mark.parametrize("seed", [1, 2])
def test_ten_tunes_in_two_ways_each_against_a_pass_over_subsets(seed: int) -> None:
    asked = made(seed, 10, 2, plain=True)
    found = order_set(asked)
    assert found.cost == by_subsets(asked)
    assert found.proven


def test_the_least_in_a_row_is_the_least_of_all_orders() -> None:
    for seed in range(25):
        asked = replace(made(seed, 5, 1), in_a_row=None)
        rows = [
            max(len(run) for k in "DGA" for run in _runs(order, asked, k))
            for order in permutations(range(5))
            if allowed(asked, order)
            and all(asked.step[_way(asked, a)][_way(asked, b)] is not None
                    for a, b in pairwise(order))
        ]  # fmt: skip
        assert least_in_a_row(asked) == min(rows, default=None)


def _way(asked: SetQuestion, tune: int) -> int:
    return asked.tune.index(tune)


def _runs(order: tuple[int, ...], asked: SetQuestion, key: str) -> list[str]:
    keys = "".join(str(asked.key[tune]) for tune in order)
    return "".join(k if k == key else " " for k in keys).split() or [""]


def test_one_tune_is_an_order() -> None:
    asked = SetQuestion((0, 0), (7, 5), (0, 1), ((None,) * 2,) * 2, ("D",), first=0, last=0)
    found = order_set(asked)
    assert (found.ways, found.cost) == ((1,), 6)


def test_no_time_and_stopped() -> None:
    with pytest.raises(OutOfTime):
        order_set(made(3, 5, 2, plain=True), Watch(seconds=0))
    watch = Watch()
    watch.stop.now()
    with pytest.raises(Stopped):
        order_set(made(3, 5, 2, plain=True), watch)


@pytest.mark.parametrize(
    "wrong", [{"own": (1,)}, {"key": ("D",)}, {"in_a_row": 0}, {"tune": (), "own": ()}]
)
def test_questions_that_cannot_be(wrong: dict[str, object]) -> None:
    right = SetQuestion((0, 1), (0, 0), (0, 0), ((None, 1), (1, None)), ("D", "G"))
    with pytest.raises(ArrangeError):
        replace(right, **wrong)  # type: ignore[arg-type]


def test_the_least_in_a_row_is_looked_at_a_second_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """An INFEASIBLE that is wrong, or that nobody else can confirm, tells no least."""
    asked = replace(made(3, 4, 1, plain=True), key=tuple("DDGG"))
    assert least_in_a_row(asked) == 1
    honest = set_order._run

    def at_once(solver: Any, draft: Any, watch: Watch) -> Any:
        """As a broken first search would have it."""
        if solver.parameters.cp_model_presolve:
            return cp_model.INFEASIBLE
        return honest(solver, draft, watch)

    monkeypatch.setattr(set_order, "_run", at_once)
    with pytest.raises(RuntimeError, match="found an order where it had said that there is none"):
        least_in_a_row(asked)
    silent = {True: cp_model.INFEASIBLE, False: cp_model.UNKNOWN}
    monkeypatch.setattr(
        set_order, "_run", lambda solver, *_: silent[solver.parameters.cp_model_presolve]
    )
    with pytest.raises(NotFound, match="no proof that there is none"):
        least_in_a_row(asked)


class LateWhileSettling(Watch):
    """The time ends between a proven order and the first look at orders that cost as much."""

    def look(self, standing: Standing | None = None) -> None:
        if standing is not None and standing.stage == "settling equal orders":
            raise OutOfTime("no time")
        super().look(standing)


def test_a_proven_order_outlives_the_time() -> None:
    free = ((None, 0, 0), (0, None, 0), (0, 0, None))
    asked = SetQuestion((0, 1, 2), (0,) * 3, (0,) * 3, free, tuple("DGA"))
    assert order_set(asked).settled
    late = order_set(asked, LateWhileSettling(), known=(2, 1, 0))
    assert (late.cost, late.bound, late.proven, late.settled) == (0, 0, True, False)


def test_a_known_order_is_where_the_search_begins(monkeypatch: pytest.MonkeyPatch) -> None:
    """It comes out where time ends before another is found, and changes no answer."""
    for seed in range(20):
        asked = made(seed, 4, 2)
        every_way = [ways for _, ways in every(asked)]
        if every_way:
            assert order_set(asked, known=max(every_way)) == order_set(asked)
    hints = []

    def no_time(draft: Any, watch: Watch) -> Any:
        hints.append(dict(zip(*_hint_of(draft), strict=True)))
        return None, cp_model.UNKNOWN

    monkeypatch.setattr(set_order, "_solved", no_time)
    asked = made(3, 5, 2, plain=True)
    known = next(ways for _, ways in every(asked))
    found = order_set(asked, known=known)
    assert (found.ways, found.cost, found.proven) == (known, asked.cost(known), False)
    assert found.bound <= min(every(asked))[0]
    assert sum(hints[0].values()) == 2 * len(known) + 1  # arcs with the depot's two, and ways
    with pytest.raises(OutOfTime, match="were not enough to find any order"):
        order_set(asked)


def _hint_of(draft: Any) -> tuple[list[int], list[int]]:
    hint = draft.model.proto.solution_hint
    return list(hint.vars), list(hint.values)
