"""How seconds and memory of a whole search grow with the length of the tune.

The tunes are strung together from the bundled ones by a fixed recipe: in the order of their names,
each as played and at its own tempo, the full bars only, then all of them again; cut off after 32,
64, 128, 256, 512 bars. The Vicar's Piano is left out, since its E flat is not on the instrument.
So a longer tune has more different chords too, until all tunes have been through once.

Each run is a process of its own: seconds of the search alone (graph, costs, proof), by the clock
and of processor time, since a busy machine stretches only the former; and the most memory that the
process held beyond what it held before the search. The targets are the project's own: sixteen
times the bars take no more than 1.3 times sixteen times the processor time, and the memory, of 32
bars.
"""

import time
from dataclasses import dataclass, replace
from itertools import cycle, islice
from statistics import median

import corpus
from benchmarks.alone import alone
from benchmarks.rows import Row, held_mib
from fretboard.presets import hand, instrument
from scoring.weights import Weights
from solver.search import search
from solver.style import Style
from tune.readers import read
from tune.tune import Bar, Tune

BARS = (32, 64, 128, 256, 512)
MANNERS = ("alternating", "walking")
RUNS = 3
ALLOWED = 1.3
LEFT_OUT = "the-vicars-piano"


@dataclass(frozen=True)
class Run:
    """One search: seconds by the clock; processor: seconds of processor time; grown: MiB that it
    took beyond what was held before; peak: MiB that the process held at most."""

    clock: float
    processor: float
    grown: float
    peak: float


TOLD = {
    "clock": ("", "s"),
    "processor": ("  processor time", "s"),
    "grown": ("  memory of the search", "MiB"),
    "peak": ("  memory of the process", "MiB"),
}
"""What is told of each length → how it is called, and its unit."""


def strung(bars: int) -> Tune:
    """The recipe's tune of that many bars."""
    tunes = [
        read(str(corpus.path(name))).written_out() for name in corpus.names() if name != LEFT_OUT
    ]
    again = (bar for tune in cycle(tunes) for bar in _full(tune))
    some = islice(again, bars)
    first = tunes[0]
    return Tune(
        f"{bars} bars",
        first.key,
        first.metre,
        first.tempo,
        tuple(replace(bar, number=number) for number, bar in enumerate(some, 1)),
    )


def run() -> list[Row]:
    rows = []
    for manner in MANNERS:
        found = [{bars: _run(bars, manner) for bars in BARS} for _ in range(RUNS)]
        for bars in BARS:
            for field, (name, unit) in TOLD.items():
                values = tuple(getattr(each[bars], field) for each in found)
                rows.append(Row(name or f"{manner}, {bars} bars", values, unit))
        rows.append(_share(found, "processor", f"{manner}, processor time"))
        rows.append(_share(found, "grown", f"{manner}, memory of the search"))
    return rows


def _share(found: list[dict[int, Run]], field: str, name: str) -> Row:
    """What a bar of the longest tune takes, a bar of the shortest one being 1."""
    few, many = BARS[0], BARS[-1]
    one = median(getattr(each[few], field) for each in found) * many / few
    values = tuple(getattr(each[many], field) / one for each in found)
    return Row(f"{name} a bar, {many} to {few}", values, "", ALLOWED)


def _full(tune: Tune) -> list[Bar]:
    """The full bars, the tempo written at the first of them."""
    full = [bar for bar in tune.bars if bar.length == bar.metre.bar]
    return [replace(full[0], tempo=tune.tempo_at(0)), *full[1:]]


def _run(bars: int, manner: str) -> Run:
    return Run(**alone("growth", f"one({bars}, {manner!r})"))


def one(bars: int, manner: str) -> Run:
    tune = strung(bars)
    before = held_mib()
    begun, used = time.perf_counter(), time.process_time()
    answer = search(tune, instrument(), hand(), Style(manner), Weights())
    clock = time.perf_counter() - begun
    processor = time.process_time() - used
    if not answer.optimal:
        raise SystemExit(f"{bars} bars {manner}: the search was not proven")
    return Run(clock, processor, held_mib() - before, held_mib())
