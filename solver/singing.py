"""Which hand shapes keep the melody, in a solo and over a drone.

Where a melody note begins, the carrier is the struck string nearest to the player that sounds it;
where it goes on, some string that is not struck sounds it still. No string sounds higher than the
melody, and the last string is silent where the melody is. In a solo every other string may be open
whatever the chord; over a drone all others are.

Public: TUNEFUL, string_frets, keeps_melody.
"""

from fretboard.instrument import Instrument
from scoring.moment import Moment, Strokes
from solver.conditions.wording import SILENT
from solver.roles import bass_roles
from solver.style import Style

TUNEFUL = ("solo", "drone")
"""Textures with a melody to keep."""


def string_frets(
    moment: Moment, course: int, struck: Strokes, instrument: Instrument, style: Style
) -> list[int]:
    """Frets (-1: silent) that a course may have, whatever the others have."""
    if moment.melody is None and course == len(struck) - 1:
        return [] if struck[course] else [SILENT]
    if moment.texture == "drone":
        return _over_a_drone(moment, course, instrument, style)
    sounding = [
        fret
        for fret in instrument.frets(course)
        if may_carry(moment, course, fret, struck, instrument, style)
        or may_accompany(moment, course, fret, struck, instrument, style)
    ]
    return sounding if struck[course] else [SILENT, *sounding]


def _over_a_drone(moment: Moment, course: int, instrument: Instrument, style: Style) -> list[int]:
    if course < len(instrument.courses) - 1:
        return [instrument.capo if moment.rings else SILENT]
    limit = instrument.capo + style.melody_highest
    frets = instrument.frets(course)
    return [f for f in frets if f <= limit and instrument.pitch(course, f) == moment.melody]


def may_carry(
    moment: Moment,
    course: int,
    fret: int,
    struck: Strokes,
    instrument: Instrument,
    style: Style,
) -> bool:
    """Whether a string at that fret brings the melody's note, or holds it."""
    return (
        struck[course] == moment.sings
        and instrument.pitch(course, fret) == moment.melody
        and fret <= instrument.capo + style.melody_highest
        and (course > 0 or "melody" in moment.fallback)
    )


def may_accompany(
    moment: Moment,
    course: int,
    fret: int,
    struck: Strokes,
    instrument: Instrument,
    style: Style,
) -> bool:
    """Whether a string at that fret may sound beside the melody: a tone of the chord or open, the
    bass string one of its roles. Struck at the pitch of a note that goes on, it would begin that
    note again, and may not be."""
    chord, pitch = moment.chord, instrument.pitch(course, fret)
    limit = style.highest if course else style.bass_ceiling
    if chord is None or fret > instrument.capo + limit:
        return False
    if moment.melody is not None and pitch > moment.melody:
        return False
    if struck[course] and pitch == moment.melody and not moment.sings:
        return False
    if course == 0:
        damped = moment.damped and not struck[0]
        return not damped and bool(bass_roles(moment, pitch, instrument))
    return fret == instrument.capo or pitch % 12 in chord.pitch_classes


def keeps_melody(
    moment: Moment,
    frets: tuple[int, ...],
    struck: Strokes,
    instrument: Instrument,
    style: Style,
) -> bool:
    """Whether the melody is there, and what is struck beside it was asked for; frets: out of
    ``string_frets``."""
    if moment.texture == "drone" or moment.melody is None:
        return True
    rest = moment, struck, instrument, style
    there = [course for course, fret in enumerate(frets) if fret >= 0]
    if not moment.sings:
        carriers = [c for c in there if _carries(c, frets, *rest)]
        bass_holds = struck[0] or not moment.strikes[0][0] or carriers == [0]
        return bool(carriers) and bass_holds
    hits = [c for c in there if struck[c] and instrument.pitch(c, frets[c]) == moment.melody]
    if not hits or not _carries(hits[-1], frets, *rest):
        return False
    asked = (moment.takes_bass, *moment.strikes[0][1:])
    return all(
        _accompanies(course, frets, *rest) and (asked[course] or not struck[course])
        for course in there
        if course != hits[-1]
    )


def _carries(
    course: int,
    frets: tuple[int, ...],
    moment: Moment,
    struck: Strokes,
    instrument: Instrument,
    style: Style,
) -> bool:
    return may_carry(moment, course, frets[course], struck, instrument, style)


def _accompanies(
    course: int,
    frets: tuple[int, ...],
    moment: Moment,
    struck: Strokes,
    instrument: Instrument,
    style: Style,
) -> bool:
    return may_accompany(moment, course, frets[course], struck, instrument, style)
