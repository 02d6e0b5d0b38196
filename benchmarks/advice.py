"""What a table of keys and tunings takes beside one answer: every key that a voice can sing, every
usual tuning, four places of the capo; one row a tune of about 32 bars, measured in one run, with as
many processes as the command takes on this machine.

Public: run.
"""

import time
from collections.abc import Callable
from functools import partial

from benchmarks.rows import Row
from fretboard import presets
from solver.watch import Watch
from tune.tune import Tune
from undersong.advice.combinations import Choices
from undersong.advice.crew import spare
from undersong.advice.keys import KeysAsked, keys
from undersong.advice.voices import voice
from undersong.api import read_tune
from undersong.session import Session

TUNES = (
    "harrow-lane",
    "kettle-on-at-nine",
    "lantern-path",
    "tallow-and-rush",
    "three-odd-gloves",
    "through-the-double-doors",
    "wet-boots-in-the-porch",
)
"""Those of the corpus that are 32 or 33 bars as played and that the instrument plays as it is."""

TUNINGS = ("D-A-d", "D-A-A", "D-A-c", "D-A-g", "D-G-d", "C-G-c", "C-G-g")
CAPOS = (0, 2, 5, 7)
TARGET = 20.0
"""Answers that a table may take as long as."""


def run() -> list[Row]:
    """One row a tune: how many single answers the table takes as long as."""
    own = presets.instrument()
    tunings = tuple((info.name, info.pitches) for info in presets.tunings() if info.name in TUNINGS)
    wanted = Choices(own, own, tunings, CAPOS, tuple(range(-5, 7)), voice=voice("alto"))
    rows = []
    for name in TUNES:
        tune = read_tune(name)
        one = min(_seconds(partial(_answer, tune)) for _ in range(2))
        begun = time.perf_counter()
        advice = keys(KeysAsked(tune, wanted), Watch(seconds=900), spare())
        took = time.perf_counter() - begun
        note = (
            f"{advice.looked_at} combinations, {advice.playable} playable, one answer {one:.2f} s, "
            f"{spare() + 1} processes, {'all proven' if advice.proven else 'not proven'}"
        )
        rows.append(Row(f"keys of {name}", (took / one,), "answers", TARGET, note))
        rows.append(Row("  tables not proven", (float(not advice.proven),), "", 0.0))
    return rows


def _seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def _answer(tune: Tune) -> object:
    return Session(tune).arrange()
