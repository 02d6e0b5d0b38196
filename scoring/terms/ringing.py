"""Terms of what rings: silence, clashes, strings left out, voices that jump or run in fifths.

Public: TERMS.
"""

import numpy as np

from scoring.choice import ROLE_CODE, Ints, Shapes, Stands, row_sum
from scoring.moment import Moment
from scoring.term import About, PairTerm, StandTerm, VoiceTerm

_PRACTICE = "common practice, no source"


def _upper_silent(stands: Stands, moment: Moment) -> Ints:
    """Eighths for which a string above the bass, let go or not yet struck, is silent."""
    silent = stands.shapes.pitch[:, 1:] < 0
    played = np.array(moment.plays[1:])
    count = row_sum(silent & played)
    return count * np.int32(moment.eighths if moment.chord else 0)


def _bass_silent(stands: Stands, moment: Moment) -> Ints:
    """Eighths for which the bass string is silent though nothing damps it, and it need not
    breathe."""
    wanted = moment.chord is not None and moment.plays[0]
    wanted = wanted and not moment.damped and not moment.breath
    silent = stands.shapes.pitch[:, 0] < 0
    return silent.astype(np.int32) * np.int32(moment.eighths if wanted else 0)


def _clash(stands: Stands, moment: Moment) -> Ints:
    """Eighths for which an open string rings on that is foreign to the chord.

    In a solo struck ones count too, and the bass string where it is a drone or rings on, but never
    the melody; a drone has no chords to clash with.
    """
    if moment.chord is None or moment.texture == "drone":
        return np.zeros(len(stands.shapes), np.int32)
    shapes = stands.shapes
    tones = list(moment.chord.pitch_classes | {moment.chord.bass_pitch_class})
    foreign = (shapes.pitch >= 0) & ~np.isin(shapes.pitch % 12, tones)
    if moment.texture == "solo":
        foreign &= (shapes.frets == shapes.instrument.capo) & (shapes.pitch != moment.melody)
        foreign[:, 0] &= ~shapes.struck[:, 0] | (stands.role == ROLE_CODE["drone"])
    else:
        foreign &= ~shapes.struck
        foreign[:, 0] = False
    return row_sum(foreign) * np.int32(moment.eighths)


def _string_left_out(stands: Stands, moment: Moment) -> Ints:
    """Strings that the stroke should have struck and does not (in a solo: thin-strum)."""
    if moment.texture == "solo":
        return np.zeros(len(stands.shapes), np.int32)
    asked = np.array(moment.strikes[0])
    return row_sum((asked & ~stands.shapes.struck)[:, 1:])


def _bass_above(stands: Stands, moment: Moment) -> Ints:
    """Strings that sound lower than the bass (not allowed unless the player says so)."""
    pitch = stands.shapes.pitch
    above = (pitch[:, 1:] >= 0) & (pitch[:, :1] >= 0) & (pitch[:, 1:] < pitch[:, :1])
    return row_sum(above)


def _voice_leap(before: Ints, after: Ints) -> Ints:
    """Semitones beyond a step that a string above the bass jumps."""
    both = (before >= 0) & (after >= 0)
    return np.where(both, np.maximum(np.abs(after - before) - 2, 0), 0).astype(np.int32)


def _parallel_fifths(before: Shapes, after: Shapes) -> Ints:
    """Strings that move in the same direction as the bass from one fifth to another."""
    old, new = before.pitch, after.pitch
    bass = new[:, :1] - old[:, :1]
    upper = new[:, 1:] - old[:, 1:]
    sounding = (old[:, 1:] >= 0) & (new[:, 1:] >= 0) & (old[:, :1] >= 0) & (new[:, :1] >= 0)
    fifths = ((old[:, 1:] - old[:, :1]) % 12 == 7) & ((new[:, 1:] - new[:, :1]) % 12 == 7)
    parallel = sounding & fifths & (np.sign(bass) == np.sign(upper)) & (bass != 0)
    return row_sum(parallel)


TERMS = (
    StandTerm(About("upper-silent", "eighth", "a string above the bass is silent", _PRACTICE, 10),
              _upper_silent),
    StandTerm(About("bass-silent", "eighth", "the bass note is let go before the next", _PRACTICE,
                    25), _bass_silent),
    StandTerm(About("clash", "eighth", "an open string foreign to the chord rings on", _PRACTICE,
                    12), _clash),
    StandTerm(About("left-out", "string", "a stroke leaves out the melody string", _PRACTICE, 120),
              _string_left_out),
    StandTerm(About("bass-above", "string", "another string sounds lower than the bass",
                    _PRACTICE, 200), _bass_above),
    VoiceTerm(About("voice-leap", "semitone", "a string above the bass jumps further than a step",
                   "smooth voice-leading, any harmony primer", 3), _voice_leap),
    PairTerm(About("parallel-fifths", "string", "a string moves in fifths with the bass",
                   "strict style forbids it; drone style is idiomatic, hence 0", 0),
             _parallel_fifths),
)  # fmt: skip
