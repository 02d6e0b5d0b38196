"""What hands can hold: the shapes that moments allow, with what holding them costs.

Moments that ask the same of the hand, however long they are and wherever they stand, have the same
shapes.

Public: Held, HeldShapes, by_themselves.
"""

from dataclasses import dataclass, replace

import numpy as np

from fretboard.fingering import open_places
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Bools, Ints, Shapes
from scoring.difficulty import stretch_difficulty
from scoring.moment import Moment, Strokes
from scoring.terms import SHAPE_TERMS
from solver.arrays import Rows
from solver.errors import StyleError
from solver.grips import Frets, Grips
from solver.hand_states import HandStates
from solver.keeping import EVERY_SHAPE, Keeping
from solver.shapes import frets_at
from solver.states import Coded, States
from solver.style import Style


@dataclass(frozen=True, eq=False)
class HeldShapes:
    """Shapes in order of frets, fingers, place, strokes. number: of their own; coded: by the
    numbers of their states; amounts: term name → (shapes,), what each counts by itself, terms that
    count nothing left out; stretch: (shapes,) percent of the greatest stretch."""

    number: int
    states: States
    shapes: Shapes
    coded: Coded
    amounts: dict[str, Ints]
    stretch: Ints

    def __len__(self) -> int:
        return len(self.shapes)


def by_themselves(shapes: Shapes) -> HeldShapes:
    """Shapes of which is asked what they are, never what they cost."""
    states = States(HandStates(shapes.instrument, shapes.hand))
    return HeldShapes(0, states, shapes, Coded((), ()), {}, stretch_difficulty(shapes))


class Held:
    """What one hand can hold on one instrument in one style, but for shapes that are not kept.

    grips: of the same fretboard and hand, where others ask for them too; ValueError for others.
    Raises StyleError for a noter where more than the melody string is stopped.
    """

    def __init__(
        self,
        instrument: Instrument,
        hand: Hand,
        style: Style,
        keeping: Keeping = EVERY_SHAPE,
        grips: Grips | None = None,
    ) -> None:
        self.instrument, self.hand, self.style, self.keeping = instrument, hand, style, keeping
        self.grips = Grips(instrument, hand) if grips is None else grips
        if hand.noter and style.texture != "drone":
            raise StyleError(
                "a noter stops the melody string alone, and only a drone can be played so: take "
                "--texture drone, or a hand of fingers"
            )
        if not self.grips.serve(instrument, hand):
            raise ValueError(
                f"grips of another hand or fretboard than {hand.name} on {instrument.name}"
            )
        self.states = States(self.grips.hands)
        self._places = open_places(instrument, instrument.capo + style.bass_ceiling)
        self._asked: dict[Moment, HeldShapes] = {}
        self._known: dict[bytes, HeldShapes] = {}

    def at(self, moment: Moment) -> HeldShapes:
        """What the moment allows; the same object for the same shapes."""
        asked = _of_the_hand(moment)
        if asked not in self._asked:
            rows, struck = self._rows(moment)
            content = rows.tobytes() + struck.tobytes()
            if content not in self._known:
                self._known[content] = self._made(rows, struck)
            self._asked[asked] = self._known[content]
        return self._asked[asked]

    def _rows(self, moment: Moment) -> tuple[Rows, Bools]:
        """(n,) the rows of the grips, and (n, courses) what is struck."""
        strokes: dict[Frets, list[Strokes]] = {}
        for frets, stroke in frets_at(moment, self.instrument, self.style):
            strokes.setdefault(frets, []).append(stroke)
        found = self.grips.rows(list(strokes), self._places)
        each = list(zip(found, strokes.values(), strict=True))
        rows = np.array([row for some, ways in each for row in some for _ in ways], np.intp)
        hit = [way for some, ways in each for _ in some for way in ways]
        struck = np.array(hit, np.bool_).reshape(-1, len(self.instrument.courses))
        if self.keeping.limits is not None:
            left = self.grips.within(self.keeping.limits)[rows]
            rows, struck = rows[left], struck[left]
        if self.keeping.up and not moment.quiet:
            left = self.keeping.stays_up(self._shapes(rows, struck))
            rows, struck = rows[left], struck[left]
        return rows, struck

    def _made(self, rows: Rows, struck: Bools) -> HeldShapes:
        made, shapes = self.grips.made, self._shapes(rows, struck)
        counted = zip(SHAPE_TERMS, made.amounts[rows].T, strict=True)
        return HeldShapes(
            len(self._known),
            self.states,
            shapes,
            self.states.coded(shapes, made.codes[rows]),
            {term.about.name: amount for term, amount in counted if amount.any()},
            made.stretch[rows],
        )

    def _shapes(self, rows: Rows, struck: Bools) -> Shapes:
        return self.grips.shapes(rows, struck, self.instrument)


def _of_the_hand(moment: Moment) -> Moment:
    """The moment without what its shapes do not depend on: its place, length and beat, and what is
    asked of the bass line there."""
    return replace(
        moment,
        bar=0, written=0, offset=0, length=0, ms=0,
        change=False, downbeat=False, strong=False, half_bar=False,
        moves=False, run=False, runs_to=None, keeps=False, leads=False, judged=False, breath=False,
    )  # fmt: skip
