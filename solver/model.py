"""The CP-SAT model over the kept graph: one Boolean a step, the reduced costs as objective.

Public: Draft, draft_model, solve_model, Solved, lowest_first.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass

import networkx as nx
from ortools.sat.python import cp_model

from solver.prune import START, Node

Edge = tuple[Node, Node]
Family = Callable[["Draft"], None]


@dataclass(frozen=True)
class Draft:
    """A model under construction: model; kept: the pruned graph; step: each step's Boolean; last:
    the last moment's number."""

    model: cp_model.CpModel
    kept: nx.DiGraph
    step: dict[Edge, cp_model.IntVar]
    last: int


@dataclass(frozen=True)
class Solved:
    """status: CP-SAT's own word; excess: ms above the bound that the answer costs; bound: ms above
    the bound that every answer of the model costs at least; nodes: the way, one node a moment,
    empty without an answer."""

    status: str
    excess: int
    bound: int
    nodes: tuple[int, ...]


def draft_model(kept: nx.DiGraph, last: int, families: tuple[Family, ...]) -> Draft:
    """A model of the kept graph that minimises reduced cost and holds every family."""
    model = cp_model.CpModel()
    step = {edge: model.new_bool_var("") for edge in kept.edges}
    draft = Draft(model, kept, step, last)
    for family in families:
        family(draft)
    model.minimize(_reduced_cost(kept, step))
    return draft


def solve_model(draft: Draft, seconds: float, workers: int, seed: int) -> Solved:
    """Runs CP-SAT on the draft."""
    solver = _solver(seconds, workers, seed)
    status = solver.solve(draft.model)
    name = solver.status_name(status)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Solved(name, 0, 0, ())
    nodes: list[int] = []
    at: Node = START
    while at[0] < draft.last:
        at = next(
            head for _, head in draft.kept.out_edges(at) if solver.value(draft.step[at, head])
        )
        nodes.append(at[1])
    bound = round(solver.best_objective_bound)
    return Solved(name, round(solver.objective_value), bound, tuple(nodes))


def lowest_first(
    draft: Draft, excess: int, seconds: float, workers: int, seed: int
) -> Callable[[list[Node]], int | None]:
    """For ``settle.first_allowed``: among answers that cost ``excess``, the lowest node of a
    moment; each call holds the draft to what it found. All calls share the ``seconds``."""
    until = time.perf_counter() + seconds
    draft.model.add(_reduced_cost(draft.kept, draft.step) == excess)

    def lowest(nodes: list[Node]) -> int | None:
        passed = {
            node: sum(draft.step[edge] for edge in draft.kept.in_edges(node)) for node in nodes
        }
        if len(nodes) > 1:
            draft.model.minimize(sum(rank * passed[node] for rank, node in enumerate(nodes)))
            solver = _solver(max(0.0, until - time.perf_counter()), workers, seed)
            if solver.solve(draft.model) != cp_model.OPTIMAL:
                return None
            nodes = [node for node in nodes if solver.value(passed[node])]
            draft.model.add(passed[nodes[0]] == 1)
        return nodes[0][1]

    return lowest


def _reduced_cost(kept: nx.DiGraph, step: dict[Edge, cp_model.IntVar]) -> cp_model.LinearExprT:
    costly = [(edge, cost) for *edge, cost in kept.edges(data="reduced") if cost]
    return sum(cost * step[(edge[0], edge[1])] for edge, cost in costly)


def _solver(seconds: float, workers: int, seed: int) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    solver.parameters.catch_sigint_signal = False
    return solver
