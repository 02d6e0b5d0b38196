"""Few shapes: how many different shapes a pupil has to learn, and which she knows.

A shape is what a pupil learns: the frets and fingers of the strings that are stopped. Strings that
no finger stops, open or silent, do not count, and the hand with no finger down is no shape.

Public: LearnedShape, FewShapes, learned, known_shapes.
"""

from dataclasses import dataclass

from fretboard.frets import fret_label
from fretboard.grip import Grip
from fretboard.instrument import Instrument
from solver.conditions.price import MOST_PRICE
from solver.conditions.wording import Written, read_shape, shown_shape
from solver.errors import ConditionError

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

    @classmethod
    def parse(cls, text: str, instrument: Instrument, from_capo: bool = False) -> "LearnedShape":
        """``3-1-0`` in any fingering, or with the fingers of its stopped strings ``3-1-0 TI``.

        ``0`` (open), ``x`` and ``*`` are one: no finger is there. from_capo: frets are counted
        from the capo, not from the nut. Raises ConditionError.
        """
        frets, fingers = read_shape(text, instrument, from_capo)
        stopped = tuple(
            fret if fret is not None and fret > instrument.capo else None for fret in frets
        )
        for fret in frets:
            if fret is not None and 0 < fret < instrument.capo:
                raise ConditionError(
                    f"{text!r}: fret {instrument.label(fret)} lies behind the capo; frets are "
                    "counted from the nut, or from the capo with --from-capo"
                )
        if not any(stopped):
            raise ConditionError(f"{text!r} has no finger down, and needs no learning")
        if fingers is None:
            return cls(stopped)
        on_them = tuple(
            None if fret is None else finger for fret, finger in zip(stopped, fingers, strict=True)
        )
        return cls(stopped, on_them)

    def __str__(self) -> str:
        return self.shown(fret_label)

    def shown(self, written: Written) -> str:
        """The shape as it is typed, its frets as ``written`` has them."""
        frets = tuple(0 if fret is None else fret for fret in self.frets)
        if self.fingers is None:
            return shown_shape(frets, None, written)
        return shown_shape(frets, tuple(-1 if f is None else f for f in self.fingers), written)


def known_shapes(
    text: str, instrument: Instrument, from_capo: bool = False
) -> tuple[LearnedShape, ...]:
    """Shapes one a line or between commas; what follows ``#`` in a line is a remark."""
    lines = (line.partition("#")[0] for line in text.splitlines())
    parts = (part.strip() for line in lines for part in line.split(","))
    return tuple(LearnedShape.parse(part, instrument, from_capo) for part in parts if part)


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
