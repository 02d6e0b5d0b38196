"""The cheapest order of tunes, each played in one of its ways, by CP-SAT: a circuit through a
depot that passes exactly one way of every tune.

A way is a tune in one tuning and capo; ways are numbered tune after tune. Costs are whole ms. Among
equal orders the first one, place by place in the ways' numbers, is given, so the answer depends on
no seed and no thread.

Public: SetQuestion, SetOrder, order_set, least_in_a_row.
"""

from collections import Counter
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise

from ortools.sat.python import cp_model

from solver.errors import ArrangeError, NotFound, Unfulfillable
from solver.watch import OutOfTime, Standing, Stopped, Watch

DEPOT = 0
"""The circuit's first node, before the first tune and after the last; way n is node n + 1."""

SECOND_LOOK = 1.0
"""Seconds that a second look at an INFEASIBLE may always take, however little time is left."""


@dataclass(frozen=True)
class SetQuestion:
    """tune: of each way; own: what each way costs wherever it stands; begin: what it costs more
    at the beginning; step: way → next way → ms, None where one cannot follow the other; key: of
    each tune, for ``in_a_row``; first, last: tunes; in_a_row: at most so many of one key; together:
    tunes that must follow one another."""

    tune: tuple[int, ...]
    own: tuple[int, ...]
    begin: tuple[int, ...]
    step: tuple[tuple[int | None, ...], ...]
    key: tuple[Hashable, ...]
    first: int | None = None
    last: int | None = None
    in_a_row: int | None = None
    together: tuple[frozenset[int], ...] = ()

    def __post_init__(self) -> None:
        ways = len(self.tune)
        if not ways or {len(self.own), len(self.begin), len(self.step)} != {ways}:
            raise ArrangeError("an order needs the cost of every way, and at least one")
        if sorted(set(self.tune)) != list(range(len(self.key))):
            raise ArrangeError("an order needs a key for every tune, and a way to play it")
        if self.in_a_row is not None and self.in_a_row < 1:
            raise ArrangeError("at most 1 or more tunes in a row may be in one key")

    @property
    def tunes(self) -> int:
        return len(self.key)

    @property
    def at_least(self) -> int:
        """ms of the tunes themselves, each in its cheapest way: no order costs less, for steps
        cost nothing at best."""
        cheapest: dict[int, int] = {}
        for tune, own in zip(self.tune, self.own, strict=True):
            cheapest[tune] = min(own, cheapest.get(tune, own))
        return sum(cheapest.values())

    def cost(self, ways: Sequence[int]) -> int | None:
        """ms of that order, None where a step in it cannot be."""
        total = self.begin[ways[0]] + sum(self.own[way] for way in ways)
        for before, after in pairwise(ways):
            step = self.step[before][after]
            if step is None:
                return None
            total += step
        return total


@dataclass(frozen=True)
class SetOrder:
    """ways: one for each tune, in the order; cost, bound: ms, the bound of every order; proven:
    OPTIMAL, and counted anew to the same sum; settled: no equal order stands before it."""

    ways: tuple[int, ...]
    cost: int
    bound: int
    proven: bool
    settled: bool


def order_set(
    question: SetQuestion, watch: Watch | None = None, known: Sequence[int] = ()
) -> SetOrder:
    """The cheapest order; known: one that holds what is asked, to begin with, or nothing. Raises
    Unfulfillable where there is proven to be none, OutOfTime and Stopped where none is known."""
    watch = Watch() if watch is None else watch
    watch.look(Standing("putting the tunes in order", 0, question.tunes, unit="tune"))
    draft = _Draft(question)
    draft.model.minimize(draft.total)
    if known:
        _hint(draft, known)
    solver, status = _solved(draft, watch)
    if status == cp_model.INFEASIBLE:
        _second_look(question, watch)
        raise Unfulfillable("no order of these tunes holds what is asked")
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        cost = question.cost(known) if known else None
        if cost is not None:
            return SetOrder(tuple(known), cost, question.at_least, False, False)
        watch.look()
        raise OutOfTime(
            f"{watch.seconds:g} s were not enough to find any order; allow more time, or ask for "
            "less"
        )
    ways = draft.read(solver)
    cost = question.cost(ways)
    if cost is None or cost != round(solver.objective_value):
        raise RuntimeError(f"the search counted {solver.objective_value}, the order costs {cost}")
    bound = round(solver.best_objective_bound)
    proven = status == cp_model.OPTIMAL and bound == cost
    if not proven:
        return SetOrder(ways, cost, min(bound, cost), False, False)
    return _settled(draft, SetOrder(ways, cost, bound, True, False), watch)


