"""The grip: one hand shape, string by string, and where the hand is.

A string with a fret above the open string (or capo) is stopped by a finger; an open string has a
fret and no finger; a string with neither is not sounding and no finger is on it.

Public: Grip, printed.
"""

from dataclasses import dataclass

from fretboard.errors import FretboardError
from fretboard.hand import FINGERS, Hand
from fretboard.instrument import Instrument


@dataclass(frozen=True, order=True)
class Grip:
    """One hand shape.

    frets: semitones per course, bass first, -1 for a string that does not sound; fingers: finger
    numbers (0 thumb … 4 little finger) per course, -1 for none; place: mm from the nut to where
    the index finger is, or would be when relaxed.
    """

    frets: tuple[int, ...]
    fingers: tuple[int, ...]
    place: int

    def __post_init__(self) -> None:
        if len(self.frets) != len(self.fingers):
            raise FretboardError("a grip names a fret and a finger for every course")
        if any(fret < 0 <= finger for fret, finger in zip(self.frets, self.fingers, strict=True)):
            raise FretboardError("a string that does not sound carries no finger")
        if any(not -1 <= finger <= 4 for finger in self.fingers):
            raise FretboardError("fingers are numbered 0 (thumb) to 4 (little finger)")

    @property
    def down(self) -> frozenset[int]:
        """The fingers that stop a string."""
        return frozenset(finger for finger in self.fingers if finger >= 0)


def printed(
    grip: Grip, instrument: Instrument, from_capo: bool = False, hand: Hand | None = None
) -> str:
    """The grip as players write it, bass-middle-melody with fingers: ``3-1-0 (M I -)``; hand: the
    one that calls the fingers otherwise (a noter)."""
    letter = FINGERS.__getitem__ if hand is None else hand.letter
    frets = "-".join("x" if f < 0 else instrument.label(f, from_capo) for f in grip.frets)
    fingers = " ".join("-" if f < 0 else letter(f) for f in grip.fingers)
    return f"{frets} ({fingers})"
