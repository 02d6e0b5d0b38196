"""Cheap proofs that a condition over the whole tune cannot be held, whatever the rest.

A quota: the least and the most of what it counts over all ways through the graph. For shifts,
barred shapes and passing notes one pass in which the counts are the costs gives them exactly; for
hard bars a pass over shapes alone, which is looser and therefore still a proof. Few shapes: the
fewest shapes of which every moment that needs a finger can have one, whatever the moves between.
Only what the pins leave is looked at. Where a pass would take too long nothing is said.

Public: proven_impossible, least_and_most, fewest_shapes.
"""

import math
from collections.abc import Sequence
from itertools import permutations

import numpy as np
from ortools.sat.python import cp_model

from scoring.choice import Bools, Ints
from scoring.difficulty import step_difficulty, stretch_difficulty
from scoring.move import Move
from scoring.weights import DEFAULTS, Weights
from solver.arrays import FAR, Cost
from solver.charges import Charge
from solver.conditions.quota import Quota
from solver.conditions.wording import counted
from solver.counted import counts_of_nodes, wheres_counted
from solver.graph import ChoiceGraph
from solver.layers import Layer
from solver.links import Link
from solver.passes import Costs, outlook
from solver.question import Question

MOST_PAIRS = 2_000_000
"""Pairs of shapes up to which hard bars are counted."""

MOST_WORK = 0.5
"""How long the fewest shapes are looked for, in CP-SAT's own measure of work, which is the same on
every machine (very roughly a second of a slow one each)."""

UNREACHED = 1 << 30


def proven_impossible(question: Question) -> str | None:
    """One sentence, with the numbers, where one of the conditions cannot be held by itself, or two
    quotas not together; None where nothing is proven by these means."""
    for one, other in permutations(question.conditions.quotas, 2):
        if one.excludes(other):
            return f"'{one}' and '{other}' cannot both hold"
    for quota in question.conditions.quotas:
        found = least_and_most(question, quota)
        if found is None:
            continue
        least, most = found
        if quota.most is not None and least > quota.most:
            are = "is" if least == 1 else "are"
            return f"'{quota}' cannot be held: there {are} at least {least} however it is played"
        if quota.least is not None and most < quota.least:
            return f"'{quota}' cannot be held: there can be no more than {most}"
    shapes = question.conditions.shapes
    if shapes is not None and shapes.most is not None:
        fewest = fewest_shapes(question, shapes.most)
        if fewest > shapes.most:
            return (
                f"'at most {counted(shapes.most, 'shape')}' cannot be held: however it is played, "
                f"the chords need at least {fewest}"
            )
    return None


def least_and_most(question: Question, quota: Quota) -> tuple[int, int] | None:
    """No way through has less, or more, of what the quota counts (where it counts bar by bar: not
    in all of its bars); None where that is too much to count."""
    ends = []
    for where in wheres_counted(quota, question.tune, question.moments):
        if quota.what == "hard":
            found = _by_shapes(question, quota.above or 0, where)
        else:
            found = _by_costs(question, quota, where)
        if found is None:
            return None
        ends.append(found)
    return max(least for least, _ in ends), min(most for _, most in ends)


def _by_costs(question: Question, quota: Quota, where: Sequence[bool]) -> tuple[int, int]:
    """Exact: the counts are the only costs."""
    graph = question.graph
    counts = counts_of_nodes(quota, graph.layers, where)
    bare = Costs.of(graph, Weights.of(dict.fromkeys(DEFAULTS, 0)))
    ends = []
    for sign in (1, -1):
        extra = [
            np.where(nodes < FAR, 0 if own is None else sign * own, FAR)
            for own, nodes in zip(counts, question.costs.nodes, strict=True)
        ]
        costs = bare.priced(extra)
        if quota.what != "passing":
            costs = costs.charged(
                [(Charge(quota.what, sign),) if there else () for there in where[1:]]
            )
        ends.append(sign * outlook(graph, costs).bound)
    return ends[0], ends[1]


def _by_shapes(question: Question, above: int, where: Sequence[bool]) -> tuple[int, int] | None:
    """A pass over shapes, bars' memory of being hard with them."""
    graph = question.graph
    links = {id(link): link for link in graph.links}
    if sum(len(k.before.shapes) * len(k.after.shapes) for k in graph.links) > MOST_PAIRS:
        return None
    flags = {key: _flags(link, above) for key, link in links.items()}
    allowed = {key: link.allowed for key, link in links.items()}
    pairs = zip(graph.layers, question.costs.nodes, strict=True)
    there = [_shapes_left(layer, nodes) for layer, nodes in pairs]
    least, most = (
        sign * _pass(graph, above, where, flags, allowed, there, sign) for sign in (1, -1)
    )
    return least, most


