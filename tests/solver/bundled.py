"""Bundles of ways through small cases, and every way of a bundle written out.

Public: bundle_of, way_count, every_way, work_of, charged_on, question_of, laid_out.
"""

from collections.abc import Iterator

from solver.conditions import Conditions
from solver.family import Family
from solver.graph import ChoiceGraph, build_graph
from solver.held import Held
from solver.laid_out import lay_out
from solver.limiting import limited
from solver.nearness import near_prices
from solver.passes import Costs, explore, outlook
from solver.pinning import masks_of
from solver.question import Apart, Question
from solver.ways import Prices, Way, Ways
from tests.solver.brute import moments_asked
from tests.solver.instances import Instance

EVERYTHING = 1 << 50
"""More ms than any way costs."""


def bundle_of(graph: ChoiceGraph, costs: Costs, slack: int = EVERYTHING) -> Ways:
    """Every way of at most ``slack`` ms more than the cheapest."""
    ahead = outlook(graph, costs)
    limit = min(EVERYTHING, ahead.bound + slack)
    return Ways.of(graph.layers, explore(graph, costs, ahead, limit))


def way_count(ways: Ways) -> int:
    """How many ways the bundle has."""
    reached = [1] * len(ways.first)
    for index, (tails, heads) in enumerate(zip(ways.tail, ways.head, strict=True)):
        after = [0] * len(ways.nodes[index + 1])
        for tail, head in zip(tails.tolist(), heads.tolist(), strict=True):
            after[head] += reached[tail]
        reached = after
    return sum(reached)


def every_way(ways: Ways) -> Iterator[Way]:
    """Every way of the bundle, step by step."""
    last = len(ways.tail)
    onward: list[dict[int, list[tuple[int, int]]]] = []
    for tails, heads in zip(ways.tail, ways.head, strict=True):
        after: dict[int, list[tuple[int, int]]] = {}
        for step, (tail, head) in enumerate(zip(tails.tolist(), heads.tolist(), strict=True)):
            after.setdefault(tail, []).append((step, head))
        onward.append(after)
    stack: list[tuple[tuple[int, ...], tuple[int, ...]]] = [
        ((position,), ()) for position in range(len(ways.first))
    ]
    while stack:
        positions, steps = stack.pop()
        if len(steps) == last:
            yield Way(positions, steps)
            continue
        for step, head in onward[len(steps)].get(positions[-1], ()):
            stack.append(((*positions, head), (*steps, step)))


def work_of(ways: Ways, way: Way) -> int:
    """Scaled cost of the work along a way, added up one by one."""
    total = int(ways.first[way.positions[0]])
    for costs, step in zip(ways.cost, way.steps, strict=True):
        total += int(costs[step])
    return total


def charged_on(prices: Prices, way: Way) -> int:
    """What prices add along a way, added up one by one."""
    total = sum(int(own[at]) for own, at in zip(prices.nodes, way.positions, strict=True))
    for extra, step in zip(prices.steps, way.steps, strict=True):
        total += extra if isinstance(extra, int) else int(extra[step])
    return total


def question_of(case: Instance, conditions: Conditions, apart: tuple[Apart, ...] = ()) -> Question:
    """The question as the search puts it, pins and known shapes filtered; NotPlayable where
    nothing is left."""
    moments = moments_asked(case, conditions)
    graph = build_graph(moments, Held(case.instrument, case.hand, case.style))
    masks = masks_of(graph, case.tune, conditions, case.instrument, case.hand, case.style)
    costs = Costs.of(graph, case.weights)
    if conditions.near is not None:
        costs = costs.wished(near_prices(graph, conditions.near))
    costs = costs.allowed(masks)
    if conditions.limits is not None:
        costs = limited(costs, graph, conditions.limits)
    return Question(case.tune, moments, graph, costs, conditions, apart)


def laid_out(question: Question, slack: int = EVERYTHING) -> tuple[Ways, list[Family]]:
    """The bundle with memory, and the families over it."""
    return lay_out(bundle_of(question.graph, question.costs, slack), question)
