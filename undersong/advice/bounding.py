"""What each combination of tuning, capo and key costs at least: enough to know which win a place.

Public: KeyTable, Found, Bounds, bounded, places, no_better_of.
"""

import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from fretboard.instrument import Instrument
from solver.style import Style
from solver.watch import Watch
from tune.tune import Tune
from undersong.advice.combinations import Combination
from undersong.advice.crew import Crew
from undersong.advice.queue import Group, Queue
from undersong.advice.weighing import Weigh, Weighed, Weigher

KEPT_FOR_ROWS = 1.0
"""How many times as long as its exact pass a row's solution may take: time that is kept back."""


@dataclass
class KeyTable:
    """A table in the making. rows: its places; asked_style: ``KeysAsked.style``; slowest: seconds
    of the slowest pass so far."""

    watch: Watch
    weigher: Weigher
    rows: int
    asked_style: Callable[[Tune, Instrument], Style]
    slowest: float = 0.0

    def tune(self, one: Combination) -> Tune:
        return self.weigher.moved(one.semitones)

    def style(self, one: Combination) -> Style:
        return self.asked_style(self.tune(one), one.instrument)

    @property
    def time_for_rows(self) -> float:
        """Seconds that are kept back."""
        return KEPT_FOR_ROWS * self.rows * self.slowest


@dataclass(frozen=True, eq=False)
class Found:
    """What is known of a fret problem: ms at least, and whether the best costs just that."""

    alike: Group
    least: int
    exact: bool

    @property
    def rank(self) -> tuple[object, ...]:
        return self.least, self.alike[0].order


@dataclass(frozen=True)
class Bounds:
    """refused: what cannot be played, each with ``NotPlayable.what``; late: combinations for which
    there was no time."""

    found: list[Found]
    refused: list[tuple[Group, str]]
    late: int


def bounded(table: KeyTable, crew: Crew, left: Sequence[Group]) -> Bounds:
    """What is known of all that is left to look at."""
    found: list[Found] = []
    refused: list[tuple[Group, str]] = []
    queue = Queue(_promising_first(table, left))
    while True:
        for group, weighed in _weighed(table, crew, queue, found):
            table.slowest = max(table.slowest, weighed.took)
            if weighed.cannot:
                refused.append((group, weighed.cannot))
            else:
                found.append(Found(group, weighed.ms, weighed.exact))
        again = [] if queue.left else _may_win(found, table.rows)
        if not again:
            return Bounds(found, refused, sum(map(len, queue.left)))
        found = [each for each in found if each not in again]
        queue = Queue(each.alike for each in again)


def _weighed(
    table: KeyTable, crew: Crew, queue: Queue, found: Sequence[Found]
) -> Iterator[tuple[Group, Weighed]]:
    """The groups of the queue, as long as there is time; found: all that is known by then."""
    of = len(queue.left)
    out: dict[int, Group] = {}

    def more(who: int) -> Weigh | None:
        seconds = table.watch.left - table.time_for_rows
        group = queue.next(who) if seconds > 0 else None
        if group is None:
            return None
        one, known = group[0], places(found)
        enough = known[table.rows - 1].least if len(known) >= table.rows else None
        until = time.monotonic() + seconds
        task = Weigh(one.instrument, table.style(one), one.semitones, enough, until)
        out[id(task)] = group
        return task

    def number() -> str:
        return f"combination {min(of, of - len(queue.left) - len(out) + 1)} of {of}"

    for task, weighed in crew.done(more, table.watch.saying(number)):
        group = out.pop(id(task))
        if weighed is None:
            queue.back(group)
        else:
            yield group, weighed


def places(found: Iterable[Found]) -> list[Found]:
    """What may take the first places, the best first: all of which it is known what they cost, but
    those with more frets than do any good."""
    no_better = no_better_of(found)
    exact = [each for each in found if each.exact and each not in no_better]
    return sorted(exact, key=lambda each: each.rank)


def no_better_of(found: Iterable[Found]) -> set[Found]:
    """Those with extra frets that cost no less than without some of these."""
    costs = {
        (one.instrument.tuning, one.instrument.capo, one.semitones, one.extra): each.least
        for each in found
        if each.exact
        for one in each.alike
    }
    extras = {extra for *_, extra in costs}

    def needless(one: Combination, least: int) -> bool:
        strings = one.instrument.tuning, one.instrument.capo, one.semitones
        fewer = (extra for extra in extras if set(extra) < set(one.extra))
        return any(costs.get((*strings, extra), least + 1) <= least for extra in fewer)

    return {each for each in found if each.exact and needless(each.alike[0], each.least)}


def _may_win(found: Sequence[Found], rows: int) -> list[Found]:
    """Those given up under a bound that is too low by now: places fell away since, for frets that
    do no good."""
    known = places(found)
    last = known[rows - 1].least if len(known) >= rows else None
    return [each for each in found if not each.exact and (last is None or each.least <= last)]


def _promising_first(table: KeyTable, left: Sequence[Group]) -> list[Group]:
    """Strings together, those first on which most open strings belong to the chords: good answers
    met early rule out more."""
    order: dict[Instrument, int] = {}
    ranked = sorted(range(len(left)), key=lambda place: -_open_tones(table, left[place][0]))
    for place in ranked:
        order.setdefault(left[place][0].instrument, len(order))
    return [left[p] for p in sorted(ranked, key=lambda p: order[left[p][0].instrument])]  # stable


def _open_tones(table: KeyTable, one: Combination) -> int:
    """How many open strings are tones of the chords, counted chord by chord."""
    opens = [(pitch + one.instrument.capo) % 12 for pitch in one.instrument.tuning]
    chords = [c.chord for bar in table.tune(one).bars for c in bar.chords if c.chord]
    return sum(pitch in chord.pitch_classes for chord in chords for pitch in opens)
