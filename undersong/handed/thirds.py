"""Chords that are strummed without their third, or without what is suspended in its place.

Public: unheard_thirds.
"""

from collections.abc import Iterator, Sequence

from fretboard.instrument import Instrument
from tune.spelling import tones
from undersong.handed.sounding import Here
from undersong.missing_tones import THIRDS, Heard, missing_tones


def unheard_thirds(here: Sequence[Here], instrument: Instrument) -> Iterator[tuple[Here, str]]:
    """(where the chord begins, or goes on in its bar; a sentence)."""
    for tone in missing_tones([_heard(one, instrument) for one in here]):
        one = here[tone.at]
        chord = one.moment.chord
        if chord is None or tone.degree not in THIRDS or not one.at.first:
            continue
        name = tones(chord)[chord.degrees[tone.degree]]
        yield one, f"the {tone.degree} of {chord} ({name}) is not heard"


def _heard(one: Here, instrument: Instrument) -> Heard:
    """What the tab says of it; of strings that it says nothing of nothing is known."""
    pitches = (
        instrument.pitch(course, fret) % 12
        for course, fret in enumerate(one.frets)
        if fret is not None and fret >= 0
    )
    return Heard(one.moment, one.struck, frozenset(pitches))
