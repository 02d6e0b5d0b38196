"""What a page calls a bass note: its place in the chord wherever it has one.

Where no fingered bass can be had, a solo's bass string may ring open whatever the chord, and the
search prices that as a drone. Whoever reads the page wants to know what sounds: an open D is the
fifth of G, drone or not.

Public: shown_role.
"""

from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.moment import Moment


def shown_role(moment: Moment, choice: Choice, instrument: Instrument) -> str | None:
    """The role on paper (``scoring.moment.ROLES``); None where the bass string is not struck."""
    chord = moment.chord
    if choice.role != "drone" or chord is None or moment.texture == "drone":
        return choice.role
    sounds = instrument.pitch(0, choice.grip.frets[0]) % 12
    if chord.bass is not None and sounds == chord.bass_pitch_class:
        return "slash bass"
    return next((name for name, pc in chord.degrees.items() if pc == sounds), choice.role)
