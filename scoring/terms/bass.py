"""Terms of the bass line: its roles on the beats, its height, its steps.

Public: TERMS.
"""

import numpy as np

from scoring.choice import ROLE_CODE, Ints, Stands
from scoring.moment import FOREIGN, Moment
from scoring.term import About, LineTerm, StandTerm

_PRACTICE = "common practice, no source"
_WALKING = "Walking the Bass; Components of bluegrass (bass roots on the strong beats)"
FREE_SEMITONES = 7
"""Fret 4: the bass is free to stay this low."""

_ROOTS = [ROLE_CODE["root"], ROLE_CODE["slash bass"]]
_HALF_BAR = [*_ROOTS, *(ROLE_CODE[role] for role in ("octave", "fifth", "alternate fourth"))]
_MELODY, _DRONE = ROLE_CODE["melody"], ROLE_CODE["drone"]


def _none(stands: Stands) -> Ints:
    return np.zeros(len(stands.shapes), np.int32)


def _not_in(stands: Stands, roles: list[int]) -> Ints:
    return ((stands.role >= 0) & ~np.isin(stands.role, roles)).astype(np.int32)


def _off(stands: Stands, moment: Moment, roles: list[int]) -> Ints:
    """Bass notes of other roles; the melody's own and a drone's open strings are no bass line."""
    if moment.texture == "drone":
        return _none(stands)
    return _not_in(stands, [*roles, _MELODY])


def _change_off_root(stands: Stands, moment: Moment) -> Ints:
    """Bass notes other than root (or slash bass) where a chord begins."""
    return _off(stands, moment, _ROOTS) if moment.change else _none(stands)


def _beat_off_root(stands: Stands, moment: Moment) -> Ints:
    """Bass notes other than root on a bar's first beat under a chord that goes on."""
    held = moment.downbeat and not moment.change
    return _off(stands, moment, _ROOTS) if held else _none(stands)


def _half_bar(stands: Stands, moment: Moment) -> Ints:
    """Bass notes other than root and fifth at the half bar."""
    return _off(stands, moment, _HALF_BAR) if moment.half_bar else _none(stands)


def _root_again(stands: Stands, moment: Moment) -> Ints:
    """Roots at a half bar where the bass may take any tone and should move on: a line that comes
    home so soon rocks to and fro instead of walking."""
    walks = moment.half_bar and moment.moves and not (moment.change or moment.run)
    if not walks or not {"root", "third", "fifth"} <= moment.roles:
        return _none(stands)
    return np.isin(stands.role, _ROOTS).astype(np.int32)


def _missed_answer(stands: Stands, moment: Moment) -> Ints:
    """Bass notes that stand in for the fifth or fourth that should answer the root."""
    if not moment.fallback:
        return _none(stands)
    asked = [ROLE_CODE[role] for role in moment.roles]
    return _not_in(stands, [*asked, _MELODY, _DRONE])


def _high_bass(stands: Stands, moment: Moment) -> Ints:
    """Semitones above fret 4 of each bass note struck."""
    fret = stands.shapes.frets[:, 0] - stands.shapes.instrument.capo
    return np.where(stands.role >= 0, np.maximum(fret - FREE_SEMITONES, 0), 0).astype(np.int32)


def _foreign(stands: Stands, moment: Moment) -> Ints:
    """Bass notes foreign to the chord."""
    codes = [ROLE_CODE[role] for role in FOREIGN]
    return np.isin(stands.role, codes).astype(np.int32)


def _no_breath(stands: Stands, moment: Moment) -> Ints:
    """1 where the bass sounds through a place to breathe."""
    sounds = stands.shapes.pitch[:, 0] >= 0
    return sounds.astype(np.int32) * np.int32(moment.breath)


def _way(before: Ints, after: Ints, struck: Ints) -> Ints:
    """Semitones from the bass note before to a new one; 0 where none is struck."""
    return np.where((struck > 0) & (before >= 0), np.abs(after - before), 0).astype(np.int32)


_WALKED = 3
"""How often a leap counts in a walk. Over the bundled tunes half of a walking song's bass notes are
then reached by step, before 39 in a hundred, for 5 % more work of the hand; at five times, six in
ten, for 10 %."""


def _leap(before: Ints, after: Ints, struck: Ints, moment: Moment) -> Ints:
    """Semitones beyond a step (two semitones) between neighbouring bass notes; where the bass
    should move on, as in a walk, they count three times: it goes by step where it can (Walking the
    Bass)."""
    beyond = np.maximum(_way(before, after, struck) - 2, 0)
    return np.asarray(beyond * (_WALKED if moment.moves else 1), np.int32)


def _still(before: Ints, after: Ints, struck: Ints, moment: Moment) -> Ints:
    """Bass notes that repeat the one before where the bass should move."""
    same = (struck > 0) & (before == after) & moment.moves
    return np.asarray(same, np.int32)


def _broken_run(before: Ints, after: Ints, struck: Ints, moment: Moment) -> Ints:
    """Notes of a run not reached by step; the root that it runs into counts twice, since that is
    where it leads."""
    way = _way(before, after, struck)
    off = (struck > 0) & ((way == 0) | (way > 2)) & moment.run
    return np.asarray(off * np.int32(2 if moment.change else 1), np.int32)


def _early_root(stands: Stands, moment: Moment) -> Ints:
    """Notes of a run that are the root it leads to already, in whatever octave."""
    if moment.runs_to is None:
        return _none(stands)
    there = stands.shapes.pitch[:, 0] % 12 == moment.runs_to
    return np.asarray((stands.role >= 0) & there, np.int32)


TERMS = (
    StandTerm(About("change-off-root", "note", "a chord begins without its root in the bass",
                    _WALKING, 300), _change_off_root),
    StandTerm(About("beat-off-root", "note", "a bar's first beat without the root in the bass",
                    _WALKING, 90), _beat_off_root),
    StandTerm(About("half-bar", "note", "neither root nor fifth in the bass at the half bar",
                    _WALKING, 30), _half_bar),
    StandTerm(About("root-again", "note",
                    "a walking bass is back on its root at the half bar instead of going on",
                    _PRACTICE + "; price chosen by measurement", 120), _root_again),
    StandTerm(About("missed-answer", "note",
                    "the root stands in for the fifth or fourth that should answer it",
                    _PRACTICE, 600), _missed_answer),
    StandTerm(About("high-bass", "semitone", "the bass climbs above fret 4", _PRACTICE, 15),
              _high_bass),
    StandTerm(About("foreign-bass", "note", "a passing, neighbour or approach note in the bass",
                    "Open Music Theory, Embellishing tones: ornaments, so not the rule", 10),
              _foreign),
    StandTerm(About("no-breath", "breath", "the bass sounds on where a phrase ends and it could "
                    "breathe", _PRACTICE, 60), _no_breath),
    LineTerm(About("bass-leap", "semitone", "the bass leaps further than a step, in a walk counted "
                   "three times", _PRACTICE, 6),
             _leap),
    LineTerm(About("bass-still", "note", "the bass repeats its note where it should move",
                   _PRACTICE, 180), _still),
    LineTerm(About("broken-run", "note", "a run is not stepwise",
                   _PRACTICE + "; price chosen by measurement", 300), _broken_run),
    StandTerm(About("early-root", "note", "a run touches the root it leads to before it is there",
                    _PRACTICE + "; price chosen by measurement", 150), _early_root),
)  # fmt: skip
