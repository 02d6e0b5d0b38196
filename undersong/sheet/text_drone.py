"""Where a drone's open strings clash with the melody, and how badly, in a player's words.

Public: clash_words.
"""

from fractions import Fraction

from scoring.drones import DroneClash, drone_clashes
from solver.refusal import bar_named
from tune.bar_names import beat_name
from tune.chord import pitch_class
from tune.key import octave_of, pitch_in
from tune.tune import Bar
from undersong.sheet.folding import leads
from undersong.sheet.text_bar import Reading

MOST = 6
"""Clashes that are told one by one, the worst of all."""

_HOW = {3: "badly", 2: "roughly", 1: "mildly"}


def clash_words(reading: Reading) -> str:
    """One paragraph: the worst clashes first, and how many more there are; what comes again in a
    repeat is told once."""
    made = reading.arrangement
    every = drone_clashes(made.choices, made.moments, made.instrument)
    found = {(c.written, c.offset, c.course, c.melody): c for c in reversed(every)}.values()
    if not found:
        return "The open strings clash with no melody note."
    worst = sorted(found, key=lambda clash: (-clash.amount, clash.bar, clash.offset, clash.course))
    told = [_words(clash, reading) for clash in worst[:MOST]]
    more = len(found) - len(told)
    rest = f"; and {more} milder or shorter" if more else ""
    return f"The open strings clash: {'; '.join(told)}{rest}."


def _words(clash: DroneClash, reading: Reading) -> str:
    made = reading.arrangement
    moment = next(m for m in made.moments if m.bar == clash.bar)
    bar = made.tune.bars[clash.written]
    beats = Fraction(clash.length, bar.metre.beat)
    length = "1 beat" if beats == 1 else f"{beats} of a beat" if beats < 1 else f"{beats} beats"
    return (
        f"{bar_named(moment, made.tune)}, {_beat(clash, reading)}: "
        f"{pitch_in(clash.pitch, bar.key)} {_HOW[clash.severity]} with "
        f"{_melody(clash.melody, bar)} (a {clash.name}, {length})"
    )


def _melody(pitch: int, bar: Bar) -> str:
    """The note as the tune spells it there."""
    named = (note.name for note in bar.notes if note.midi is not None and note.name)
    name = next((each for each in named if pitch_class(each) == pitch % 12), "")
    return f"{name}{octave_of(pitch, name)}" if name else pitch_in(pitch, bar.key)


def _beat(clash: DroneClash, reading: Reading) -> str:
    """A pickup's beats count from where its whole bar would begin."""
    tune = reading.arrangement.tune
    lead = leads(tune)[clash.bar - 1]
    return beat_name(clash.offset + lead, tune.bars[clash.written].metre.beat)
