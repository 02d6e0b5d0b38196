"""Every way to play a moment with a melody to keep while only some of the demands are kept.

The rules are those of ``solver.singing``; the melody is always kept, and so is that what sounds
above the bass is a tone of the chord or open.

Public: tuneful_rows.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from fretboard.frets import HIGHEST_SEMITONE
from scoring.moment import Moment, Strokes
from solver.demands import Wanted
from solver.roles import bass_roles
from solver.singing import keeps_melody, string_frets
from solver.style import Style


def tuneful_rows(
    moment: Moment, kinds: frozenset[str], wanted: Wanted
) -> Iterator[tuple[Strokes, tuple[int, ...], list[str]]]:
    """(struck, frets, what the bass note may be called) of every way; [""] where no bass note is
    struck. kinds: of demands that are kept."""
    instrument, style = wanted.instrument, _loosened(wanted.style, kinds)
    loose = _bass_of_the_chord(moment, kinds)
    lowest = "lowest" in kinds and moment.texture != "drone"
    for struck in loose.strikes:
        options = [
            string_frets(loose, course, struck, instrument, style) for course in range(len(struck))
        ]
        for frets in product(*options):
            if not keeps_melody(loose, frets, struck, instrument, style):
                continue
            pitch = [instrument.pitch(course, f) for course, f in enumerate(frets) if f >= 0]
            if lowest and frets[0] >= 0 and min(pitch) < pitch[0]:
                continue
            yield struck, frets, _roles(loose, frets, struck, wanted) if struck[0] else [""]


def _loosened(style: Style, kinds: frozenset[str]) -> Style:
    """The style without the limits that are left out."""
    return replace(
        style,
        bass_ceiling=style.bass_ceiling if "ceiling" in kinds else HIGHEST_SEMITONE,
        highest=style.highest if "highest" in kinds else HIGHEST_SEMITONE,
    )


def _bass_of_the_chord(moment: Moment, kinds: frozenset[str]) -> Moment:
    """The moment with what is left out of root, line and strokes taken from it."""
    chord = moment.chord
    if "bass" not in kinds and chord is not None and moment.texture == "solo":
        tones = set(chord.degrees) | ({"slash bass"} if chord.bass else set())
        moment = replace(moment, roles=moment.roles | tones)
    if "strokes" not in kinds and moment.texture == "solo" and moment.strikes[0][0]:
        asked = moment.strikes[0]
        without = [(False, *struck[1:]) for struck in moment.strikes]
        first = ((False, *asked[1:]), asked)
        moment = replace(moment, strikes=tuple(dict.fromkeys((*first, *moment.strikes, *without))))
    return moment


def _roles(moment: Moment, frets: tuple[int, ...], struck: Strokes, wanted: Wanted) -> list[str]:
    instrument = wanted.instrument
    pitch = instrument.pitch(0, frets[0])
    others = (
        struck[course] and instrument.pitch(course, frets[course]) == moment.melody
        for course in range(1, len(frets))
    )
    carries = moment.sings and pitch == moment.melody and not any(others)
    return bass_roles(moment, pitch, instrument, carries)
