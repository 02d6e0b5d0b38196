"""Chords whose third is never heard while they last.

Public: unheard_thirds.
"""

from collections.abc import Iterator, Sequence

from fretboard.instrument import Instrument
from tune.spelling import tones
from undersong.handed.sounding import Here


def unheard_thirds(here: Sequence[Here], instrument: Instrument) -> Iterator[tuple[Here, str]]:
    """(where the chord begins, a sentence)."""
    stay: list[Here] = []
    for one in (*here, None):
        fresh = one is None or not stay or one.moment.chord != stay[-1].moment.chord
        if fresh and stay:
            words = _unheard(stay, instrument)
            if words:
                yield stay[0], words
            stay = []
        if one is not None and one.moment.chord is not None:
            stay.append(one)


def _unheard(stay: Sequence[Here], instrument: Instrument) -> str:
    """The sentence, empty where the third is heard; stay: while one chord lasts."""
    chord = stay[0].moment.chord
    if chord is None or "third" not in chord.degrees or not stay[0].at.first:
        return ""
    if not any(any(one.struck) for one in stay):
        return ""
    third = chord.degrees["third"]
    for one in stay:
        for course, fret in enumerate(one.frets):
            if fret is not None and fret >= 0 and instrument.pitch(course, fret) % 12 == third:
                return ""
    return f"the third of {chord} ({tones(chord)[third]}) is never heard"
