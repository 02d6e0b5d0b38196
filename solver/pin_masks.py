"""What one pin leaves of one layer.

Public: Demand, Asked, holds, knows, named_finger.
"""

from dataclasses import dataclass

import numpy as np

from scoring.choice import ROLE_CODE, Bools, Ints, Shapes
from scoring.moment import Moment
from solver.conditions.few_shapes import LearnedShape
from solver.conditions.pinned import (
    Barred,
    BassNote,
    BassRole,
    FingerDown,
    Fingering,
    Hands,
    OneString,
    Shape,
)
from solver.conditions.wording import SILENT
from solver.layers import Layer

Asked = Shape | OneString | Fingering | FingerDown | Barred | BassNote | BassRole | Hands


@dataclass(frozen=True)
class Demand:
    """What one pin asks of one moment; forbid: it must not be so."""

    asked: Asked
    forbid: bool = False


def holds(layer: Layer, demand: Demand) -> Bools:
    """(nodes,): where the demand is met."""
    asked, moment, shapes = demand.asked, layer.moment, layer.shapes
    if isinstance(asked, BassNote | BassRole):
        there = _bass(layer, asked)
        struck = shapes.struck[layer.shape, 0]
        return np.asarray(~(struck & there) if demand.forbid else ~struck | there)
    if isinstance(asked, FingerDown):
        by_shape = ~(shapes.fingers == asked.finger).any(axis=1)
    elif isinstance(asked, Barred):
        by_shape = ~_barred(shapes)
    elif isinstance(asked, Fingering):
        frets = LearnedShape(asked.shape.frets)
        by_shape = ~_is(shapes, frets) | _is(shapes, asked.shape)
    elif isinstance(asked, Hands):
        by_shape = _exactly(shapes, asked)
    elif demand.forbid:
        by_shape = ~_whole(shapes, asked)
    else:
        by_shape = _fixed(shapes, asked, moment)
    return np.asarray(by_shape[layer.shape])


def _bass(layer: Layer, asked: BassNote | BassRole) -> Bools:
    """(nodes,): whether the bass string's note, struck or not, is that note or has that role."""
    if isinstance(asked, BassRole):
        return np.asarray(layer.labels.role[layer.label] == ROLE_CODE[asked.role])
    pitch = layer.shapes.pitch[layer.shape, 0]
    return np.asarray(
        pitch % 12 == asked.pitch_class if asked.pitch is None else pitch == asked.pitch
    )


def _barred(shapes: Shapes) -> Bools:
    counts = (shapes.fingers[:, :, None] == np.arange(5)[None, None, :]).sum(axis=1)
    return np.asarray((counts > 1).any(axis=1))


def _fixed(shapes: Shapes, shape: Shape | OneString, moment: Moment) -> Bools:
    """(shapes,): every string that sounds is as said, and what is struck as asked sounds."""
    left = np.ones(len(shapes), np.bool_)
    for course, fret in enumerate(shape.frets):
        here, finger = shapes.frets[:, course], named_finger(shape, course)
        if fret == SILENT:
            left &= here < 0
        elif fret is not None:
            left &= (here == fret) | ((here < 0) & (not moment.strikes[0][course]))
        left &= _by(shapes.fingers[:, course], finger) | (shapes.fingers[:, course] < 0)
    return left


def _whole(shapes: Shapes, shape: Shape | OneString) -> Bools:
    """(shapes,): the whole shape is there."""
    capo = shapes.instrument.capo
    stopped = any(fret is not None and fret > capo for fret in shape.frets)
    there = np.ones(len(shapes), np.bool_)
    for course, fret in enumerate(shape.frets):
        here, finger = shapes.frets[:, course], named_finger(shape, course)
        if fret is not None:
            there &= (here == fret) | ((here < 0) & (stopped and fret == capo))
        there &= _by(shapes.fingers[:, course], finger)
    return there


def _exactly(shapes: Shapes, hands: Hands) -> Bools:
    """(shapes,): every string is as said."""
    left = np.ones(len(shapes), np.bool_)
    for course, fret in enumerate(hands.shape.frets):
        if fret is not None:
            left &= shapes.frets[:, course] == fret
        left &= _by(shapes.fingers[:, course], named_finger(hands.shape, course))
        if hands.struck is not None:
            left &= shapes.struck[:, course] == hands.struck[course]
    return left


def named_finger(shape: Shape | OneString, course: int) -> int | None:
    """The finger named for a string; None where none is."""
    finger = None if shape.fingers is None else shape.fingers[course]
    return None if finger == -1 else finger


def _by(fingers: Ints, finger: int | None) -> Bools:
    return np.ones(len(fingers), np.bool_) if finger is None else np.asarray(fingers == finger)


def knows(shapes: Shapes, known: tuple[LearnedShape, ...]) -> Bools:
    """(shapes,): no finger is down, or the shape is known."""
    stopped = shapes.fingers >= 0
    there: Bools = np.asarray(~stopped.any(axis=1))
    for shape in known:
        there = np.asarray(there | _is(shapes, shape))
    return there


def _is(shapes: Shapes, shape: LearnedShape) -> Bools:
    """(shapes,): exactly the shape's strings are stopped, at its frets and by its fingers."""
    fits = np.ones(len(shapes), np.bool_)
    for course, fret in enumerate(shape.frets):
        down = shapes.fingers[:, course] >= 0
        fits &= (down & (shapes.frets[:, course] == fret)) if fret is not None else ~down
        if shape.fingers is not None and fret is not None:
            fits &= shapes.fingers[:, course] == shape.fingers[course]
    return fits
