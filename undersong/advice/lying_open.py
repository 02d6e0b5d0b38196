"""How a key lies under a tuning and a capo: what the open strings are in it, and from which frets
its scale goes up the melody string.

Public: open_strings, scales, Scale.
"""

from dataclasses import dataclass
from itertools import accumulate, pairwise

from fretboard.frets import is_extra
from fretboard.instrument import Instrument
from tune.chord import pitch_class
from tune.key import MODES, Key

_DEGREES = ("root", "second", "third", "fourth", "fifth", "sixth", "seventh")
_OUTSIDE = "outside the scale"


def open_strings(key: Key, instrument: Instrument) -> tuple[str, ...]:
    """What each string is in the key where no finger stops it, bass first: ``root``, ``fifth`` …"""
    tonic, steps = pitch_class(key.tonic), MODES[key.mode]
    above = [(course.open + instrument.capo - tonic) % 12 for course in instrument.courses]
    return tuple(_DEGREES[steps.index(up)] if up in steps else _OUTSIDE for up in above)


@dataclass(frozen=True)
class Scale:
    """An octave of the key's scale on one string. first, last: its frets, in semitones above the
    nut; extra: the extra frets among those that it takes."""

    first: int
    last: int
    extra: tuple[int, ...]


def scales(key: Key, instrument: Instrument) -> tuple[Scale, ...]:
    """Every octave of the scale that the melody string has whole, from its tonic up."""
    melody = len(instrument.courses) - 1
    steps = MODES[key.mode]
    found = []
    for first in instrument.frets(melody):
        if instrument.pitch(melody, first) % 12 != pitch_class(key.tonic):
            continue
        frets = list(accumulate((b - a for a, b in pairwise((*steps, 12))), initial=first))
        if all(instrument.has(melody, fret) for fret in frets):
            stopped = frets if first != instrument.capo else frets[1:]
            found.append(Scale(first, frets[-1], tuple(filter(is_extra, stopped))))
    return tuple(found)
