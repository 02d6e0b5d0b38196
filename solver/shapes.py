"""Which hand shapes a moment allows: frets that fit the chord and the bass, every fingering.

Public: shapes_at.
"""

from collections.abc import Iterator
from itertools import product

from fretboard.fingering import fingerings, open_places
from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.moment import Moment, Strokes
from solver.conditions.wording import SILENT
from solver.roles import bass_roles
from solver.singing import TUNEFUL, keeps_melody, string_frets
from solver.style import Style


def shapes_at(
    moment: Moment, instrument: Instrument, hand: Hand, style: Style
) -> list[tuple[Grip, Strokes]]:
    """Every shape with what is struck, ordered by frets, fingers, place, strokes.

    Struck strings sound chord tones, the bass its roles; a string not struck is silent, rings on
    a chord tone, or rings open. A string that a stroke leaves out is silent. Where there is a
    melody to keep, ``solver.singing`` has its rules instead.
    """
    rows: list[tuple[Grip, Strokes]] = []
    courses = range(len(instrument.courses))
    places = open_places(instrument, instrument.capo + style.bass_ceiling)
    tuneful = moment.texture in TUNEFUL
    frets_of = string_frets if tuneful else _frets
    lowest = style.bass_lowest and moment.texture != "drone"
    for struck in moment.strikes:
        options = [frets_of(moment, course, struck, instrument, style) for course in courses]
        for frets in product(*options):
            if tuneful and not keeps_melody(moment, frets, struck, instrument, style):
                continue
            if not lowest or _bass_is_lowest(frets, instrument):
                grips = _grips(frets, instrument, hand, places)
                rows += [(grip, struck) for grip in grips]
    rows.sort(key=lambda row: (row[0].frets, row[0].fingers, row[0].place, row[1]))
    return rows


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


def _grips(
    frets: tuple[int, ...], instrument: Instrument, hand: Hand, places: tuple[int, ...]
) -> Iterator[Grip]:
    if any(fret > instrument.capo for fret in frets):
        yield from fingerings(frets, instrument, hand)
        return
    for place in places:
        yield Grip(frets, (-1,) * len(frets), place)
