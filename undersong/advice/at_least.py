"""What a tune costs at least on a fretboard with more extra frets, known without solving it there.

More frets are more choices, and every choice that there was before is there still. It is not true
that no choice becomes dearer: a new fret narrows the room behind the next higher one, and a finger
that must arrive more exactly takes longer. So the bound comes from a fretboard that nobody builds:
it has all the frets, and behind each of them the room that the player's own has there, or would
have. On it every choice costs what it costs on her own, or less than on any fretboard between.

What the bass takes for root and octave in the manner ``figure``, and how high a bass part may go
where nobody says it, depend on the frets: there nothing is bounded.

Public: at_least, may_be_bounded, WideRoom.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fretboard.instrument import Instrument
from solver.conditions import Conditions
from solver.conditions.bars import Bars
from solver.conditions.pinned import BassManner, OneString
from solver.conditions.pins import Pin
from solver.search import Search
from solver.watch import Watch
from undersong.advice.piece import Piece


@dataclass(frozen=True)
class WideRoom(Instrument):
    """An instrument with the room behind its frets that ``own`` has there."""

    own: Instrument | None = None

    def gap(self, course: int, fret: int) -> int:
        return super().gap(course, fret) if self.own is None else self.own.gap(course, fret)


def may_be_bounded(piece: Piece, own: Instrument, other: Instrument) -> bool:
    """Whether all that can be played on ``own`` can be played, and is judged alike, on ``other``,
    which has the same frets and more; conditions that reach over the tune are not looked at."""
    style, conditions = piece.style(own), piece.conditions
    manners = {style.manner}
    manners |= {pin.pinned.manner for pin in conditions.pins if isinstance(pin.pinned, BassManner)}
    return (
        style == piece.style(other)
        and "figure" not in manners
        and conditions == Conditions(pins=conditions.pins)
    )


def at_least(
    piece: Piece, own: Instrument, others: Sequence[Instrument], watch: Watch
) -> tuple[int, ...]:
    """ms below which the piece cannot be on each of the others, which have the frets of ``own``
    and more; ``own`` can play it. One graph serves for all.

    Raises OutOfTime and Stopped.
    """
    courses = range(len(own.courses))
    full = [sorted({f for one in others for f in one.courses[c].frets}) for c in courses]
    every = tuple(
        replace(course, frets=tuple(frets)) for course, frets in zip(own.courses, full, strict=True)
    )
    wide = WideRoom(own.name, every, own.scale_mm, own.spacing_mm, own.capo, own.from_capo, own)
    search = Search(piece.tune, wide, piece.hand, piece.style(own))
    found = []
    for other in others:
        pins = tuple(
            Pin(Bars(), OneString(course, len(courses), fret), forbid=True)
            for course in courses
            for fret in full[course]
            if fret > own.capo and fret not in other.courses[course].frets
        )
        conditions = replace(piece.conditions, pins=(*piece.conditions.pins, *pins))
        found.append(search.least(piece.weights, conditions, watch))
    return tuple(found)
