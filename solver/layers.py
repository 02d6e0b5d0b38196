"""Layers: every state that a moment can be in.

A state (node) is a hand shape with what is struck, the bass note's role, the way a foreign bass
note goes on, the chord's tones heard so far, and the bass line's pitch. Nodes are ordered by
shape (frets, fingers, place, strokes), then role, line and heard tones; that order breaks ties
between equal answers.

A foreign bass note binds its neighbours, so its node carries a course (``Going``): a passing note
going up or down, a neighbour note that returns by so many semitones, an approach to the next root.

Public: Layer, build_layer, Going codes.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from fretboard.fingering import fingerings, open_places
from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import NO_ROLE, ROLE_CODE, Choice, Ints, Shapes, Stands, heard_bits
from scoring.moment import FOREIGN, ROLES, Moment, Strokes
from scoring.terms import STAND_TERMS
from scoring.weights import Weights
from solver.style import Style

STRAIGHT, PASSING_UP, PASSING_DOWN, APPROACH = 0, 1, 2, 7
RETURN_BY = {3: -2, 4: -1, 5: 1, 6: 2}
"""Neighbour codes → semitones back to the note that it decorates."""


@dataclass(frozen=True)
class Layer:
    """All nodes of one kind of moment.

    shapes: the distinct shapes, ordered; shape, role, going, line, heard: (nodes,); amounts: term
    name → (nodes,), zero columns left out.
    """

    moment: Moment
    shapes: Shapes
    shape: NDArray[np.intp]
    role: Ints
    going: Ints
    line: Ints
    heard: Ints
    amounts: dict[str, Ints]

    def __len__(self) -> int:
        return len(self.shape)

    def cost(self, weights: Weights) -> NDArray[np.int64]:
        """(nodes,): ms that each node costs by itself."""
        total = np.zeros(len(self), np.int64)
        for name, amount in self.amounts.items():
            total += amount.astype(np.int64) * weights[name]
        return total

    def choice(self, node: int) -> Choice:
        """What the player does in that node."""
        grip, struck = self.shapes.row(int(self.shape[node]))
        code = int(self.role[node])
        return Choice(grip, struck, None if code == NO_ROLE else ROLES[code])


@dataclass(frozen=True)
class Past:
    """What the layer before leaves to the next: heard: sets of tones heard by then; lines:
    pitches where the bass line may be."""

    heard: frozenset[int] = frozenset({0})
    lines: frozenset[int] = frozenset({-1})

    @classmethod
    def of(cls, layer: Layer) -> "Past":
        return cls(frozenset(layer.heard.tolist()), frozenset(layer.line.tolist()))


def build_layer(
    moment: Moment, past: Past, instrument: Instrument, hand: Hand, style: Style
) -> Layer:
    """Every state in which the moment can be; no nodes when it cannot be played."""
    rows = _shapes(moment, moment.roles, instrument, hand, style)
    if not rows and moment.fallback:
        rows = _shapes(moment, moment.fallback, instrument, hand, style)
        moment = replace(moment, roles=moment.fallback)
    rows.sort(key=lambda row: (row[0].frets, row[0].fingers, row[0].place, row[1]))
    shapes = Shapes.of(rows, instrument, hand)
    sounding = heard_bits(shapes, moment.chord)
    lines = sorted(past.lines) if moment.chord else [-1]
    nodes = [
        (index, role, going, line, heard)
        for index, (grip, struck) in enumerate(rows)
        for role, going, line in _bass_states(moment, grip, struck, instrument, lines)
        for heard in _heard_states(moment, past, int(sounding[index]))
    ]
    table = np.array(nodes, np.int32).reshape(-1, 5)
    shape = table[:, 0].astype(np.intp)
    role, going, line, heard = (table[:, column] for column in range(1, 5))
    stands = Stands(shapes.take(shape), role, line, heard)
    amounts = {term.about.name: term.amount(stands, moment) for term in STAND_TERMS}
    amounts = {name: amount for name, amount in amounts.items() if amount.any()}
    return Layer(moment, shapes, shape, role, going, line, heard, amounts)


def _roles_of(moment: Moment, pitch: int) -> list[str]:
    """The roles that a bass note of that pitch may have: the chord's own, else foreign ones."""
    own = [role for role in ROLES if role in moment.roles]
    tones = [role for role in own if moment.role_pitch_class(role) == pitch % 12]
    if tones:
        return tones[:1]
    chord = moment.chord
    if chord is None or pitch % 12 not in moment.scale or pitch % 12 in chord.pitch_classes:
        return []
    return [role for role in FOREIGN if role in moment.roles]


