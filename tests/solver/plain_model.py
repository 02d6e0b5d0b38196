"""The plain model: one Boolean a step of the whole choice graph, plain costs, nothing pruned.

No pass, no reduced costs, no help but ``linearization_level=2``. It is slow, and it knows nothing
of how the search goes about its work; that is its use.

Public: plain_best.
"""

import networkx as nx
from ortools.sat.python import cp_model


def plain_best(full: nx.DiGraph, moments: int, seconds: float = 60.0) -> int | None:
    """ms of the cheapest way from (-1, 0) to (moments, 0), None when the solver proves that there
    is none; ``full`` as ``oracles.explicit_graph`` makes it."""
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
    model.minimize(sum(cost * step[tail, head] for tail, head, cost in full.edges(data="weight")))
    solver = cp_model.CpSolver()
    solver.parameters.linearization_level = 2
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    assert status == cp_model.OPTIMAL, solver.status_name(status)
    return round(solver.objective_value)
