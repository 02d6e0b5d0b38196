"""Which frets a moment allows: those that fit the chord and the bass.

Public: frets_at.
"""

from itertools import product

from fretboard.instrument import Instrument
from scoring.moment import Moment, Strokes
from solver.conditions.wording import SILENT
from solver.roles import bass_roles
from solver.singing import TUNEFUL, keeps_melody, string_frets
from solver.style import Style


def frets_at(
    moment: Moment, instrument: Instrument, style: Style
) -> list[tuple[tuple[int, ...], Strokes]]:
    """Every choice of frets (-1: silent) with what is struck, in that order.

    Struck strings sound chord tones, the bass its roles; a string not struck is silent, rings on
    a chord tone, or rings open. A string that a stroke leaves out is silent. Where there is a
    melody to keep, ``solver.singing`` has its rules instead.
    """
    found: list[tuple[tuple[int, ...], Strokes]] = []
    courses = range(len(instrument.courses))
    tuneful = moment.texture in TUNEFUL
    frets_of = string_frets if tuneful else _frets
    lowest = style.bass_lowest and moment.texture != "drone"
    for struck in moment.strikes:
        options = [frets_of(moment, course, struck, instrument, style) for course in courses]
        for frets in product(*options):
            if tuneful and not keeps_melody(moment, frets, struck, instrument, style):
                continue
            if not lowest or _bass_is_lowest(frets, instrument):
                found.append((frets, struck))
    return sorted(found)


def _frets(
    moment: Moment, course: int, struck: Strokes, instrument: Instrument, style: Style
) -> list[int]:
    """Frets (-1: silent) that a course may have."""
    limit = instrument.capo + (style.bass_ceiling if course == 0 else style.highest)
    frets = [fret for fret in instrument.frets(course) if fret <= limit]
    if course == 0:
        return _bass_frets(moment, frets, struck[0], instrument)
    tones = moment.chord.pitch_classes if moment.chord else frozenset()
    sounding = [f for f in frets if instrument.pitch(course, f) % 12 in tones]
    if struck[course]:
        return sounding
    if not moment.plays[course] or moment.strikes[0][course]:
        return [SILENT]
    opens = [] if instrument.capo in sounding else [instrument.capo]
    return [SILENT, *opens, *sounding]


def _bass_frets(
    moment: Moment, frets: list[int], struck: bool, instrument: Instrument
) -> list[int]:
    if struck:
        return [f for f in frets if bass_roles(moment, instrument.pitch(0, f), instrument)]
    if moment.damped or not moment.plays[0]:
        return [SILENT]
    ringing = [f for f in frets if bass_roles(moment, instrument.pitch(0, f), instrument)]
    return ringing if moment.rings else [SILENT, *ringing]


def _bass_is_lowest(frets: tuple[int, ...], instrument: Instrument) -> bool:
    if frets[0] < 0:
        return True
    bass = instrument.pitch(0, frets[0])
    return all(f < 0 or instrument.pitch(c, f) >= bass for c, f in enumerate(frets))