def _may_ring(moment: Moment) -> frozenset[int]:
    """Pitch classes of bass notes, struck earlier under this chord, that may ring on."""
    classes = (moment.role_pitch_class(role) for role in moment.roles)
    return frozenset(pc for pc in classes if pc is not None)


def _frets(
    moment: Moment, course: int, struck: bool, instrument: Instrument, style: Style
) -> list[int]:
    """Frets (−1: silent) that a course may have at this moment."""
    limit = instrument.capo + (style.bass_ceiling if course == 0 else style.highest)
    frets = [fret for fret in instrument.frets(course) if fret <= limit]
    chord = moment.chord
    if course == 0 and struck:
        return [f for f in frets if _roles_of(moment, instrument.pitch(0, f))]
    if course == 0:
        if moment.damped or not moment.plays[0]:
            return [-1]
        may_ring = _may_ring(moment)
        ringing = [f for f in frets if instrument.pitch(0, f) % 12 in may_ring]
        return ringing if moment.rings else [-1, *ringing]
    tones = chord.pitch_classes if chord else frozenset()
    sounding = [f for f in frets if instrument.pitch(course, f) % 12 in tones]
    if struck:
        return sounding
    if not moment.plays[course]:
        return [-1]
    opens = [] if instrument.capo in sounding else [instrument.capo]
    return [-1, *opens, *sounding]


def _shapes(
    moment: Moment, roles: frozenset[str], instrument: Instrument, hand: Hand, style: Style
) -> list[tuple[Grip, Strokes]]:
    moment = replace(moment, roles=roles)
    rows: list[tuple[Grip, Strokes]] = []
    courses = range(len(instrument.courses))
    for struck in moment.strikes:
        options = [_frets(moment, c, struck[c], instrument, style) for c in courses]
        for frets in product(*options):
            if style.bass_lowest and not _bass_is_lowest(frets, instrument):
                continue
            rows += [(grip, struck) for grip in _grips(frets, instrument, hand, style)]
    return rows


def _bass_is_lowest(frets: tuple[int, ...], instrument: Instrument) -> bool:
    if frets[0] < 0:
        return True
    bass = instrument.pitch(0, frets[0])
    return all(f < 0 or instrument.pitch(c, f) >= bass for c, f in enumerate(frets))


def _grips(
    frets: tuple[int, ...], instrument: Instrument, hand: Hand, style: Style
) -> Iterator[Grip]:
    if any(fret > instrument.capo for fret in frets):
        yield from fingerings(frets, instrument, hand)
        return
    fingers = (-1,) * len(frets)
    for place in open_places(instrument, instrument.capo + style.bass_ceiling):
        yield Grip(frets, fingers, place)


def _bass_states(
    moment: Moment, grip: Grip, struck: Strokes, instrument: Instrument, lines: list[int]
) -> Iterator[tuple[int, int, int]]:
    """(role, going, line) for a shape."""
    fret = grip.frets[0]
    if struck[0]:
        pitch = instrument.pitch(0, fret)
        for role in _roles_of(moment, pitch):
            goings = {
                "passing": (PASSING_UP, PASSING_DOWN),
                "neighbour": tuple(RETURN_BY),
                "approach": (APPROACH,),
            }.get(role, (STRAIGHT,))
            for going in goings:
                yield ROLE_CODE[role], going, pitch
    elif fret >= 0:
        yield NO_ROLE, STRAIGHT, instrument.pitch(0, fret)
    else:
        for line in lines:
            yield NO_ROLE, STRAIGHT, line


def _heard_states(moment: Moment, past: Past, sounding: int) -> list[int]:
    """What may have been heard by now: what sounds, and where the chord goes on, more."""
    if moment.change or moment.chord is None:
        return [sounding]
    return sorted({heard | sounding for heard in past.heard})
