"""What a table of keys and tunings takes beside one answer: every key that a voice can sing, every
usual tuning, four places of the capo; tunes of about 32 bars, each measured in one run, with as
many processes as the command takes on this machine.

A player asks for a table or for an arrangement with a command, so each is measured in a process of
its own that has loaded everything and solved nothing. A second answer in the same process takes
less, since fingerings are known by then; the table beside that one is told too.

Public: run.
"""

import time
from dataclasses import dataclass
from statistics import median

from benchmarks.alone import Answered, alone, both, load
from benchmarks.rows import Row
from fretboard import presets
from solver.watch import Watch
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

ANSWERS = 5
"""Processes that answer, of which the one in the middle counts."""


@dataclass(frozen=True)
class Tabled:
    """seconds; looked_at, playable: combinations; proven: the whole table."""

    seconds: float
    looked_at: int
    playable: int
    proven: bool


def run() -> list[Row]:
    """Three rows a tune: how many answers its table takes as long as, how many of those that come
    second in a process, and whether it is not proven."""
    rows = []
    for name in TUNES:
        answers = [Answered(**alone("advice", f"answer({name!r})")) for _ in range(ANSWERS)]
        first = median(each.first for each in answers)
        again = median(each.again for each in answers)
        table = Tabled(**alone("advice", f"table({name!r})"))
        note = (
            f"{table.looked_at} combinations, {table.playable} playable, {spare() + 1} processes; "
            f"{table.seconds:.1f} s, one answer {first:.2f} s"
        )
        rows += [
            Row(f"keys of {name}", (table.seconds / first,), "answers", TARGET, note),
            Row("  in second answers", (table.seconds / again,), "answers"),
            Row("  tables not proven", (float(not table.proven),), "", 0.0),
        ]
    return rows


def answer(name: str) -> Answered:
    tune = read_tune(name)
    return both(lambda: Session(tune).arrange(), time.perf_counter)


def table(name: str) -> Tabled:
    own = presets.instrument()
    tunings = tuple((info.name, info.pitches) for info in presets.tunings() if info.name in TUNINGS)
    wanted = Choices(own, own, tunings, CAPOS, tuple(range(-5, 7)), voice=voice("alto"))
    tune = read_tune(name)
    load()
    begun = time.perf_counter()
    advice = keys(KeysAsked(tune, wanted), Watch(seconds=900), spare())
    seconds = time.perf_counter() - begun
    return Tabled(seconds, advice.looked_at, advice.playable, advice.proven)
