"""Layers: every state that a moment can be in.

A state (node) is a hand shape with what is struck, and a label: the bass note's role, the way a
foreign bass note goes on, the bass line's pitch, and the chord's tones heard so far. Nodes are
ordered by shape (frets, fingers, place, strokes), then by label; that order breaks ties between
equal answers.

A foreign bass note binds its neighbours, so its label carries a ``going``: a passing note going up
or down, a neighbour note that returns by so many semitones, an approach to the next root.

The rules of the bass line are in ``solver.line``.

Public: Layer, Labels, Past, build_layer.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from scoring.carrier import carrier
from scoring.choice import (
    NO_ROLE,
    ROLE_CODE,
    Bools,
    Choice,
    Ints,
    Shapes,
    Stands,
    remembered,
    sounding_bits,
)
from scoring.moment import ROLES, Moment
from scoring.terms import STAND_TERMS
from scoring.weights import Weights
from solver.arrays import Rows, distinct, spread
from solver.held import Held, HeldShapes
from solver.line import COMES_BY, STRAIGHT, ways_on
from solver.roles import bass_roles


@dataclass(frozen=True)
class Past:
    """What the layer before leaves to the next: heard: sets of tones heard by then; ways: pitches
    where the bass line may be, each with a way that it may be going."""

    heard: frozenset[int] = frozenset({0})
    ways: frozenset[tuple[int, int]] = frozenset({(-1, STRAIGHT)})

    @property
    def lines(self) -> frozenset[int]:
        """Pitches where the bass line may be."""
        return frozenset(line for line, _ in self.ways)

    @classmethod
    def of(cls, layer: "Layer") -> "Past":
        labels = layer.labels
        ways = zip(labels.line.tolist(), labels.going.tolist(), strict=True)
        return cls(frozenset(labels.heard.tolist()), frozenset(ways))


@dataclass(frozen=True)
class Labels:
    """The distinct labels of a layer, in order; all arrays (labels,)."""

    role: Ints
    going: Ints
    line: Ints
    heard: Ints

    def __len__(self) -> int:
        return len(self.role)


@dataclass(frozen=True)
class Layer:
    """All nodes of one kind of moment.

    held, labels: the distinct shapes and labels, in order; kinds: (kinds, 4) what distinct shapes
    do to the labels: bass pitch struck, bass pitch ringing (-1: not), a bit for each remembered
    tone that sounds, whether the bass note struck is the melody's; kind: (shapes,) each shape's;
    shape, label: (nodes,) which ones a node has; amounts: term name → (nodes,), terms that count
    nothing left out.
    """

    moment: Moment
    held: HeldShapes
    labels: Labels
    kinds: Ints
    kind: Rows
    shape: Rows
    label: Rows
    amounts: dict[str, Ints]

    def __len__(self) -> int:
        return len(self.shape)

    @property
    def shapes(self) -> Shapes:
        """The distinct shapes, in order."""
        return self.held.shapes

    @cached_property
    def kind_labels(self) -> Bools:
        """(kinds, labels): which labels the shapes of a kind may have."""
        table = np.zeros((len(self.kinds), len(self.labels)), np.bool_)
        table[self.kind[self.shape], self.label] = True
        return table

    def cost(self, weights: Weights) -> NDArray[np.int64]:
        """(nodes,): ms that each node costs by itself."""
        total = np.zeros(len(self), np.int64)
        for name, amount in self.amounts.items():
            total += amount.astype(np.int64) * weights[name]
        return total

    def choice(self, node: int) -> Choice:
        """What the player does in that node."""
        grip, struck = self.shapes.row(int(self.shape[node]))
        code = int(self.labels.role[self.label[node]])
        return Choice(grip, struck, None if code == NO_ROLE else ROLES[code])


def build_layer(moment: Moment, past: Past, held: Held) -> Layer:
    """Every state in which the moment can be; no nodes when it cannot be played."""
    found = held.at(moment)
    shapes = found.shapes
    kinds, kind = _kinds(shapes, moment)
    options = [
        sorted(
            (role, going, line, heard)
            for role, going, line in _bass_states(
                moment,
                past,
                struck,
                ringing,
                bass_roles(moment, struck, held.instrument, bool(carries)),
            )
            for heard in _heard_states(moment, past, sounding)
        )
        for struck, ringing, sounding, carries in kinds.tolist()
    ]
    every = sorted(set().union(*options))
    number = {label: index for index, label in enumerate(every)}
    labels = Labels(*np.array(every, np.int32).reshape(-1, 4).T)
    starts = np.cumsum([0, *map(len, options)])
    shape, place = spread(starts[kind], starts[kind + 1])
    label = np.array([number[each] for own in options for each in own], np.intp)[place]
    stands = Stands(shapes.take(shape), labels.role[label], labels.line[label], labels.heard[label])
    amounts = {name: amount[shape] for name, amount in found.amounts.items()}
    amounts |= {term.about.name: term.amount(stands, moment) for term in STAND_TERMS}
    return Layer(
        moment,
        found,
        labels,
        kinds,
        kind,
        shape,
        label,
        {name: amount for name, amount in amounts.items() if amount.any()},
    )


def _kinds(shapes: Shapes, moment: Moment) -> tuple[Ints, Rows]:
    """Distinct (bass struck, bass ringing, tones sounding, bass struck as the melody), and each
    shape's number."""
    pitch, struck = shapes.pitch[:, 0], shapes.struck[:, 0]
    sounding = sounding_bits(shapes, moment.chord) & remembered(moment.chord)
    carries = struck & (carrier(shapes, moment) == 0)
    rows = np.stack(
        [np.where(struck, pitch, -1), np.where(struck, -1, pitch), sounding, carries], axis=1
    )
    return distinct(rows)


def _bass_states(
    moment: Moment, past: Past, struck: int, ringing: int, roles: list[str]
) -> Iterator[tuple[int, int, int]]:
    """(role, going, line) for a bass string that is struck, rings, or (both -1) is silent; roles:
    what the note may be when struck."""
    if struck >= 0:
        for role in roles:
            for going in _goings(role, struck, moment, past):
                yield ROLE_CODE[role], going, struck
    elif moment.chord is None and ringing < 0:
        yield NO_ROLE, STRAIGHT, -1
    else:
        for line, going in sorted(past.ways):
            if ringing in (line, -1):
                yield NO_ROLE, going, line


def _goings(role: str, pitch: int, moment: Moment, past: Past) -> list[int]:
    """The ways on for a bass note of that role, where the line before allows them."""
    lines = past.lines
    return [
        going
        for going in ways_on(role, moment.leads)
        if going not in COMES_BY or any(pitch - by in lines for by in COMES_BY[going])
    ]


def _heard_states(moment: Moment, past: Past, sounding: int) -> list[int]:
    """What may have been heard by now: what sounds, and where the chord goes on, more."""
    if moment.change or moment.chord is None:
        return [sounding]
    return sorted({heard | sounding for heard in past.heard})
