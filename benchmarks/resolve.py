"""How soon a session answers again when one wish changes, beside its first answer.

Everything happens in this process, with all imported and one answer given before. The first answer
is a fresh session's: reading the tune and building the choice graph are part of it. Then a session
that has answered is asked again and again, each time for what it was not asked before: a weight
moves by a few ms, a pin forbids a finger that the best answer uses in some bar, a condition over
the tune is added. Every answer is checked and its bill added up, as a player gets it; how much of
the time that takes is measured by doing it once more.

The targets are the project's own: a weight that moves and a pin are answered in a quarter of the
time of a first answer, and in 0.3 s. A condition over the tune makes it a harder question than the
first one was, and is only told. Processor seconds of this process, since other work on the machine
stretches the clock's; the search uses one thread.
"""

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from statistics import median

from benchmarks.rows import Row
from fretboard.hand import FINGERS
from scoring.weights import DEFAULTS, Weights
from solver.conditions import NONE, Conditions
from solver.conditions.alike import Alike
from solver.conditions.few_shapes import FewShapes
from solver.conditions.pins import Pin
from solver.result import PROVEN, Arrangement
from solver.style import Style
from solver.watch import Watch
from undersong.check import check
from undersong.compared import figures
from undersong.session import Session

TUNE = "harrow-lane"
MANNERS = ("alternating", "walking")
MOVED = {"high-bass": 3, "finger-down": 5, "hand-shift": 1}
"""Weights that move → by how many ms each time."""

RUNS = 7
SHARE = 0.25
SECONDS = 0.3
LONGEST = 600.0

Wish = tuple[Weights, Conditions]
Wishes = Callable[[Arrangement], Iterator[Wish]]
"""From the best answer to what is asked next, one wish after another."""


@dataclass(frozen=True)
class Timed:
    """Processor seconds: whole: from the wish to the checked answer; checked: of those, check and
    bill."""

    whole: float
    checked: float


def run(tune: str = TUNE, manners: tuple[str, ...] = MANNERS, runs: int = RUNS) -> list[Row]:
    rows: list[Row] = []
    for manner in manners:
        _asked(_session(tune, manner), Weights(), NONE)  # so that everything is imported
        firsts = [_first(tune, manner) for _ in range(runs)]
        rows += _rows(f"{manner}, first answer", firsts)
        first = median(each.whole for each in firsts)
        for name, (wishes, aimed) in _wishes().items():
            again = list(_again(_session(tune, manner), wishes, runs))
            rows += _rows(name, again, SECONDS if aimed else None)
            shares = tuple(each.whole / first for each in again)
            rows.append(Row("  share of a first answer", shares, "", SHARE if aimed else None))
    return rows


def _wishes() -> dict[str, tuple[Wishes, bool]]:
    """What is asked again → the wishes, and whether there is a target."""
    moved = {f"  {name} moves": (_moves(name, by), True) for name, by in MOVED.items()}
    return {
        **moved,
        "  a pin is added": (_pins, True),
        "  repeats alike": (_alike, False),
        "  a shape fewer": (_fewer_shapes, False),
    }


def _moves(name: str, by: int) -> Wishes:
    def moves(best: Arrangement) -> Iterator[Wish]:
        value = DEFAULTS[name]
        while True:
            value += by
            yield Weights.of({name: value}), NONE

    return moves


def _pins(best: Arrangement) -> Iterator[Wish]:
    """A bar after another is to do without the finger that it needs most often."""
    for number in dict.fromkeys(bar.number for bar in best.tune.bars):
        there = [
            choice.grip
            for moment, choice in zip(best.moments, best.choices, strict=True)
            if best.tune.bars[moment.written].number == number
        ]
        used = [finger for grip in there for finger in grip.down]
        if used:
            letter = FINGERS[max(used, key=used.count)]
            pins = Pin.parse(f"{number}: finger {letter}", True, best.instrument)
            yield Weights(), Conditions(pins=pins)


def _alike(best: Arrangement) -> Iterator[Wish]:
    while True:
        yield Weights(), Conditions(alike=Alike("repeats"))


def _fewer_shapes(best: Arrangement) -> Iterator[Wish]:
    for most in range(figures(best).shapes - 1, -1, -1):
        yield Weights(), Conditions(shapes=FewShapes(most))


def _session(tune: str, manner: str) -> Session:
    return Session(tune, style=Style(manner))


def _first(tune: str, manner: str) -> Timed:
    begun = time.process_time()
    session = _session(tune, manner)
    made = time.process_time() - begun
    timed = _asked(session, Weights(), NONE)[1]
    return Timed(made + timed.whole, timed.checked)


def _again(session: Session, wishes: Wishes, runs: int) -> Iterator[Timed]:
    best, _ = _asked(session, Weights(), NONE)
    for (weights, conditions), _ in zip(wishes(best), range(runs), strict=False):
        yield _asked(session, weights, conditions)[1]


def _asked(session: Session, weights: Weights, conditions: Conditions) -> tuple[Arrangement, Timed]:
    begun = time.process_time()
    found = session.arrange(weights, conditions, watch=Watch(LONGEST))
    whole = time.process_time() - begun
    if found.proof.status != PROVEN:
        raise SystemExit(f"{session.tune.title}: an answer was not proven")
    fresh = replace(found)  # whose bill is not added up yet
    begun = time.process_time()
    faults = check(fresh)
    if faults or fresh.asked_cost != found.asked_cost:
        raise SystemExit(f"{session.tune.title}: checked again, an answer is another one")
    return found, Timed(whole, time.process_time() - begun)


def _rows(name: str, timed: list[Timed], target: float | None = None) -> list[Row]:
    return [
        Row(name, tuple(each.whole for each in timed), "s", target),
        Row("  of it check and bill", tuple(each.checked for each in timed), "s"),
    ]
