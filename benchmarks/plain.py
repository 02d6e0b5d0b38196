"""The plain model: what a solver is given that knows nothing of how our search goes about it.

One Boolean a step, plain costs, the conditions stated as they are meant, and no help but
``linearization_level=2``. For repeats alike and few shapes only, both hard.

Public: Plain, Solved, state, solved.
"""

import time
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from benchmarks.rows import held_mib
from solver.arrays import Rows
from solver.conditions.alike import classes_of
from solver.constraints.alike import class_hands
from solver.constraints.few_shapes import numbered
from solver.passes import Explored
from solver.question import Question

Taken = Sequence[cp_model.IntVar]
"""Steps, one a row."""


@dataclass(frozen=True)
class Plain:
    """model; steps: how many Booleans stand for a step; seconds: that stating it took; mib: that
    the process had to grow for it."""

    model: cp_model.CpModel
    steps: int
    seconds: float
    mib: float


@dataclass(frozen=True)
class Solved:
    """best: ms of the best answer met, None for none; bound: ms; proven; seconds: by the clock."""

    best: int | None
    bound: int
    proven: bool
    seconds: float


def state(question: Question, explored: Explored) -> Plain:
    """The model of all that was explored."""
    begun, held = time.process_time(), held_mib()
    model = cp_model.CpModel()
    into = [_booleans(model, len(explored.first))]
    into += [_booleans(model, len(tail)) for tail in explored.tail]
    heads: list[Rows] = [np.arange(len(explored.first)), *explored.head]
    model.add(cp_model.LinearExpr.sum(list(into[0])) == 1)
    for index, tail in enumerate(explored.tail):
        arrive, leave = _by(heads[index], into[index]), _by(tail, into[index + 1])
        for node in range(len(explored.nodes[index])):
            model.add(_sum(arrive[node]) == _sum(leave[node]))
    _alike(model, question, explored, into, heads)
    _few_shapes(model, question, explored, into, heads)
    costs: list[NDArray[np.int64]] = [explored.first, *explored.true]
    every = [variable for some in into for variable in some]
    model.minimize(cp_model.LinearExpr.weighted_sum(every, np.concatenate(costs).tolist()))
    return Plain(model, len(every), time.process_time() - begun, held_mib() - held)


def solved(plain: Plain, seconds: float, workers: int) -> Solved:
    """What CP-SAT makes of it in that time."""
    solver = cp_model.CpSolver()
    solver.parameters.linearization_level = 2
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = seconds
    begun = time.perf_counter()
    status = solver.solve(plain.model)
    spent = time.perf_counter() - begun
    if status == cp_model.INFEASIBLE:
        raise SystemExit("the plain model has no answer, where our search has one")
    met = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Solved(
        round(solver.objective_value) if met else None,
        int(np.ceil(solver.best_objective_bound - 1e-6)),
        status == cp_model.OPTIMAL,
        spent,
    )


def _alike(
    model: cp_model.CpModel,
    question: Question,
    explored: Explored,
    into: Sequence[Taken],
    heads: Sequence[Rows],
) -> None:
    """Moments of one class have the hands of the first of them."""
    alike, layers = question.conditions.alike, question.graph.layers
    assert alike is not None
    assert alike.price is None
    classes = classes_of(question.tune, question.moments, alike.what)
    hands = class_hands(layers, classes)
    first: dict[int, dict[int, list[cp_model.IntVar]]] = {}
    for moment, number in enumerate(classes):
        own = hands[moment][layers[moment].shape][explored.nodes[moment]]
        here = _by(own[heads[moment]], into[moment])
        there = first.setdefault(number, here)
        if there is not here:
            for key in sorted({*here, *there}):
                model.add(_sum(here[key]) == _sum(there[key]))


def _few_shapes(
    model: cp_model.CpModel,
    question: Question,
    explored: Explored,
    into: Sequence[Taken],
    heads: Sequence[Rows],
) -> None:
    """So many shapes at most are used."""
    wish, layers = question.conditions.shapes, question.graph.layers
    assert wish is not None
    assert wish.most is not None
    numbers, _ = numbered(layers)
    used: dict[int, cp_model.IntVar] = {}
    for moment, layer in enumerate(layers):
        own = numbers[moment][layer.shape][explored.nodes[moment]]
        for shape, steps in _by(own[heads[moment]], into[moment]).items():
            if shape >= 0:
                if shape not in used:
                    used[shape] = model.new_bool_var("")
                model.add(_sum(steps) <= used[shape])
    model.add(_sum(used.values()) <= wish.most)


def _booleans(model: cp_model.CpModel, count: int) -> Taken:
    return [model.new_bool_var("") for _ in range(count)]


def _by(keys: Rows, steps: Taken) -> dict[int, list[cp_model.IntVar]]:
    """Key → the steps that have it."""
    found: dict[int, list[cp_model.IntVar]] = defaultdict(list)
    for key, step in zip(keys.tolist(), steps, strict=True):
        found[key].append(step)
    return found


def _sum(steps: Iterable[cp_model.IntVar]) -> cp_model.LinearExprT:
    return cp_model.LinearExpr.sum(list(steps))
