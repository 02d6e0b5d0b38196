"""Which hand shapes a moment allows: frets that fit the chord and the bass, every fingering.

Public: shapes_at, bass_roles.
"""

from collections.abc import Iterator
from itertools import product

from fretboard.fingering import fingerings, open_places
from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.moment import FOREIGN, ROLES, Moment, Strokes
from solver.style import Style

SILENT = -1


def shapes_at(
    moment: Moment, instrument: Instrument, hand: Hand, style: Style
) -> list[tuple[Grip, Strokes]]:
    """Every shape with what is struck, ordered by frets, fingers, place, strokes.

    Struck strings sound chord tones, the bass its roles; a string not struck is silent, rings on
    a chord tone, or rings open. A string that a stroke leaves out is silent.
    """
    rows: list[tuple[Grip, Strokes]] = []
    courses = range(len(instrument.courses))
    places = open_places(instrument, instrument.capo + style.bass_ceiling)
    for struck in moment.strikes:
        options = [_frets(moment, course, struck, instrument, style) for course in courses]
        for frets in product(*options):
            if not style.bass_lowest or _bass_is_lowest(frets, instrument):
                grips = _grips(frets, instrument, hand, places)
                rows += [(grip, struck) for grip in grips]
    rows.sort(key=lambda row: (row[0].frets, row[0].fingers, row[0].place, row[1]))
    return rows


def bass_roles(moment: Moment, pitch: int) -> list[str]:
    """The roles that a bass note of that pitch may have: one of the chord's own, else foreign."""
    own = [role for role in ROLES if role in moment.roles | moment.fallback]
    tones = [role for role in own if moment.role_pitch_class(role) == pitch % 12]
    if tones:
        return tones[:1]
    chord = moment.chord
    if chord is None or pitch % 12 not in moment.scale or pitch % 12 in chord.pitch_classes:
        return []
    return [role for role in FOREIGN if role in moment.roles]


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
        return [f for f in frets if bass_roles(moment, instrument.pitch(0, f))]
    if moment.damped or not moment.plays[0]:
        return [SILENT]
    ringing = [f for f in frets if bass_roles(moment, instrument.pitch(0, f))]
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