def least_in_a_row(question: SetQuestion, watch: Watch | None = None) -> int | None:
    """The least number of tunes of one key in a row that any order has; None where not even
    leaving that out gives an order. Raises OutOfTime, NotFound and Stopped where that cannot be
    told."""
    watch = Watch() if watch is None else watch
    most = max(Counter(question.key).values())
    for count in range(1, most + 1):
        asked = replace(question, in_a_row=count)
        _, status = _solved(_Draft(asked), watch)
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return count
        if status != cp_model.INFEASIBLE:
            watch.look()
            raise OutOfTime("there was no time to see what can be; allow more time")
        _second_look(asked, watch)
    return None


@dataclass
class _Draft:
    """The model; arc: (node, node) → Boolean; played: way → Boolean."""

    question: SetQuestion
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)

    def __post_init__(self) -> None:
        asked, model = self.question, self.model
        ways = range(len(asked.tune))
        arcs = [(tail, head, var) for (tail, head), var in self.arc.items()]
        passed = [(way + 1, way + 1, ~self.played[way]) for way in ways]
        model.add_circuit(arcs + passed)
        for tune in range(asked.tunes):
            model.add_exactly_one(self.played[way] for way in ways if asked.tune[way] == tune)
        if asked.first is not None:
            model.add_exactly_one(
                self.arc[DEPOT, way + 1] for way in ways if asked.tune[way] == asked.first
            )
        if asked.last is not None:
            model.add_exactly_one(
                self.arc[way + 1, DEPOT] for way in ways if asked.tune[way] == asked.last
            )
        for group in asked.together:
            inside = [
                var
                for (tail, head), var in self.arc.items()
                if DEPOT not in (tail, head)
                and asked.tune[tail - 1] in group
                and asked.tune[head - 1] in group
            ]
            model.add(sum(inside) == len(group) - 1)
        if asked.in_a_row is not None:
            self._rows(asked.in_a_row)

    @cached_property
    def played(self) -> list[cp_model.IntVar]:
        return [self.model.new_bool_var("") for _ in self.question.tune]

    @cached_property
    def arc(self) -> dict[tuple[int, int], cp_model.IntVar]:
        asked, ways = self.question, range(len(self.question.tune))
        pairs = [(DEPOT, way + 1) for way in ways] + [(way + 1, DEPOT) for way in ways]
        pairs += [
            (tail + 1, head + 1)
            for tail in ways
            for head in ways
            if asked.tune[tail] != asked.tune[head] and asked.step[tail][head] is not None
        ]
        return {pair: self.model.new_bool_var("") for pair in pairs}

    def _rows(self, most: int) -> None:
        """Counts, at every tune, the tunes of its key in a row up to it."""
        asked, often = self.question, Counter(self.question.key)
        place = {
            tune: self.model.new_int_var(1, most, "")
            for tune in range(asked.tunes)
            if often[asked.key[tune]] > most
        }
        for (tail, head), var in self.arc.items():
            if DEPOT in (tail, head):
                continue
            before, after = asked.tune[tail - 1], asked.tune[head - 1]
            if before in place and after in place and asked.key[before] == asked.key[after]:
                self.model.add(place[after] >= place[before] + 1).only_enforce_if(var)

    @cached_property
    def total(self) -> cp_model.LinearExprT:
        asked = self.question
        terms = [asked.own[way] * played for way, played in enumerate(self.played)]
        for (tail, head), var in self.arc.items():
            if tail == DEPOT:
                terms.append(asked.begin[head - 1] * var)
            elif head != DEPOT:
                step = asked.step[tail - 1][head - 1]
                assert step is not None, "arcs that cannot be are not there"
                terms.append(step * var)
        return sum(terms)

    def read(self, solver: cp_model.CpSolver) -> tuple[int, ...]:
        """The ways in their order."""
        after = {tail: head for (tail, head), var in self.arc.items() if solver.boolean_value(var)}
        found, node = [], after[DEPOT]
        while node != DEPOT:
            found.append(node - 1)
            node = after[node]
        return tuple(found)


