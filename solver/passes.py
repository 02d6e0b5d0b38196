"""The exact pass: cheapest ways to and from every node, and what each node and step costs at best.

All costs are whole ms in 64-bit integers; ``FAR`` marks what cannot be reached and is large enough
that no sum of real costs comes near it.

Public: Costs, Passes, run_passes, FAR.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from scoring.weights import Weights
from solver.graph import ChoiceGraph
from solver.layers import Layer
from solver.steps import Steps

Cost = NDArray[np.int64]
FAR = np.int64(1) << 60


@dataclass(frozen=True)
class Costs:
    """nodes[i]: (nodes of layer i,); steps[i]: (steps[i],); shared where the layers are."""

    nodes: tuple[Cost, ...]
    steps: tuple[Cost, ...]

    @classmethod
    def of(cls, graph: ChoiceGraph, weights: Weights) -> "Costs":
        """What every node and step costs under these weights."""
        node_costs: dict[int, Cost] = {}
        step_costs: dict[int, Cost] = {}
        for layer in graph.layers:
            if id(layer) not in node_costs:
                node_costs[id(layer)] = layer.cost(weights)
        for steps in graph.steps:
            if id(steps) not in step_costs:
                step_costs[id(steps)] = steps.cost(weights)
        first = node_costs[id(graph.layers[0])].copy()
        first[~may_begin(graph.layers[0])] = FAR
        return cls(
            (first, *(node_costs[id(layer)] for layer in graph.layers[1:])),
            tuple(step_costs[id(steps)] for steps in graph.steps),
        )


def may_begin(layer: Layer) -> NDArray[np.bool_]:
    """(nodes,): whether the tune may begin here: nothing rings yet, nothing was heard before."""
    shapes = layer.shapes
    quiet = (shapes.struck | (shapes.frets < 0)).all(axis=1)[layer.shape]
    line = np.where(shapes.struck[:, 0], shapes.pitch[:, 0], -1)[layer.shape]
    least = np.full(len(shapes), np.iinfo(np.int32).max, np.int32)
    np.minimum.at(least, layer.shape, layer.heard)
    fresh = layer.heard == least[layer.shape]
    return np.asarray(quiet & fresh & (line == layer.line) & _unbound(layer), np.bool_)


def _unbound(layer: Layer) -> NDArray[np.bool_]:
    return np.asarray(layer.going == 0, np.bool_)


def may_end(layer: Layer) -> NDArray[np.bool_]:
    """(nodes,): whether the tune may end here: no foreign note left hanging."""
    return _unbound(layer)


@dataclass(frozen=True)
class Passes:
    """to[i]: (nodes,) cheapest way from the start to and with each node; on[i]: (nodes,) cheapest
    way from each node to the end, the node itself left out."""

    to: tuple[Cost, ...]
    on: tuple[Cost, ...]

    @cached_property
    def best(self) -> int:
        """The cost of the cheapest way through; FAR when there is none."""
        return int((self.to[-1] + self.on[-1]).min())

    def through(self, layer: int) -> Cost:
        """(nodes,): the cheapest way through each node (its min-marginal)."""
        return self.to[layer] + self.on[layer]


def run_passes(graph: ChoiceGraph, costs: Costs) -> Passes:
    """Forward and backward over all layers."""
    to = [costs.nodes[0]]
    for index, steps in enumerate(graph.steps):
        ways = to[-1][steps.tail] + costs.steps[index]
        cheapest = _least(ways, steps.head, len(graph.layers[index + 1]))
        to.append(np.minimum(cheapest + costs.nodes[index + 1], FAR))
    last = np.where(may_end(graph.layers[-1]), np.int64(0), FAR)
    on = [last]
    for index in range(len(graph.steps) - 1, -1, -1):
        steps = graph.steps[index]
        order = steps.by_tail
        heads = steps.head[order]
        ways = costs.steps[index][order] + costs.nodes[index + 1][heads] + on[-1][heads]
        cheapest = _least(ways, steps.tail[order], len(graph.layers[index]))
        on.append(np.minimum(cheapest, FAR))
    return Passes(tuple(to), tuple(reversed(on)))


def _least(values: Cost, groups: NDArray[np.intp], count: int) -> Cost:
    """(count,): the least value of each group; ``groups`` ascends."""
    out = np.full(count, FAR, np.int64)
    if len(values):
        starts = np.flatnonzero(np.r_[True, groups[1:] != groups[:-1]])
        out[groups[starts]] = np.minimum.reduceat(values, starts)
    return out


def step_margins(graph: ChoiceGraph, costs: Costs, passes: Passes, index: int) -> Cost:
    """(steps,): the cheapest way through each step between layers ``index`` and ``index`` + 1."""
    steps: Steps = graph.steps[index]
    head = costs.nodes[index + 1][steps.head] + passes.on[index + 1][steps.head]
    return passes.to[index][steps.tail] + costs.steps[index] + head
