"""Terms of the melody: crossing to lower strings, strums thinned under it, drones beneath it.

The bass may be the open string whatever the chord, and open strings may ring under the melody:
what that costs is how much they clash.

Public: TERMS, SEVERITY.
"""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from scoring.carrier import carrier
from scoring.choice import ROLE_CODE, Ints, Stands, row_sum
from scoring.moment import Moment
from scoring.term import About, StandTerm

_PRACTICE = "common practice, no source"

SEVERITY: Mapping[int, int] = MappingProxyType({1: 3, 6: 2, 2: 1})
"""Interval class in semitones → how badly a string clashes with the melody; others do not."""

_BY_SEMITONES = np.array([SEVERITY.get(min(up, 12 - up), 0) for up in range(12)], np.int32)


def _none(stands: Stands) -> Ints:
    return np.zeros(len(stands.shapes), np.int32)


def _melody_crossed(stands: Stands, moment: Moment) -> Ints:
    """Courses between the melody's string and the one that carries it, at each note; the bass
    string, which then has no bass, counts double."""
    if moment.texture != "solo" or not moment.sings:
        return _none(stands)
    last = stands.shapes.struck.shape[1] - 1
    on = carrier(stands.shapes, moment)
    away = np.where(on == 0, 2 * last, last - on)
    return np.where(on >= 0, away, 0).astype(np.int32)


def _thin_strum(stands: Stands, moment: Moment) -> Ints:
    """Strings between bass and melody that the strum leaves out."""
    if moment.texture != "solo":
        return _none(stands)
    asked = np.array(moment.strikes[0])
    return row_sum((asked & ~stands.shapes.struck)[:, 1:])


def _drone_bass(stands: Stands, moment: Moment) -> Ints:
    """Bass notes that give way: to the open string whatever the chord, or, where one is asked for,
    to a melody note on the bass string."""
    if moment.texture != "solo":
        return _none(stands)
    way = stands.role == ROLE_CODE["drone"]
    if moment.strikes[0][0]:
        way |= (stands.role < 0) | (stands.role == ROLE_CODE["melody"])
    return np.asarray(way, np.int32)


def _drone_clash(stands: Stands, moment: Moment) -> Ints:
    """Eighths for which an open string sounds against the melody, times how badly."""
    if moment.melody is None:
        return _none(stands)
    shapes = stands.shapes
    is_open = shapes.frets == shapes.instrument.capo
    severity = np.where(is_open, _BY_SEMITONES[(shapes.pitch - moment.melody) % 12], 0)
    return row_sum(severity) * np.int32(moment.eighths)


TERMS = (
    StandTerm(About("melody-crossed", "string", "the melody leaves the melody string, for the bass "
                    "string counted double", _PRACTICE, 150), _melody_crossed),
    StandTerm(About("thin-strum", "string", "a strum leaves out a string under the melody",
                    _PRACTICE, 25), _thin_strum),
    StandTerm(About("drone-bass", "note", "the bass note gives way to the open string or to the "
                    "melody", _PRACTICE, 120), _drone_bass),
    StandTerm(About("drone-clash", "eighth", "an open string grates on the melody: a semitone "
                    "counts three, a tritone two, a whole tone one", _PRACTICE, 5), _drone_clash),
)  # fmt: skip
