"""Tunes of the public-domain collections that music21 carries, read by our own readers where it is
installed, never copied: O'Neill's 1850, Ryan's Mammoth Collection, Aird's Airs.

Public: COLLECTIONS, collected, pitches, sounds, fitting.
"""

from functools import cache

from fretboard.instrument import Instrument
from solver.righthand import right_hand
from tests.tune.test_abc_music21 import COLLECTIONS, collection, words_as_words
from tune.errors import TuneError
from tune.readers.abc import read_abc
from tune.tune import Tune
from undersong.check.melody import melody_of

__all__ = ["COLLECTIONS", "collected", "fitting", "pitches", "sounds"]

_METRES = {metre for metre, _ in right_hand("bass-then-strum").bars}


@cache
def collected(name: str, every: int = 1) -> tuple[Tune, ...]:
    """The tunes of a collection that can be read, in its order; every: one of so many."""
    tunes = []
    for text in collection(name)[::every]:
        try:
            tunes.append(read_abc(words_as_words(text)))
        except TuneError:
            continue
    return tuple(tunes)


def pitches(tune: Tune) -> frozenset[int]:
    """Every pitch of its melody."""
    return frozenset(note.midi for note in melody_of(tune, graces=False))


def sounds(on: Instrument, course: int) -> frozenset[int]:
    """Every pitch of a string."""
    return frozenset(on.pitch(course, fret) for fret in on.frets(course))


def fitting(tunes: tuple[Tune, ...], on: Instrument, count: int) -> list[Tune]:
    """So many tunes, spread evenly over those whose melody lies on the last string alone, so that a
    drone has it too, and whose metres the usual right hand knows."""
    last = sounds(on, len(on.courses) - 1)
    fit = [
        tune
        for tune in tunes
        if pitches(tune) and pitches(tune) <= last and {bar.metre for bar in tune.bars} <= _METRES
    ]
    step = max(1, len(fit) // count)
    return fit[::step][:count]
