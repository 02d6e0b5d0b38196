"""Few shapes: how many different shapes a pupil has to learn, and which she knows.

A shape is what a pupil learns: the frets and fingers of the strings that are stopped. Strings that
no finger stops, open or silent, do not count, and the hand with no finger down is no shape.

Public: LearnedShape, FewShapes, learned.
"""

from dataclasses import dataclass

from fretboard.grip import Grip
from solver.errors import ConditionError

MOST_PRICE = 1_000_000

Stopped = tuple[int | None, ...]
"""One entry a course, None for a string that no finger stops."""


@dataclass(frozen=True)
class LearnedShape:
    """frets: semitones above the nut per course, None for strings not stopped; fingers: the same
    with finger numbers, or None for any fingering."""

    frets: Stopped
    fingers: Stopped | None = None

    def __post_init__(self) -> None:
        if self.fingers is None:
            return
        if [f is None for f in self.frets] != [f is None for f in self.fingers]:
            raise ConditionError("a shape names a finger for every string that it stops")

    def fits(self, shape: "LearnedShape") -> bool:
        """Whether ``shape``, whose fingers are known, is this one."""
        return self.frets == shape.frets and self.fingers in (None, shape.fingers)


def learned(grip: Grip) -> LearnedShape | None:
    """The shape that a pupil learns for a grip; None where no finger is down."""
    if not grip.down:
        return None
    stopped = [finger >= 0 for finger in grip.fingers]
    return LearnedShape(
        tuple(fret if down else None for fret, down in zip(grip.frets, stopped, strict=True)),
        tuple(finger if down else None for finger, down in zip(grip.fingers, stopped, strict=True)),
    )


@dataclass(frozen=True)
class FewShapes:
    """most: how many different shapes the tune may have, None for any number; known: shapes that
    the class knows, None where nothing is said of them; price: ms for each different shape beyond
    the known ones, None where no other is allowed."""

    most: int | None = None
    known: tuple[LearnedShape, ...] | None = None
    price: int | None = None

    def __post_init__(self) -> None:
        if self.most is None and self.known is None:
            raise ConditionError("few shapes: say how many, or which are known")
        if self.most is not None and self.most < 0:
            raise ConditionError(f"the tune cannot have {self.most} shapes; ask for 0 or more")
        if self.price is not None and self.known is None:
            raise ConditionError("a price for other shapes needs a list of known ones")
        if self.price is not None and not 0 <= self.price <= MOST_PRICE:
            raise ConditionError(f"the price of a shape must lie between 0 and {MOST_PRICE} ms")

    def knows(self, shape: LearnedShape) -> bool:
        return self.known is None or any(known.fits(shape) for known in self.known)