def _shapes_left(layer: Layer, nodes: Cost) -> Bools:
    """(shapes,): whether any node of the shape is left."""
    left = np.zeros(len(layer.shapes), np.bool_)
    left[layer.shape[nodes < FAR]] = True
    return left


def _flags(link: Link, above: int) -> Bools:
    """(shapes before, shapes after): whether the step is harder than that."""
    before, after = link.before.shapes, link.after.shapes
    moment = link.before.moment
    out = np.zeros((len(before), len(after)), np.bool_)
    heads = np.arange(len(after))
    step = max(1, 100_000 // max(1, len(after)))
    for start in range(0, len(before), step):
        tails = np.arange(start, min(start + step, len(before)))
        tail = np.repeat(tails, len(after)).astype(np.intp)
        head = np.tile(heads, len(tails)).astype(np.intp)
        move = Move(before.take(tail), after.take(head), moment.ms, moment.damped)
        found = step_difficulty(move) > above
        out[tails] = found.reshape(len(tails), len(after))
    return out


def _pass(
    graph: ChoiceGraph,
    above: int,
    where: Sequence[bool],
    flags: dict[int, Bools],
    allowed: dict[int, Bools],
    there: list[Bools],
    sign: int,
) -> int:
    """The least sum of ``sign`` for each hard bar. best[already]: (shapes,), already: whether the
    bar was hard before."""
    first = graph.layers[0].shapes
    hard = stretch_difficulty(first) > above
    best = np.full((2, len(first)), UNREACHED, np.int64)
    best[hard.astype(np.intp), np.arange(len(first))] = np.where(hard & where[0], sign, 0)
    best[:, ~there[0]] = UNREACHED
    for index, link in enumerate(graph.links):
        flag, may = flags[id(link)], allowed[id(link)]
        new_bar = graph.moments[index].bar != graph.moments[index + 1].bar
        after = np.full((2, len(link.after.shapes)), UNREACHED, np.int64)
        for already in (False, True):
            base = best[int(already)][:, None]
            known = already and not new_bar
            fresh = np.where(flag & where[index + 1] & (not known), sign, 0)
            total = np.where(may & (base < UNREACHED), base + fresh, UNREACHED)
            marked = flag | known
            after[1] = np.minimum(after[1], np.where(marked, total, UNREACHED).min(axis=0))
            after[0] = np.minimum(after[0], np.where(marked, UNREACHED, total).min(axis=0))
        after[:, ~there[index + 1]] = UNREACHED
        best = after
    return int(best.min())


def fewest_shapes(question: Question, enough: int | None = None) -> int:
    """No way through has fewer different shapes: every moment has one of the shapes chosen, or no
    finger down. enough: a number that is above this need be no better; None for the best there
    is time for."""
    needed: set[frozenset[tuple[int, ...]]] = set()
    known: dict[tuple[int, bytes], frozenset[tuple[int, ...]] | None] = {}
    for layer, nodes in zip(question.graph.layers, question.costs.nodes, strict=True):
        left = _shapes_left(layer, nodes)
        key = id(layer), left.tobytes()
        if key not in known:
            known[key] = _stops(layer, left)
        shapes = known[key]
        if shapes is not None:
            needed.add(shapes)
    if not needed:
        return 0
    needed = {one for one in needed if not any(other < one for other in needed)}
    apart = _apart(needed)
    if enough is not None and apart > enough:
        return apart
    model = cp_model.CpModel()
    every = sorted(frozenset().union(*needed))
    taken = {shape: model.new_bool_var("") for shape in every}
    for shapes in sorted(needed, key=sorted):
        model.add_bool_or([taken[shape] for shape in sorted(shapes)])
    model.minimize(sum(taken.values()))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = MOST_WORK
    solver.parameters.catch_sigint_signal = False
    status = solver.solve(model)
    if status == cp_model.OPTIMAL:
        return round(float(solver.objective_value))
    return max(apart, math.ceil(float(solver.best_objective_bound) - 1e-6))


def _apart(needed: set[frozenset[tuple[int, ...]]]) -> int:
    """So many that no two share a shape, each of which needs one of its own; found by taking the
    smallest first, so perhaps not the most there are."""
    taken: set[tuple[int, ...]] = set()
    count = 0
    for shapes in sorted(needed, key=lambda one: (len(one), sorted(one))):
        if taken.isdisjoint(shapes):
            taken |= shapes
            count += 1
    return count


def _stops(layer: Layer, left: Bools) -> frozenset[tuple[int, ...]] | None:
    """What the shapes that are left stop, as 8 · fret + finger a course; None where one of them
    has no finger down."""
    shapes = layer.shapes
    down = shapes.fingers >= 0
    if (left & ~down.any(axis=1)).any():
        return None
    stops: Ints = np.where(down, 8 * shapes.frets + shapes.fingers, -1)[left]
    return frozenset(tuple(row) for row in np.unique(stops, axis=0).tolist())
