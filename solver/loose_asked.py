"""What is asked of one moment while only some of the demands are kept.

Public: Held, AskedAt, asked_at, kinds_at.
"""

from dataclasses import dataclass

from scoring.moment import Moment
from solver.conditions.few_shapes import LearnedShape
from solver.conditions.pinned import BassManner, BassNote, BassRole, Kept, OneString, Shape
from solver.conditions.pins import Pin
from solver.demands import Demanded
from solver.pin_masks import Demand

Held = frozenset[Demanded]
"""The demands that are kept."""


@dataclass(frozen=True)
class AskedAt:
    """What is kept at one moment. kinds: of demands, ``bass`` where root or line speaks of it;
    own: what the pins ask; fingers: whether anything kept anywhere speaks of fingers; named: the
    courses that a pin kept anywhere speaks of."""

    kinds: frozenset[str]
    own: tuple[Demand, ...]
    fingers: bool
    named: frozenset[int]

    def easy(self, course: int) -> bool:
        """Whether it does not matter which fret that course, above the bass, has."""
        return course not in self.named and not self.kinds & {"chord", "lowest", "known"}


def asked_at(
    moment: Moment, kept: Held, own: tuple[Demand, ...], learned: tuple[LearnedShape, ...]
) -> AskedAt:
    """own: what the pins ask of the moment; learned: the shapes known if only those may be used."""
    kinds = kinds_at(moment, kept)
    fingers = bool(kinds & {"reach", "bars", "unused"})
    if "known" in kinds:
        fingers = fingers or any(shape.fingers is not None for shape in learned)
    fingers = fingers or any(d.pin is not None and _names_fingers(d.pin) for d in kept)
    named = [_named_courses(demand.pin) for demand in kept if demand.pin is not None]
    return AskedAt(kinds, own, fingers, frozenset().union(*named))


def kinds_at(moment: Moment, kept: Held) -> frozenset[str]:
    """What is demanded here; ``bass`` where root or line is, whichever speaks of the moment."""
    kinds = {demand.kind for demand in kept if demand.written in (None, moment.written)}
    bass = {"bass"} if ("root" if moment.change else "line") in kinds else set()
    return frozenset(kinds - {"root", "line"} | bass)


def _names_fingers(pin: Pin) -> bool:
    """Whether a pin speaks of fingers."""
    pinned = pin.pinned
    if isinstance(pinned, Shape):
        return pinned.fingers is not None
    if isinstance(pinned, OneString):
        return pinned.finger is not None
    return not isinstance(pinned, BassNote | BassRole | BassManner)


def _named_courses(pin: Pin) -> frozenset[int]:
    """The courses that a pin says something of, the bass note left aside."""
    pinned = pin.pinned
    if isinstance(pinned, Kept):
        return frozenset(range(len(pinned.times[0][0].shape.frets)))
    if isinstance(pinned, Shape | OneString):
        frets, fingers = pinned.frets, pinned.fingers or (None,) * len(pinned.frets)
        return frozenset(
            course
            for course, (fret, finger) in enumerate(zip(frets, fingers, strict=True))
            if fret is not None or finger is not None
        )
    return frozenset()
