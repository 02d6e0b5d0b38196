"""What being near to given frets costs, node by node.

Alike moments share a layer, but each has frets of its own to be near to; so this is worked out
once for each layer and row of frets, and belongs to the moment.

Public: near_prices, check_near.
"""

from collections.abc import Sequence

import numpy as np

from fretboard.instrument import Instrument
from scoring.moment import Moment
from solver.arrays import Cost
from solver.conditions.near import Near
from solver.conditions.wording import SILENT, Frets, counted
from solver.errors import ConditionError
from solver.graph import ChoiceGraph
from solver.layers import Layer


def near_prices(graph: ChoiceGraph, near: Near) -> list[Cost | None]:
    """(nodes,) a moment: the price times how many strings differ; None where nothing is named."""
    made: dict[tuple[int, Frets], Cost] = {}
    out: list[Cost | None] = []
    for moment, layer in zip(graph.moments, graph.layers, strict=True):
        frets = near.asked_at(moment)
        if frets is None:
            out.append(None)
            continue
        key = id(layer), frets
        if key not in made:
            made[key] = near.price * _apart(layer, frets)
        out.append(made[key])
    return out


def _apart(layer: Layer, frets: Frets) -> Cost:
    """(nodes,): how many strings have another fret."""
    apart = np.zeros(len(layer.shapes), np.int64)
    for course, fret in enumerate(frets):
        if fret == SILENT:
            apart += layer.shapes.frets[:, course] >= 0
        elif fret is not None:
            apart += layer.shapes.frets[:, course] != fret
    return np.asarray(apart[layer.shape])


def check_near(near: Near, instrument: Instrument, moments: Sequence[Moment]) -> None:
    """ConditionError where it speaks of other strings than there are, or of bars that are not."""
    if near.courses != len(instrument.courses):
        raise ConditionError(
            f"near: frets for {counted(near.courses, 'string')} are named, and the instrument has "
            f"{len(instrument.courses)}; give frets of this instrument"
        )
    last = moments[-1].bar
    if near.rows[-1].bar > last:
        raise ConditionError(
            f"near: bar {near.rows[-1].bar} is named, and the tune as played has {last}; give "
            "frets of this tune"
        )
