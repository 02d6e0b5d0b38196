"""Wrong notes that the solved mend cannot reach: this right hand has no stroke where they stand.

Public: Hint, hints.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from scoring.moment import Moment

if TYPE_CHECKING:
    from undersong.handed.checking import Checked

NEAR = 2
"""How many frets are told."""


@dataclass(frozen=True)
class Hint:
    """where: in words, as typed; course: which string; old: its fret; frets: the nearest ones that
    have a note of the chord, or the melody's, the nearest first."""

    where: str
    course: int
    old: int
    frets: tuple[int, ...]


def hints(checked: "Checked") -> tuple[Hint, ...]:
    """One for each string with a fault of its own that no change mends."""
    if checked.nearest is None:
        return ()
    mended = {(change.where, change.course) for change in checked.changes}
    found: dict[tuple[str, int], Hint] = {}
    for fault in checked.faults:
        place = (fault.where, fault.course)
        if fault.course < 0 or place in mended or fault.moment is None:
            continue
        frets = _near(checked, fault.moment, fault.course, fault.fret)
        if frets:
            found.setdefault(place, Hint(fault.where, fault.course, fault.fret, frets))
    return tuple(found.values())


def _near(checked: "Checked", moment: Moment, course: int, fret: int) -> tuple[int, ...]:
    instrument, style = checked.subject.instrument, checked.subject.style
    if moment.chord is None:
        return ()
    ceiling = instrument.capo + (style.bass_ceiling if course == 0 else style.highest)
    fits = [
        other
        for other in instrument.frets(course)
        if other <= ceiling
        and (
            instrument.pitch(course, other) % 12 in moment.chord.pitch_classes
            or instrument.pitch(course, other) == moment.melody
        )
    ]
    nearest = sorted(fits, key=lambda other: (abs(other - fret), other))[:NEAR]
    return tuple(nearest)
