"""What stands above the staff besides chords: sections, times through, tempi.

Public: directions.
"""

from fractions import Fraction
from xml.etree.ElementTree import Element

from tune.time import QUARTER, Tempo
from tune.tune import Tune
from undersong.sheet.beats import value_of
from undersong.sheet.musicxml.elements import add
from undersong.sheet.musicxml.frame import Frame
from undersong.sheet.musicxml.note import TYPES
from undersong.sheet.text_signs import ordinal


def directions(measure: Element, frame: Frame, tune: Tune) -> None:
    """Adds the section's name and time through, and the tempo where it changes."""
    if frame.bar.section:
        add(_above(measure), "rehearsal", frame.bar.section)
    if frame.sheet.turn:
        add(_above(measure), "words", f"{ordinal(frame.sheet.turn)} time")
    tempo = tune.tempo_at(frame.sheet.written)
    before = tune.tempo_at(frame.before.sheet.written) if frame.before else None
    if frame.bar.tempo is not None or tempo != before:
        _tempo(measure, tempo)


def _above(measure: Element) -> Element:
    return add(add(measure, "direction", placement="above"), "direction-type")


def _tempo(measure: Element, tempo: Tempo) -> None:
    """A metronome mark, and how many quarters a minute it sounds."""
    quarters = Fraction(tempo.beat * tempo.per_minute, QUARTER)
    exact = f"{float(quarters):.6f}".rstrip("0").rstrip(".")
    value = value_of(tempo.beat)
    if value is None:
        add(measure, "sound", tempo=exact)
        return
    inner = _above(measure)
    mark = add(inner, "metronome", parentheses="no")
    add(mark, "beat-unit", TYPES[value[0]])
    for _ in range(value[1]):
        add(mark, "beat-unit-dot")
    add(mark, "per-minute", tempo.per_minute)
    add(measure[-1], "sound", tempo=exact)
