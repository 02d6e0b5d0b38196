"""Tunes and cases in a line or two, for tests that want to say exactly what is played.

Public: tune_of, case_of, graph_of.
"""

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from fretboard.presets import instrument
from scoring.weights import Weights
from solver.graph import ChoiceGraph, build_graph
from solver.held import Held
from solver.moments import moments_of
from solver.style import Style
from tests.solver.instances import Instance
from tune.chord import parse_chord
from tune.key import Key
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, ChordChange, Tune

TWO_FINGERS = Hand(name="index and middle", not_used="TRP")


def tune_of(*bars: str, metre: str = "4/4", per_minute: int = 100, key: str = "D") -> Tune:
    """A tune of those bars; the chords of a bar (``N.C.`` for none) share it evenly."""
    time = Metre(*map(int, metre.split("/")))
    made = []
    for number, text in enumerate(bars, 1):
        names = text.split()
        changes = tuple(
            ChordChange(
                place * time.bar // len(names), None if name == "N.C." else parse_chord(name)
            )
            for place, name in enumerate(names)
        )
        made.append(Bar(number, time, time.bar, Key(key), changes))
    return Tune("Made for a test", Key(key), time, Tempo(QUARTER, per_minute), tuple(made))


def case_of(
    *bars: str,
    metre: str = "4/4",
    per_minute: int = 100,
    on: Instrument | None = None,
    hand: Hand = TWO_FINGERS,
    style: Style | None = None,
    weights: Weights | None = None,
) -> Instance:
    """A case on the standard instrument (D3 A3 D4 with 6+), frets to 5 above the bass."""
    return Instance(
        tune_of(*bars, metre=metre, per_minute=per_minute),
        on or instrument(),
        hand,
        style or Style(bass_ceiling=9, highest=5),
        weights or Weights(),
    )


def graph_of(case: Instance) -> ChoiceGraph:
    moments = moments_of(case.tune, case.style, len(case.instrument.courses))
    return build_graph(moments, Held(case.instrument, case.hand, case.style))
