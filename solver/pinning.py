"""Pins at work: which nodes of each layer they leave, before any pass over the graph.

A pin never widens the graph. What each pin means stands with its value
(``solver.conditions.pinned``); shapes of a given list with no price for others are held to here
too. Masks are worked out once for each layer and what is asked of it, however often both come.

Public: masks, masks_of, manners_of, demands_of, only_known, beats_of, Masks.
"""

from collections.abc import Sequence
from itertools import groupby

import numpy as np

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Bools
from scoring.moment import Moment
from solver.conditions import Conditions
from solver.conditions.few_shapes import LearnedShape
from solver.conditions.pin_text import check_frets
from solver.conditions.pinned import BassManner, Hands, Kept
from solver.conditions.pins import Pin, manners_of
from solver.conditions.wording import counted
from solver.errors import ConditionError
from solver.graph import ChoiceGraph
from solver.layers import Layer
from solver.pin_masks import Demand, holds, knows
from solver.spans import spans_of
from solver.style import Style
from tune.tune import Tune

__all__ = ["Masks", "beats_of", "demands_of", "manners_of", "masks", "masks_of", "only_known"]

Masks = tuple[Bools | None, ...]
"""(nodes,) a layer: which nodes are left; None: all."""

Demands = tuple[tuple[tuple[Pin, Demand], ...], ...]
"""For each moment the pins that speak of it, each with what it asks there."""


def masks(
    graph: ChoiceGraph,
    tune: Tune,
    pins: Sequence[Pin],
    known: tuple[LearnedShape, ...] | None = None,
) -> Masks:
    """The nodes of each layer that hold the pins, and have no shape but known ones.

    known: the only shapes allowed, None where all are. A mask may be all false: then the moment
    cannot be played as asked (``solver.refuse_pins`` says why). Raises ConditionError for pins on
    bars or beats that the tune does not have, and for bars kept with other strokes.
    """
    return _masks(graph, demands_of(tune, graph.moments, pins), known)


def _masks(graph: ChoiceGraph, asked: Demands, known: tuple[LearnedShape, ...] | None) -> Masks:
    """The nodes of each layer that hold what is asked there."""
    made: dict[tuple[int, ...], Bools | None] = {}
    out: list[Bools | None] = []
    for layer, demands in zip(graph.layers, asked, strict=True):
        key = (id(layer), *(id(demand) for _, demand in demands))
        if key not in made:
            made[key] = _mask(layer, tuple(demand for _, demand in demands), known)
        out.append(made[key])
    return tuple(out)


def masks_of(
    graph: ChoiceGraph,
    tune: Tune,
    conditions: Conditions,
    instrument: Instrument,
    hand: Hand,
    style: Style,
) -> Masks:
    """The masks for everything in the conditions that one moment alone can hold.

    Raises ConditionError for pins that cannot be on this instrument or contradict one another as
    they stand, NotPlayable, with the bar and the rule, where a moment has no node left.
    """
    from solver.refuse_pins import refuse_pins  # here: it needs what pins ask, from this module

    for pin in conditions.pins:
        try:
            check_frets(pin.pinned, instrument)
        except ConditionError as error:
            raise ConditionError(f"{pin.shown(instrument.told)}: {error}") from None
    asked = demands_of(tune, graph.moments, conditions.pins)
    found = _masks(graph, asked, only_known(conditions))
    refuse_pins(graph, tune, conditions, asked, found, instrument, hand, style)
    return found


def only_known(conditions: Conditions) -> tuple[LearnedShape, ...] | None:
    """The shapes that alone are allowed; None where others are, or have a price."""
    shapes = conditions.shapes
    return None if shapes is None or shapes.price is not None else shapes.known


def demands_of(tune: Tune, moments: Sequence[Moment], pins: Sequence[Pin]) -> Demands:
    """For each moment the pins that speak of it, each with what it asks there, the same object for
    the same; none in rests."""
    beats = beats_of(tune, moments) if any(pin.beat is not None for pin in pins) else None
    out: list[list[tuple[Pin, Demand]]] = [[] for _ in moments]
    for pin in pins:
        bars = pin.bars.of(tune)
        if isinstance(pin.pinned, BassManner):
            continue
        if isinstance(pin.pinned, Kept):
            _keep(pin, pin.pinned, moments, bars, out)
            continue
        reached, asked = False, (pin, Demand(pin.pinned, pin.forbid))
        for index, moment in enumerate(moments):
            there = beats is None or pin.beat in (None, beats[index])
            if there and moment.written in bars:
                reached = True
                if not moment.quiet:
                    out[index].append(asked)
        if not reached:
            raise ConditionError(
                f"{pin}: nothing is struck on beat {pin.beat} there; beats are counted from 1, "
                "as they are felt"
            )
    return tuple(tuple(demands) for demands in out)


def beats_of(tune: Tune, moments: Sequence[Moment]) -> list[int]:
    """The felt beat, from 1, in which each moment begins, counted as in a full bar."""
    spans = {span.number: span for span in spans_of(tune, "")}
    return [
        (moment.offset + spans[moment.bar].lead) // spans[moment.bar].metre.beat + 1
        for moment in moments
    ]


def _keep(
    pin: Pin,
    kept: Kept,
    moments: Sequence[Moment],
    bars: frozenset[int],
    out: list[list[tuple[Pin, Demand]]],
) -> None:
    """Adds each moment's own hands, in order, time by time."""
    times: dict[int, int] = {}
    asked: dict[Hands, tuple[Pin, Demand]] = {}
    for _, played in groupby(enumerate(moments), key=lambda pair: pair[1].bar):
        inside = list(played)
        written = inside[0][1].written
        if written not in bars:
            continue
        hands = kept.time(times.get(written, 0))
        times[written] = times.get(written, 0) + 1
        if len(hands) != len(inside):
            raise ConditionError(
                f"{pin}: the bar has {counted(len(inside), 'stroke')} and {len(hands)} "
                f"{'is' if len(hands) == 1 else 'are'} kept; keep the "
                "bass manner and the right hand that it had, or leave it free"
            )
        for (index, moment), hand in zip(inside, hands, strict=True):
            if not moment.quiet:
                out[index].append(asked.setdefault(hand, (pin, Demand(hand))))


def _mask(
    layer: Layer, demands: tuple[Demand, ...], known: tuple[LearnedShape, ...] | None
) -> Bools | None:
    """(nodes,): which nodes hold all demands; None where every one does."""
    if layer.moment.quiet or not (demands or known is not None):
        return None
    left = np.ones(len(layer), np.bool_)
    for demand in demands:
        left &= holds(layer, demand)
    if known is not None:
        left &= knows(layer.shapes, known)[layer.shape]
    return None if left.all() else left
