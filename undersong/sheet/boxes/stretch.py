"""The stretch of fretboard that every diagram of a sheet shows, and how large it is drawn.

All diagrams of a sheet begin at the nut (or capo) and reach to the same fret, so that where a shape
lies on paper is where it lies on the instrument, and the way of the hand from one to the next can
be seen. As many stand beside each other as leave the finger's letter room between two frets.

Lengths on the instrument are tenths of a mm, on paper mm.

Public: Stretch, stretch_for, Fit, WIDE, CLOSE.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from fretboard.instrument import Instrument
from undersong.sheet.used import UsedShape

DOT, SMALL_DOT, LEAST_DOT = 4.3, 3.4, 2.7
"""How wide the mark of a finger is (mm) where frets leave it the room; no more diagrams stand
beside each other than let it be the second; the third where even one is too narrow."""

LEAST_GAP = 3.1
"""Between two frets, so that their numbers stand apart."""

NARROWEST = 50
"""mm of a column, for what stands above and beneath the diagram."""


@dataclass(frozen=True)
class Fit:
    """What a sheet of diagrams keeps to, mm before anything is enlarged. column: its width at the
    least; dot, gap: as ``SMALL_DOT`` and ``LEAST_GAP``."""

    column: float = NARROWEST
    dot: float = SMALL_DOT
    gap: float = LEAST_GAP


WIDE, CLOSE = Fit(), Fit(column=44, dot=2.9, gap=2.4)
"""A sheet of its own, and diagrams among other things."""

LARGEST = 0.45
"""No diagram is drawn larger than that share of the instrument."""

FEWEST = 4
"""Frets that a diagram shows at the least, as far as there are so many."""


@dataclass(frozen=True)
class Stretch:
    """instrument; frets: those of any course above the nut or capo, in semitones, ascending;
    share: mm on paper to a mm of the instrument; columns: of the sheet; dot: mm across."""

    instrument: Instrument
    frets: tuple[int, ...]
    share: float
    columns: int
    dot: float

    def at(self, fret: int) -> float:
        """mm on paper from the nut (or capo) to the fret."""
        capo = self.instrument.capo
        return (self.instrument.along(fret) - self.instrument.along(capo)) / 10 * self.share

    @property
    def length(self) -> float:
        """mm on paper from the nut (or capo) to the last fret."""
        return self.at(self.frets[-1])


def stretch_for(
    instrument: Instrument,
    used: Sequence[UsedShape],
    room: float,
    beside: float,
    larger: float,
    fit: Fit = WIDE,
) -> Stretch:
    """room: mm for all columns; beside: mm that a column needs besides the frets; larger: by how
    much letters grow; fit: what it keeps to."""
    frets = _frets(instrument, used)
    stopped = {
        (course, fret)
        for shape in used
        for course, fret in enumerate(shape.shape.frets)
        if fret is not None
    }
    long = (instrument.along(frets[-1]) - instrument.along(instrument.capo)) / 10
    for columns in range(max(1, int(room / (fit.column * larger))), 0, -1):
        share = min(LARGEST * larger, (room / columns - beside) / long)
        tightest = min((instrument.gap(*place) for place in stopped), default=1000) / 10 * share
        wires = (instrument.capo, *frets)
        apart = min(
            (instrument.along(b) - instrument.along(a)) / 10 * share for a, b in pairwise(wires)
        )
        if tightest - 0.2 >= fit.dot * larger and apart >= fit.gap * larger:
            break
    dot = min(DOT * larger, max(LEAST_DOT * larger, tightest - 0.2))
    return Stretch(instrument, frets, share, columns, dot)


def _frets(instrument: Instrument, used: Sequence[UsedShape]) -> tuple[int, ...]:
    every = sorted(
        {fret for course in instrument.courses for fret in course.frets if fret > instrument.capo}
    )
    highest = max(fret for shape in used for fret in shape.shape.frets if fret is not None)
    return tuple(every[: max(FEWEST, every.index(highest) + 1)])
