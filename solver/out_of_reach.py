"""Melody notes that the instrument cannot play, told before anything is searched.

Public: OutOfReach, unreachable, why_not, named.
"""

from dataclasses import dataclass

from fretboard.instrument import Instrument
from solver.style import Style
from tune.key import Key, note_name
from tune.melody import Sung, sung
from tune.tune import Tune


@dataclass(frozen=True)
class OutOfReach:
    """note: where and which; name: with its octave, as its key spells it; why: the end of a
    sentence."""

    note: Sung
    name: str
    why: str


def unreachable(tune: Tune, instrument: Instrument, style: Style) -> tuple[OutOfReach, ...]:
    """Every melody note that no string has within its limits, in playing order."""
    reasons: dict[int, str | None] = {}
    missing = []
    for note in sung(tune, style.graces):
        if note.midi not in reasons:
            reasons[note.midi] = why_not(note.midi, instrument, style)
        why = reasons[note.midi]
        if why is not None:
            name = named(note.midi, tune.bars[note.written].key)
            missing.append(OutOfReach(note, name, why))
    return tuple(missing)


def named(midi: int, key: Key) -> str:
    """A pitch as the key spells it, with its octave: 60 is C4."""
    name = note_name(midi % 12, key)
    signs = name.count("#") - name.count("b")
    return f"{name}{(midi - signs) // 12 - 1}"


def why_not(midi: int, instrument: Instrument, style: Style) -> str | None:
    """Why no string may carry a melody note of that pitch; None where one may. Over a drone only
    the last string may, and a bass string that the palm damps may not."""
    last = len(instrument.courses) - 1
    courses = [last] if style.texture == "drone" else list(range(last + 1))
    damped = style.texture == "solo" and style.right_hand.damped
    limit = instrument.capo + style.melody_highest
    there = [c for c in courses if midi - instrument.courses[c].open in instrument.frets(c)]
    for course in there:
        if midi - instrument.courses[course].open <= limit and not (damped and course == 0):
            return None
    which = f"the {instrument.course_name(last)} string" if len(courses) == 1 else "the strings"
    if there and midi - instrument.courses[there[-1]].open > limit:
        return f"it lies above the melody's highest allowed, fret {instrument.told(limit)}"
    if there:
        return "only the bass string has it, and the palm damps that; take another right hand"
    if midi < min(instrument.pitch(c, instrument.capo) for c in courses):
        return f"it lies below {which}; an octave higher, another tuning or key may have it"
    if midi > max(instrument.pitch(c, instrument.frets(c)[-1]) for c in courses):
        return f"it lies above all frets of {which}; an octave lower or another key may have it"
    has = "has" if len(courses) == 1 else "have"
    return f"{which} {has} no fret for it; an extra fret, another tuning or key may have it"
