"""Whether a bass note could be played at all, tried out shape by shape.

Public: bass_possible.
"""

from collections.abc import Iterable
from functools import lru_cache
from itertools import product

from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.moment import Strokes
from solver.style import Style
from tune.chord import Chord
from undersong.check.degrees import degree_pitch_class
from undersong.check.hand import finger_faults
from undersong.check.passage import SILENT


@lru_cache(maxsize=256)
def bass_possible(
    chord: Chord,
    roles: frozenset[str],
    strikes: tuple[Strokes, ...],
    instrument: Instrument,
    hand: Hand,
    style: Style,
) -> bool:
    """Whether some hand shape has one of ``roles`` in the bass and a tone of the chord on every
    other string struck, in one of the ways to strike."""
    wanted = {degree_pitch_class(chord, role) for role in roles}
    for struck in strikes:
        strings = []
        for course, strike in enumerate(struck):
            tones: Iterable[int | None] = chord.pitch_classes if course else wanted
            frets = _frets(instrument, course, style.highest if course else style.bass_ceiling)
            open_pitch = instrument.courses[course].open
            sounding = [fret for fret in frets if (open_pitch + fret) % 12 in tones]
            strings.append(sounding if strike else [SILENT])
        if struck[0] and any(
            _playable(frets, instrument, hand, style) for frets in product(*strings)
        ):
            return True
    return False


def _frets(instrument: Instrument, course: int, ceiling: int) -> list[int]:
    capo = instrument.capo
    stopped = [f for f in instrument.courses[course].frets if capo < f <= capo + ceiling]
    return [capo, *stopped]


def _playable(frets: tuple[int, ...], instrument: Instrument, hand: Hand, style: Style) -> bool:
    sounding = [
        course.open + fret
        for course, fret in zip(instrument.courses, frets, strict=True)
        if fret != SILENT
    ]
    if style.bass_lowest and min(sounding) < sounding[0]:
        return False
    return _can_finger(Grip(frets, (-1,) * len(frets), 0), 0, instrument, hand)


def _can_finger(grip: Grip, course: int, instrument: Instrument, hand: Hand) -> bool:
    """Whether the strings from ``course`` on can be stopped beside those that are already."""
    if course == len(grip.frets):
        return True
    if grip.frets[course] in (SILENT, instrument.capo):
        return _can_finger(grip, course + 1, instrument, hand)
    for finger in range(5):
        fingers = (*grip.fingers[:course], finger, *grip.fingers[course + 1 :])
        tried = Grip(grip.frets, fingers, 0)
        if any(finger_faults(tried, instrument, hand)):
            continue
        if _can_finger(tried, course + 1, instrument, hand):
            return True
    return False
