"""Frets that exist, fingers where there is something to stop, and tones of the chord.

Public: frets_exist, chord_tones, bass_lowest.
"""

from collections.abc import Iterator

from undersong.check.fault import Fault
from undersong.check.passage import SILENT, Passage


def frets_exist(passage: Passage) -> Iterator[Fault]:
    """Every fret is there, above the capo and below its ceiling, and stopped by a finger."""
    instrument, style = passage.arrangement.instrument, passage.arrangement.style
    for index, choice in enumerate(passage.choices):
        for course, fret in enumerate(choice.grip.frets):
            string, finger = passage.string(course), choice.grip.fingers[course]
            if fret == SILENT:
                continue
            if fret != instrument.capo and (
                fret < instrument.capo or fret not in instrument.courses[course].frets
            ):
                yield passage.fault(
                    index,
                    "fret",
                    f"{string} cannot sound {max(fret, 0)} semitones above its nut: no fret lies "
                    "there, or the capo is in front of it",
                )
                continue
            ceiling = style.highest if course else style.bass_ceiling
            if course in passage.carriers(index):
                ceiling = style.melody_highest
            if fret - instrument.capo > ceiling:
                yield passage.fault(
                    index,
                    "fret",
                    f"{string} is at fret {passage.fret(index, course)}, above its ceiling",
                )
            if fret == instrument.capo and finger >= 0:
                yield passage.fault(
                    index,
                    "finger",
                    f"{string} is open, yet {passage.arrangement.hand.letter(finger)} stops it",
                )
            if fret > instrument.capo and finger < 0:
                yield passage.fault(
                    index,
                    "finger",
                    f"no finger stops {string} at fret {passage.fret(index, course)}",
                )


def chord_tones(passage: Passage) -> Iterator[Fault]:
    """Every string struck above the bass sounds a tone of the chord in force."""
    for index, (choice, ask) in enumerate(zip(passage.choices, passage.asks, strict=True)):
        chord = ask.time.chord
        if chord is None:
            continue
        for course in range(1, len(choice.struck)):
            pitch = passage.pitch(index, course)
            if choice.struck[course] and pitch >= 0 and pitch % 12 not in chord.pitch_classes:
                yield passage.fault(
                    index,
                    "chord tone",
                    f"{passage.string(course)} sounds a note foreign to {chord}",
                )


def bass_lowest(passage: Passage) -> Iterator[Fault]:
    """No string sounds below the bass string, unless the player allows it at a price."""
    if not passage.arrangement.style.bass_lowest:
        return
    for index, choice in enumerate(passage.choices):
        bass = passage.pitch(index, 0)
        for course in range(1, len(choice.grip.frets)):
            if 0 <= passage.pitch(index, course) < bass:
                yield passage.fault(
                    index, "lowest", f"{passage.string(course)} sounds below the bass"
                )
