"""A fret that the fretboard does not have: what would have it.

Public: not_there.
"""

from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name
from undersong.handed.numbers import PLAIN, Numbering, written_number

TUNED = (1, -1, 2, -2)
"""Semitones that one string might be tuned up or down."""


def not_there(course: int, fret: int, instrument: Instrument, numbering: Numbering = PLAIN) -> str:
    """One sentence: what is missing, and which fret, tuning or other string would have the note;
    frets as the tab writes them."""

    def written(fret: int) -> str:
        return written_number(fret, numbering)

    name, label = instrument.course_name(course), written(fret)
    if fret < instrument.capo:
        return (
            f"the {name} string has fret {label} behind the capo at fret "
            f"{written(instrument.capo)}; count frets from the capo with --from-capo, or "
            "take the capo off"
        )
    told = [f"a fretboard with fret {label} has it"]
    if fret > max(instrument.frets(course)):
        told = [f"its last fret is {written(max(instrument.frets(course)))}"]
    pitch = instrument.pitch(course, fret)
    for up in TUNED:
        if instrument.has(course, fret - up):
            told.append(
                f"so has fret {written(fret - up)} of a string tuned to "
                f"{pitch_name(instrument.courses[course].open + up)}"
            )
            break
    others = [
        f"fret {written(pitch - instrument.courses[other].open)} of the "
        f"{instrument.course_name(other)} string"
        for other in range(len(instrument.courses))
        if other != course and instrument.has(other, pitch - instrument.courses[other].open)
    ]
    if others:
        told.append(f"the same note is at {others[0]}")
    return f"the {name} string has no fret {label}; " + "; ".join(told)
