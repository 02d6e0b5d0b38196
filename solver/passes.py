"""The exact pass: the cheapest way to every node, and back along what is close to the best.

All costs are whole ms in 64-bit integers; ``FAR`` marks what cannot be reached and is large enough
that no sum of real costs comes near it.

Forward, every step is looked at once. Backward, only nodes and steps within a gap of the best are:
a step whose cheapest whole way costs more than best + gap is in no answer that costs so little,
and what leads to it by that way alone need not be visited.

Public: Costs, Forward, forward, Near, nearest, FAR.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scoring.weights import Weights
from solver.graph import ChoiceGraph
from solver.layers import Layer
from solver.steps import Rows
from solver.tables import MoveTables

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
        layers = {id(layer): layer for layer in graph.layers}
        tables = MoveTables([layer.shapes for layer in layers.values()], weights)
        of_layer = {key: layer.cost(weights) for key, layer in layers.items()}
        of_steps = {
            key: steps.cost(tables) for key, steps in {id(s): s for s in graph.steps}.items()
        }
        nodes = [of_layer[id(layer)] for layer in graph.layers]
        nodes[0] = np.where(may_begin(graph.layers[0]), nodes[0], FAR)
        return cls(tuple(nodes), tuple(of_steps[id(steps)] for steps in graph.steps))


def may_begin(layer: Layer) -> NDArray[np.bool_]:
    """(nodes,): whether the tune may begin here: nothing rings, nothing was heard before."""
    shapes, labels = layer.shapes, layer.labels
    quiet = np.asarray((shapes.struck | (shapes.frets < 0)).all(axis=1))[layer.shape]
    line = np.where(shapes.struck[:, 0], shapes.pitch[:, 0], -1)[layer.shape]
    fresh = labels.heard[layer.label] == layer.sounding[layer.shape]
    known = labels.line[layer.label] == line
    return np.asarray(quiet & fresh & known & may_end(layer), np.bool_)


def may_end(layer: Layer) -> NDArray[np.bool_]:
    """(nodes,): whether the tune may end here: no foreign bass note is left hanging."""
    return np.asarray(layer.labels.going[layer.label] == 0, np.bool_)


@dataclass(frozen=True)
class Forward:
    """to[i]: (nodes,) the cheapest way from the start to each node, itself included; best: the
    cheapest way through, FAR when there is none; reached: the last layer that any way reaches."""

    to: tuple[Cost, ...]
    best: int
    reached: int


def forward(graph: ChoiceGraph, costs: Costs) -> Forward:
    """The cheapest way to every node."""
    to = [costs.nodes[0]]
    for index, steps in enumerate(graph.steps):
        cheapest = np.full(len(graph.layers[index + 1]), FAR, np.int64)
        if len(steps):
            ways = to[-1][steps.tail]
            ways += costs.steps[index]
            starts = steps.starts[:-1]
            cheapest[steps.head[starts]] = np.minimum.reduceat(ways, starts)
        to.append(np.minimum(cheapest + costs.nodes[index + 1], FAR))
    last = np.where(may_end(graph.layers[-1]), to[-1], FAR)
    alive = [index for index, ways in enumerate(to) if (ways < FAR).any()]
    return Forward(tuple(to), int(last.min()), alive[-1] if alive else -1)


@dataclass(frozen=True)
class Near:
    """What lies within ``gap`` of the best: for each layer the nodes kept (ascending) and the
    cheapest way on from each; for each pair of layers the steps kept, and the cheapest whole way
    through each."""

    gap: int
    nodes: tuple[Rows, ...]
    on: tuple[Cost, ...]
    steps: tuple[Rows, ...]
    through: tuple[Cost, ...]


def nearest(graph: ChoiceGraph, costs: Costs, ahead: Forward, gap: int) -> Near:
    """The nodes and steps whose cheapest whole way costs at most best + ``gap``."""
    limit = ahead.best + gap
    ends = may_end(graph.layers[-1]) & (ahead.to[-1] <= limit)
    nodes = [np.flatnonzero(ends)]
    on = [np.zeros(len(nodes[0]), np.int64)]
    kept: list[Rows] = []
    through: list[Cost] = []
    for index in range(len(graph.steps) - 1, -1, -1):
        steps = graph.steps[index]
        after = np.full(len(graph.layers[index + 1]), FAR, np.int64)
        after[nodes[-1]] = on[-1] + costs.nodes[index + 1][nodes[-1]]
        into = _into(steps.head, nodes[-1])
        ways = costs.steps[index][into] + after[steps.head[into]]
        whole = ahead.to[index][steps.tail[into]] + ways
        close = whole <= limit
        rows, ways, whole = into[close], ways[close], whole[close]
        tails = steps.tail[rows]
        cheapest = np.full(len(graph.layers[index]), FAR, np.int64)
        np.minimum.at(cheapest, tails, ways)
        kept.append(rows)
        through.append(whole)
        nodes.append(np.unique(tails).astype(np.intp))
        on.append(cheapest[nodes[-1]])
    return Near(
        gap,
        tuple(reversed(nodes)),
        tuple(reversed(on)),
        tuple(reversed(kept)),
        tuple(reversed(through)),
    )


def _into(heads: NDArray[np.int32], wanted: Rows) -> Rows:
    """Rows of ``heads`` (ascending) whose head is one of ``wanted`` (ascending)."""
    starts = np.searchsorted(heads, wanted, side="left")
    ends = np.searchsorted(heads, wanted, side="right")
    if not len(wanted):
        return np.zeros(0, np.intp)
    return np.concatenate([np.arange(s, e) for s, e in zip(starts, ends, strict=True)])
