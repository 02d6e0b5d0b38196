"""What a quota counts at the nodes of the whole graph by themselves, and where it counts.

Public: where_counted, wheres_counted, counts_of_nodes.
"""

from collections.abc import Sequence

import numpy as np

from scoring.counts import barred, passing
from scoring.difficulty import stretch_difficulty
from scoring.moment import Moment
from solver.arrays import Rows
from solver.conditions.quota import Quota
from solver.layers import Layer
from tune.tune import Tune


def where_counted(quota: Quota, tune: Tune, moments: Sequence[Moment]) -> tuple[bool, ...]:
    """Per moment: whether the quota counts there."""
    bars = quota.bars.of(tune)
    return tuple(moment.written in bars for moment in moments)


def wheres_counted(
    quota: Quota, tune: Tune, moments: Sequence[Moment]
) -> tuple[tuple[bool, ...], ...]:
    """The same for each part that the limits hold in by itself: all together, or bar by bar."""
    where = where_counted(quota, tune, moments)
    if not quota.each:
        return (where,)
    played = dict.fromkeys(m.bar for m, there in zip(moments, where, strict=True) if there)
    return tuple(tuple(moment.bar == bar for moment in moments) for bar in played)


def counts_of_nodes(
    quota: Quota, layers: Sequence[Layer], where: Sequence[bool]
) -> list[Rows | None]:
    """Per moment (nodes of its layer,): what each counts without the move there; None for nothing.

    Passing notes are counted anywhere; bars laid, and a stretch that is hard, where the tune
    begins, for no move leads there.
    """
    out: list[Rows | None] = [None] * len(layers)
    if quota.what == "passing":
        for index, layer in enumerate(layers):
            if where[index]:
                out[index] = passing(layer.labels.role[layer.label]).astype(np.intp)
        return out
    first = layers[0]
    if where[0] and quota.what == "barred":
        out[0] = barred(first.shapes)[first.shape].astype(np.intp)
    if where[0] and quota.what == "hard":
        hard = stretch_difficulty(first.shapes) > (quota.above or 0)
        out[0] = hard[first.shape].astype(np.intp)
    return out
