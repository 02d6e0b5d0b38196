"""The plain model: one Boolean a step of the whole choice graph, plain costs, nothing pruned.

No pass, no reduced costs, no help but ``linearization_level=2``. It is slow, and it knows nothing
of how the search goes about its work; that is its use. Conditions on the whole tune are stated as
they are meant, for every sequence of the graph (``tests.solver.plain_conditions``).

Public: plain_best, Plain.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import networkx as nx
from ortools.sat.python import cp_model

Place = tuple[int, int]


@dataclass
class Plain:
    """The model being stated: model; full: the network; step: each step's Boolean; moments: how
    many; extra: what is added to the steps' cost; first: what is minimised before it, if any."""

    model: cp_model.CpModel
    full: nx.DiGraph
    step: dict[tuple[Place, Place], cp_model.IntVar]
    moments: int
    extra: list[Any] = field(default_factory=list)
    first: cp_model.IntVar | None = None

    def passes(self, node: Place) -> Any:
        """1 where the way passes through that node."""
        return sum(self.step[edge] for edge in self.full.in_edges(node))


def plain_best(
    full: nx.DiGraph,
    moments: int,
    seconds: float = 60.0,
    state: Callable[[Plain], None] | None = None,
) -> int | None:
    """ms of the cheapest way from (-1, 0) to (moments, 0), None when the solver proves that there
    is none; ``full`` as ``full_graph.explicit_graph`` makes it; state: adds what is asked."""
    model = cp_model.CpModel()
    step = {edge: model.new_bool_var("") for edge in full.edges}
    for node in full:
        into = [step[edge] for edge in full.in_edges(node)]
        out = [step[edge] for edge in full.out_edges(node)]
        if node == (-1, 0):
            model.add(sum(out) == 1)
        elif node == (moments, 0):
            model.add(sum(into) == 1)
        else:
            model.add(sum(into) == sum(out))
    plain = Plain(model, full, step, moments)
    if state is not None:
        state(plain)
    if plain.first is not None:
        model.minimize(plain.first)
        least = _solved(model, seconds)
        if least is None:
            return None
        model.add(plain.first <= least)
    work = sum(cost * step[tail, head] for tail, head, cost in full.edges(data="weight"))
    model.minimize(work + sum(plain.extra))
    return _solved(model, seconds)


def _solved(model: cp_model.CpModel, seconds: float) -> int | None:
    """The least there can be, None for nothing; the solver must be sure."""
    solver = cp_model.CpSolver()
    solver.parameters.linearization_level = 2
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    assert status == cp_model.OPTIMAL, solver.status_name(status)
    return round(solver.objective_value)
