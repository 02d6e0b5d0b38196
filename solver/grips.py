"""Grips: every hand shape that was asked for on one fretboard, made and counted once.

A hand shape's states and what holding it costs depend neither on how the strings are tuned nor on
what is struck, so layers, keys and tunings share them.

Public: Grips, GripRows, Frets, Places.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fretboard.fingering import fingerings, untuned
from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Bools, Ints, Shapes
from scoring.difficulty import stretch_difficulty
from scoring.terms import SHAPE_TERMS
from solver.arrays import Rows
from solver.conditions.limits import Limits
from solver.hand_states import HandStates
from solver.keeping import shapes_left

Frets = tuple[int, ...]
Places = tuple[int, ...]


@dataclass(frozen=True)
class GripRows:
    """Grips, one row each. frets, fingers: (n, courses); place: (n,) mm; codes: (n, 7), see
    ``HandStates.numbered``; amounts: (n, terms) what each counts by itself, by ``SHAPE_TERMS``;
    stretch: (n,) percent of the greatest stretch."""

    frets: Ints
    fingers: Ints
    place: Ints
    codes: Rows
    amounts: Ints
    stretch: Ints

    @classmethod
    def of(cls, grips: Sequence[Grip], instrument: Instrument, hands: HandStates) -> "GripRows":
        """Of grips on that fretboard, their states numbered among those of ``hands``."""
        nothing = (False,) * len(instrument.courses)
        shapes = Shapes.of([(grip, nothing) for grip in grips], instrument, hands.hand)
        amounts = np.stack([term.amount(shapes) for term in SHAPE_TERMS], axis=1)
        codes = hands.numbered(shapes)
        stretch = stretch_difficulty(shapes)
        return cls(shapes.frets, shapes.fingers, shapes.place, codes, amounts, stretch)

    def with_more(self, more: "GripRows") -> "GripRows":
        both = zip(vars(self).values(), vars(more).values(), strict=True)
        return GripRows(*(np.concatenate(pair) for pair in both))


class Grips:
    """Grips of one hand, numbered in the order in which they were asked for."""

    def __init__(self, instrument: Instrument, hand: Hand) -> None:
        self.instrument, self.hand = instrument, hand
        self.hands = HandStates(instrument, hand)
        self._rows: dict[tuple[Frets, Places], range] = {}
        self.made = GripRows.of([], instrument, self.hands)
        self._within: dict[Limits, Bools] = {}

    def serve(self, instrument: Instrument, hand: Hand) -> bool:
        """Whether that hand has these grips on that instrument, however it is tuned."""
        return hand == self.hand and untuned(instrument) == untuned(self.instrument)

    def rows(self, asked: Sequence[Frets], places: Places) -> list[range]:
        """For each its grips' rows of ``made``, by fingers; where no string is stopped, of a hand
        that waits at one of the places (mm), in order."""
        keys = [(frets, () if self._stops(frets) else places) for frets in asked]
        missing = [key for key in dict.fromkeys(keys) if key not in self._rows]
        grips: list[Grip] = []
        new: dict[tuple[Frets, Places], range] = {}
        for key in missing:
            first = len(self.made.place) + len(grips)
            grips += self._grips(*key)
            new[key] = range(first, len(self.made.place) + len(grips))
        if grips:
            self.made = self.made.with_more(GripRows.of(grips, self.instrument, self.hands))
        self._rows |= new  # last: whoever is interrupted before has asked for nothing
        return [self._rows[key] for key in keys]

    def shapes(self, rows: Rows | slice, struck: Bools, instrument: Instrument) -> Shapes:
        """Those rows of ``made`` with what is struck, (rows, courses), on the fretboard as it is
        tuned."""
        made = self.made
        frets, fingers, place = made.frets[rows], made.fingers[rows], made.place[rows]
        return Shapes(frets, fingers, struck, place, instrument, self.hand)

    def within(self, limits: Limits) -> Bools:
        """(grips,): which hold the limits that a shape holds by itself."""
        known = self._within.get(limits, np.zeros(0, np.bool_))
        if len(known) < len(self.made.place):
            new = slice(len(known), None)
            struck = np.zeros(self.made.frets[new].shape, np.bool_)
            shapes = self.shapes(new, struck, self.instrument)
            known = np.append(known, shapes_left(shapes, limits))
            self._within[limits] = known
        return known

    def _grips(self, frets: Frets, places: Places) -> Sequence[Grip]:
        if self._stops(frets):
            return fingerings(frets, self.instrument, self.hand)
        return [Grip(frets, (-1,) * len(frets), place) for place in places]

    def _stops(self, frets: Frets) -> bool:
        return any(fret > self.instrument.capo for fret in frets)
