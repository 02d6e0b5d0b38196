"""Multipliers on the whole graph: what all families carry there, added to its costs.

Public: charged_costs.
"""

from collections.abc import Sequence

import numpy as np

from solver.arrays import Cost
from solver.family import Family, Values
from solver.links import Charges
from solver.passes import Costs
from solver.question import Question


def charged_costs(
    question: Question, families: Sequence[Family], carried: Sequence[Values]
) -> Costs:
    """The question's costs with what the families charge; carried: as ``Family.carried`` gives."""
    if not families:
        return question.costs
    nodes = [family.carry(own) for family, own in zip(families, carried, strict=True)]
    steps = [family.charges(own) for family, own in zip(families, carried, strict=True)]
    charges = [_joined(parts) for parts in zip(*steps, strict=True)]
    return question.costs.priced(_summed(nodes)).charged(charges)


def _summed(parts: Sequence[Sequence[Cost | None]]) -> list[Cost | None]:
    """Per moment, the sum of what there is."""
    out: list[Cost | None] = []
    for column in zip(*parts, strict=True):
        there = [part for part in column if part is not None]
        out.append(np.sum(there, axis=0) if there else None)
    return out


def _joined(parts: Sequence[Charges]) -> Charges:
    return tuple(charge for part in parts for charge in part)