def _settled(draft: _Draft, found: SetOrder, watch: Watch) -> SetOrder:
    """The first of all orders that cost as much, place by place; as far as that is known where
    time runs out, since the order is proven already."""
    asked, model = draft.question, draft.model
    ways, tail, free = found.ways, DEPOT, set(range(asked.tunes))
    for place in range(asked.tunes):
        now = ways[place]
        earlier = [
            way for way in range(now) if asked.tune[way] in free and (tail, way + 1) in draft.arc
        ]
        if earlier:
            try:
                watch.look(
                    Standing("settling equal orders", place, asked.tunes, found.cost, unit="tune")
                )
            except OutOfTime:
                return replace(found, ways=ways)
            options = [*earlier, now]
            model.add_exactly_one(draft.arc[tail, way + 1] for way in options)
            first = sum(way * draft.arc[tail, way + 1] for way in options)
            model.minimize(draft.total * (len(asked.tune) + 1) + first)
            model.clear_hints()
            _hint(draft, ways)
            solver, status = _solved(draft, watch)
            if status != cp_model.OPTIMAL:
                return replace(found, ways=ways)
            ways = draft.read(solver)
            if asked.cost(ways) != found.cost:
                raise RuntimeError("an order that was said to cost as much costs something else")
            now = ways[place]
        model.add(draft.arc[tail, now + 1] == 1)
        tail = now + 1
        free.discard(asked.tune[now])
    return replace(found, ways=ways, settled=True)


def _hint(draft: _Draft, ways: Sequence[int]) -> None:
    nodes = [DEPOT, *(way + 1 for way in ways), DEPOT]
    on_it = set(pairwise(nodes))
    for pair, var in draft.arc.items():
        draft.model.add_hint(var, pair in on_it)
    for way, played in enumerate(draft.played):
        draft.model.add_hint(played, way in ways)


def _second_look(question: SetQuestion, watch: Watch) -> None:
    """A second, differently made search must not find an order; NotFound where it cannot tell."""
    draft = _Draft(question)
    solver = _solver(max(SECOND_LOOK, watch.left), seed=2)
    solver.parameters.cp_model_presolve = False
    solver.parameters.linearization_level = 0
    status = _run(solver, draft, watch)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise RuntimeError("the solver found an order where it had said that there is none")
    if status != cp_model.INFEASIBLE:
        raise NotFound("no order was found, and no proof that there is none; allow more time")


def _solved(draft: _Draft, watch: Watch) -> tuple[cp_model.CpSolver, cp_model.CpSolverStatus]:
    solver = _solver(watch.left, seed=1)
    return solver, _run(solver, draft, watch)


def _solver(seconds: float, seed: int) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = max(0.0, seconds)
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.linearization_level = 2
    solver.parameters.catch_sigint_signal = False
    return solver


def _run(solver: cp_model.CpSolver, draft: _Draft, watch: Watch) -> cp_model.CpSolverStatus:
    """Solves; the watch may end it."""
    watch.stop.watch(solver)
    try:
        if watch.stop.stopped:
            raise Stopped("the search was stopped")
        status = solver.solve(draft.model)
    finally:
        watch.stop.watch(None)
    if watch.stop.stopped and status == cp_model.UNKNOWN:
        raise Stopped("the search was stopped")
    return status
