"""Of several answers that cost the same, the first: moment by moment the lowest node that still
belongs to a best answer, so that the same tune always gets the same hands, whatever the solver's
seed or thread order.

Where one way through is all that is asked, a walk over the kept graph finds it: its steps that
give nothing away make up every best answer, and nothing else. Where other families are asked for
too, CP-SAT is asked for the lowest of the numbers that the moments' ranks spell, some moments at
a time.

Public: first_best, first_allowed.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence

import networkx as nx

from solver.prune import START

DIGITS = 1 << 34
"""How large a number of ranks may become before it is asked for."""

Lowest = Callable[[Mapping[int, Sequence[int]], Mapping[int, int]], int | None]
"""Called with moment → its positions in order, and moment → the weight of its rank: the least sum
of weight × rank that an answer still allowed has, to which the model is then held; None when it
cannot be told in time."""


def first_best(kept: nx.DiGraph, last: int) -> tuple[int, ...]:
    """One position a moment: the lexicographically first way through the kept graph that gives
    nothing away."""
    positions: list[int] = []
    at = START
    while at[0] < last:
        at = min(head for _, head, cost in kept.out_edges(at, data="reduced") if cost == 0)
        positions.append(at[1])
    return tuple(positions)


def first_allowed(choices: Sequence[Sequence[int]], lowest: Lowest) -> tuple[int, ...] | None:
    """One position a moment: the lexicographically first that ``lowest`` allows; None when it
    could not be told in time. choices: each moment's positions, ascending."""
    positions = [options[0] for options in choices]
    for batch in _batches(choices):
        weights, weight = {}, 1
        for moment in reversed(batch):
            weights[moment] = weight
            weight *= len(choices[moment])
        found = lowest({moment: choices[moment] for moment in batch}, weights)
        if found is None:
            return None
        for moment in batch:
            rank, found = divmod(found, weights[moment])
            positions[moment] = choices[moment][rank]
    return tuple(positions)


def _batches(choices: Sequence[Sequence[int]]) -> Iterator[list[int]]:
    """The moments that have a choice, in order, as many at a time as ``DIGITS`` allows."""
    batch: list[int] = []
    size = 1
    for moment, options in enumerate(choices):
        if len(options) < 2:
            continue
        if batch and size * len(options) > DIGITS:
            yield batch
            batch, size = [], 1
        batch.append(moment)
        size *= len(options)
    if batch:
        yield batch
