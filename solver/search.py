"""The search: graph, exact pass, pruning, CP-SAT, proof.

The pass finds what the best answer costs if nothing but the chain of moments matters. CP-SAT gets
the graph pruned to a gap above that, with reduced costs, and every family of ``FAMILIES``. When
its optimum lies within the gap, no way outside the pruned graph can be better, and the answer is
proven; otherwise the gap is widened. Among equal answers the first is taken (``settle``).

Public: search, Answer, FAMILIES.
"""

import logging
import time
from dataclasses import dataclass

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.moment import Moment
from scoring.weights import Weights
from solver.arrays import FAR
from solver.constraints import one_way
from solver.errors import ArrangeError
from solver.graph import ChoiceGraph, Progress, build_graph
from solver.model import Family, draft_model, lowest_first, solve_model
from solver.moments import moments_of
from solver.passes import Costs, Explored, Outlook, explore, furthest, nearest, outlook
from solver.prune import kept_graph
from solver.refusal import refuse_link
from solver.settle import first_allowed, first_best
from solver.style import Style
from tune.tune import Tune

FAMILIES: tuple[Family, ...] = (one_way.add,)
"""Constraint families of every model, one row each."""

GAPS = (20, 100, 500)
"""How far above the best way (ms) the graph is kept, in turn."""

SLACKS = (100, 300, 900, 2_700, 8_100, int(FAR) // 2)
"""How far above the outlook's bound (ms) the graph is explored, in turn."""

log = logging.getLogger("undersong.solver")


@dataclass(frozen=True)
class Answer:
    """What the search found.

    moments, choices: in order; cost, bound: ms of the answer, and below which none can be;
    optimal: CP-SAT said OPTIMAL and its optimum lies within what was kept; seconds: spent on
    building and searching, the clock's own word.
    """

    moments: tuple[Moment, ...]
    choices: tuple[Choice, ...]
    cost: int
    bound: int
    optimal: bool
    seconds: float


def search(
    tune: Tune,
    instrument: Instrument,
    hand: Hand,
    style: Style,
    weights: Weights,
    *,
    seconds: float = 60.0,
    workers: int = 1,
    seed: int = 1,
    progress: Progress | None = None,
) -> Answer:
    """The cheapest way to play the tune.

    seconds: time limit for CP-SAT's proof, all gaps and ties together; workers, seed: its threads
    and seed, which cannot change a proven answer. Raises ArrangeError for a tune without chords,
    StyleError for a metre that the right hand does not know, NotPlayable where a bar cannot be
    played as asked.
    """
    begun = time.perf_counter()
    moments = moments_of(tune, style, len(instrument.courses))
    graph = build_graph(moments, instrument, hand, style, progress)
    nodes, cost, bound, optimal = _solve(graph, weights, seconds, workers, seed, progress)
    choices = tuple(layer.choice(node) for layer, node in zip(graph.layers, nodes, strict=True))
    spent = time.perf_counter() - begun
    log.info("%d moments, %d nodes, %d steps, %.2f s", len(moments), *graph.size, spent)
    return Answer(moments, choices, cost, bound, optimal, spent)


def _solve(
    graph: ChoiceGraph,
    weights: Weights,
    seconds: float,
    workers: int,
    seed: int,
    progress: Progress | None,
) -> tuple[tuple[int, ...], int, int, bool]:
    """(nodes, cost, bound, proven) by gap deepening.

    Out of time before CP-SAT has anything, the pass's own way is given, unproven: one way through
    is all that it must be while no other family is asked for.
    """
    count = len(graph.layers)
    if progress:
        progress("weighing", 0, count)
    costs = Costs.of(graph, weights)
    ahead = outlook(graph, costs)
    explored = _explored(graph, costs, ahead)
    until = time.perf_counter() + seconds
    for gap in GAPS:
        if explored.best + gap > explored.limit:
            explored = explore(graph, costs, ahead, explored.best + gap)
        kept = kept_graph(explored, nearest(explored, gap))
        log.debug("gap %d keeps %d nodes", gap, len(kept))
        if progress:
            progress("proving", count, count)
        draft = draft_model(kept, count - 1, FAMILIES)
        solved = solve_model(draft, _left(until), workers, seed)
        best = explored.best
        if solved.status == "OPTIMAL" and solved.excess <= gap:
            cost = best + solved.excess
            if (one_way.add,) == FAMILIES:
                return first_best(kept, count - 1), cost, cost, True
            lowest = lowest_first(draft, solved.excess, _left(until), workers, seed)
            first = first_allowed(kept, lowest)
            return first or solved.nodes, cost, cost, first is not None
        if solved.nodes and (solved.status != "OPTIMAL" or gap == GAPS[-1]):
            left_out = gap + 1  # what was pruned away costs at least that much more than the best
            bound = best + min(solved.bound, left_out)
            return solved.nodes, best + solved.excess, bound, False
        if not solved.nodes and solved.status == "UNKNOWN":
            break
    if solved.status == "INFEASIBLE":
        raise ArrangeError(f"no way within {GAPS[-1]} ms of the best holds all that is asked")
    if (one_way.add,) != FAMILIES:
        raise ArrangeError("the solver found no arrangement in its time; allow it more seconds")
    return first_best(kept, count - 1), explored.best, explored.best, False


def _left(until: float) -> float:
    """Seconds left of the proof's time."""
    return max(0.0, until - time.perf_counter())


def _explored(graph: ChoiceGraph, costs: Costs, ahead: Outlook) -> Explored:
    """The graph explored as far as its best way; NotPlayable when there is none."""
    for slack in SLACKS:
        explored = explore(graph, costs, ahead, ahead.bound + slack)
        if explored.best < FAR and explored.best <= explored.limit:
            return explored
        log.debug("nothing within %d of %d", slack, ahead.bound)
    refuse_link(graph.moments, furthest(graph, costs))
