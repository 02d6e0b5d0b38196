"""The CP-SAT model over the kept graph: one Boolean a step, the reduced costs as objective.

Public: Draft, Linear, Adds, draft_model, solve_model, Solved, hold_to, lowest_number.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeAlias

import networkx as nx
from ortools.sat.python import cp_model

from solver.prune import START, Node
from solver.stop import Stop

LEAST_SECONDS = 0.2
"""What a second look at an INFEASIBLE may take, however little time is left."""

Edge = tuple[Node, Node]
Linear: TypeAlias = cp_model.LinearExprT
Adds = Callable[["Draft"], Linear]
"""Adds a family to a draft; what it adds to the objective."""


@dataclass
class Draft:
    """A model under construction: model; kept: the pruned graph; step: each step's Boolean; last:
    the last moment's number; terms: the objective, scaled."""

    kept: nx.DiGraph
    last: int
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    terms: list[Linear] = field(default_factory=list)

    @cached_property
    def step(self) -> dict[Edge, cp_model.IntVar]:
        return {edge: self.model.new_bool_var("") for edge in self.kept.edges}

    @cached_property
    def entering(self) -> Mapping[int, Mapping[int, Sequence[cp_model.IntVar]]]:
        """moment → position → the steps that lead there, one of which is taken to pass it."""
        out: dict[int, dict[int, list[cp_model.IntVar]]] = defaultdict(dict)
        for (_, (moment, position)), variable in self.step.items():
            out[moment].setdefault(position, []).append(variable)
        return out

    def numbered(self) -> Iterator[tuple[int, int, cp_model.IntVar]]:
        """(moment that it leads to, number in the bundle, Boolean) of every step."""
        for tail, head, step in self.kept.edges(data="step"):
            yield head[0], step, self.step[tail, head]

    @property
    def objective(self) -> Linear:
        return sum(self.terms)


@dataclass(frozen=True)
class Solved:
    """status: CP-SAT's own word; excess: scaled cost above the bound that the answer has; bound:
    scaled cost above the bound that every answer of the model has at least; positions: the way,
    one a moment, empty without an answer."""

    status: str
    excess: int
    bound: int
    positions: tuple[int, ...]


def draft_model(kept: nx.DiGraph, last: int, families: Sequence[Adds]) -> Draft:
    """A model of the kept graph that minimises reduced cost and holds every family."""
    draft = Draft(kept, last)
    costly = [(edge, cost) for *edge, cost in kept.edges(data="reduced") if cost]
    draft.terms.append(sum(cost * draft.step[edge[0], edge[1]] for edge, cost in costly))
    draft.terms += [add(draft) for add in families]
    draft.model.minimize(draft.objective)
    return draft


def solve_model(
    draft: Draft,
    seconds: float,
    workers: int,
    seed: int,
    hint: Sequence[int] = (),
    stop: Stop | None = None,
) -> Solved:
    """Runs CP-SAT on the draft; hint: positions of a way that is known to be allowed."""
    if hint:
        on_it = set(zip([START, *enumerate(hint)], list(enumerate(hint)), strict=False))
        for edge, variable in draft.step.items():
            draft.model.add_hint(variable, edge in on_it)
    solver, status = _run(draft, seconds, workers, seed, stop)
    draft.model.clear_hints()
    if status == cp_model.INFEASIBLE:
        return Solved(_none_again(draft, seconds, seed, stop), 0, 0, ())
    name = solver.status_name(status)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Solved(name, 0, 0, ())
    positions: list[int] = []
    at: Node = START
    while at[0] < draft.last:
        at = next(
            head for _, head in draft.kept.out_edges(at) if solver.value(draft.step[at, head])
        )
        positions.append(at[1])
    bound = round(solver.best_objective_bound)
    return Solved(name, round(solver.objective_value), bound, tuple(positions))


def hold_to(draft: Draft, excess: int) -> None:
    """Holds the draft to answers that cost ``excess`` (scaled), the least there is."""
    draft.model.add(draft.objective <= excess)


def lowest_number(
    draft: Draft, number: Linear, seconds: float, workers: int, seed: int, stop: Stop | None = None
) -> int | None:
    """The least that ``number`` can be in the draft, to which it is then held; None when it could
    not be told in time."""
    draft.model.minimize(number)
    solver, status = _run(draft, seconds, workers, seed, stop)
    if status != cp_model.OPTIMAL:
        return None
    least: int = round(solver.objective_value)
    draft.model.add(number == least)
    return least


def _none_again(draft: Draft, seconds: float, seed: int, stop: Stop | None) -> str:
    """INFEASIBLE where a differently made solver says so too, UNKNOWN where it cannot tell."""
    solver = _solver(max(LEAST_SECONDS, seconds), 1, seed + 1)
    solver.parameters.cp_model_presolve = False
    solver.parameters.linearization_level = 2
    status = _watched(solver, draft, stop)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise RuntimeError("the solver found an answer where it had said that there is none")
    return "INFEASIBLE" if status == cp_model.INFEASIBLE else "UNKNOWN"


def _run(
    draft: Draft, seconds: float, workers: int, seed: int, stop: Stop | None
) -> tuple[cp_model.CpSolver, cp_model.CpSolverStatus]:
    solver = _solver(seconds, workers, seed)
    return solver, _watched(solver, draft, stop)


def _solver(seconds: float, workers: int, seed: int) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = max(0.0, seconds)
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    solver.parameters.catch_sigint_signal = False
    return solver


def _watched(solver: cp_model.CpSolver, draft: Draft, stop: Stop | None) -> cp_model.CpSolverStatus:
    """Solves, and lets ``stop`` end it."""
    if stop is None:
        return solver.solve(draft.model)
    stop.watch(solver)
    try:
        if stop.stopped:
            solver.parameters.max_time_in_seconds = 0.0
        return solver.solve(draft.model)
    finally:
        stop.watch(None)
