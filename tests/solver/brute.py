"""The best of all sequences under conditions on the whole tune, found by looking at every one.

``Page`` spreads out every sequence of a ``Book`` as one row, its moments' costs and whatever is
counted beside it, and judges each row by the conditions' words, with code of its own and of the
checker (``undersong.check``), none of the solver's: what comes again, what a pupil learns, what
lies across anew. Amounts that belong to a move come from ``scoring``.

Public: Page, Told, brute_best, moments_asked.
"""

from collections.abc import Hashable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from scoring.choice import Choice
from scoring.difficulty import step_difficulty, stretch_difficulty
from scoring.moment import Moment
from solver.conditions import Conditions
from solver.conditions.alike import Alike
from solver.conditions.few_shapes import FewShapes
from solver.conditions.limits import Limits
from solver.conditions.near import Near
from solver.conditions.pins import Pin, manners_of
from solver.conditions.quota import Quota
from solver.moments import moments_of
from tests.solver.instances import Instance
from tests.solver.oracles import Book
from tests.solver.ruled_book import choice_key
from tune.tune import Tune
from undersong.check.conditions import (
    frets_off,
    hands,
    known_shape,
    lies_across_anew,
    places_again,
    pupil_shape,
)
from undersong.check.limits import held_faults, times_needed
from undersong.check.manners import bars_meant
from undersong.check.pins import holds as pin_holds
from undersong.check.pins import pinned_at

Rows = NDArray[np.int64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Told:
    """cost: ms, asked prices included, of the best; work: its hand work alone; worst: ms of its
    costliest moment; choices: the first of the best."""

    cost: int
    work: int
    worst: int
    choices: tuple[Choice, ...]


def moments_asked(case: Instance, conditions: Conditions) -> tuple[Moment, ...]:
    """The moments, pinned manners in force."""
    manners = manners_of(case.tune, conditions.pins)
    return moments_of(case.tune, case.style, len(case.instrument.courses), manners)


def brute_best(case: Instance, conditions: Conditions) -> int | None:
    """ms of the best sequence of all, None where none holds the conditions."""
    book = Book(
        moments_asked(case, conditions), case.instrument, case.hand, case.style, case.weights
    )
    told = Page(book, case.tune).best(conditions)
    return None if told is None else told.cost


class Page:
    """Every sequence of a book, in the book's order.

    standing: (sequences, moments) the standings' numbers; step: the same with the number of the
    step that leads there, 0 at the first moment; cost: ms of each moment, its move included.
    """

    def __init__(self, book: Book, tune: Tune) -> None:
        self.book, self.tune = book, tune
        standing, step = self._spread()
        self.standing, self.step = standing, step
        costs = []
        for index in range(len(book.moments)):
            own, steps = (np.array(part, np.int64) for part in book.costs(index))
            cost = own[standing[:, index]] if len(own) else np.zeros(0, np.int64)
            costs.append(cost + steps[step[:, index]] if index and len(steps) else cost)
        self.cost = np.stack(costs, axis=1)

    def _spread(self) -> tuple[Rows, Rows]:
        book, last = self.book, len(self.book.moments) - 1
        alive = [np.array(book.ends(), np.bool_)]
        for ways in reversed(book.onward):
            reach = alive[-1]
            alive.append(np.array([any(reach[h] for h in heads) for heads in ways], np.bool_))
        alive.reverse()
        at = np.flatnonzero(alive[0])
        standing, step = [at], [np.zeros_like(at)]
        for index in range(last):
            heads = np.array([h for ways in book.onward[index] for h in ways], np.intp)
            counts = np.array([len(ways) for ways in book.onward[index]], np.intp)
            starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.intp)
            many = counts[standing[-1]] if len(counts) else np.zeros(0, np.intp)
            row = np.repeat(np.arange(len(many)), many)
            begins = np.concatenate([[0], np.cumsum(many)])[:-1].astype(np.intp)
            taken = starts[standing[-1]][row] + np.arange(len(row)) - begins[row]
            if len(row):
                fits = alive[index + 1][heads[taken]]
                row, taken = row[fits], taken[fits]
            standing = [column[row] for column in standing] + [heads[taken]]
            step = [column[row] for column in step] + [taken]
        return np.stack(standing, axis=1), np.stack(step, axis=1)

    def choices(self, row: int) -> tuple[Choice, ...]:
        return self.book.choices(tuple(self.standing[row].tolist()))

    def best(self, conditions: Conditions) -> Told | None:
        """The first of the best sequences that hold the conditions."""
        holds, extra = self.judged(conditions)
        worst = self.cost.max(axis=1)
        if conditions.costliest and conditions.costliest.weight is None and holds.any():
            holds = holds & (worst == worst[holds].min())
        if not holds.any():
            return None
        total = self.cost.sum(axis=1) + extra
        least = int(total[holds].min())
        ties = [self.choices(row) for row in np.flatnonzero(holds & (total == least)).tolist()]
        first = min(range(len(ties)), key=lambda n: tuple(map(choice_key, ties[n])))
        row = np.flatnonzero(holds & (total == least))[first]
        return Told(least, int(self.cost[row].sum()), int(worst[row]), ties[first])

    def judged(self, conditions: Conditions) -> tuple[Mask, Rows]:
        """For each sequence whether it holds what is asked, and the ms that prices add; what the
        costliest moment first asks for is left out."""
        holds = np.ones(len(self.standing), np.bool_)
        extra = np.zeros(len(self.standing), np.int64)
        if conditions.alike:
            differs = self._differs(conditions.alike)
            if conditions.alike.price is None:
                holds &= differs == 0
            else:
                extra += conditions.alike.price * differs
        if conditions.shapes:
            many, unknown = self._shapes(conditions.shapes)
            if conditions.shapes.most is not None:
                holds &= many <= conditions.shapes.most
            if conditions.shapes.price is not None:
                extra += conditions.shapes.price * unknown
            else:
                holds &= unknown == 0
        for quota in conditions.quotas:
            played = dict.fromkeys(moment.bar for moment in self.book.moments)
            for bar in played if quota.each else (None,):
                if bar is not None and not self._meant(quota, bar):
                    continue
                count = self.counted(quota, bar)
                holds &= count >= (quota.least or 0)
                if quota.most is not None:
                    holds &= count <= quota.most
        for pin in conditions.pins:
            holds &= self._pinned(pin)
        if conditions.near:
            extra += conditions.near.price * self._off(conditions.near)
        if conditions.limits:
            holds &= self._limited(conditions.limits)
        if conditions.costliest and conditions.costliest.weight is not None:
            extra += conditions.costliest.weight * self.cost.max(axis=1)
        return holds, extra

    def _pinned(self, pin: Pin) -> Mask:
        """Whether each sequence has what is fixed and nothing that is forbidden."""
        left = np.ones(len(self.standing), np.bool_)
        for index, asked in pinned_at(self.tune, self.book.moments, pin):
            assert asked is not None, f"{pin} keeps another number of strokes"
            moment, instrument = self.book.moments[index], self.book.instrument
            fits = [
                pin_holds(asked, pin.forbid, moment, standing.choice, instrument)
                for standing in self.book.standings[index]
            ]
            left &= np.array(fits, np.bool_)[self.standing[:, index]]
        return left

    def _off(self, near: Near) -> Rows:
        """How many strings have other frets than are named, in each sequence."""
        total = np.zeros(len(self.standing), np.int64)
        for row in near.rows:
            for index, moment in enumerate(self.book.moments):
                there = (moment.bar, moment.offset) == (row.bar, row.offset)
                sounds = moment.chord is not None or moment.melody is not None
                if there and sounds and len(total):
                    off = [
                        frets_off(row.frets, standing.choice.grip.frets)
                        for standing in self.book.standings[index]
                    ]
                    total += np.array(off, np.int64)[self.standing[:, index]]
        return total

    def _limited(self, limits: Limits) -> Mask:
        """Whether each sequence keeps within the limits at every moment."""
        left = np.ones(len(self.standing), np.bool_)
        most = {limit.bar: limit.most for limit in limits.bars}
        for bar, percent in limits.floors.items():
            left &= self.counted(Quota("hard", least=1, above=percent - 1), bar) >= 1
        for index, moment in enumerate(self.book.moments):
            fine = [
                not any(held_faults(s.choice.grip, limits, self.book.instrument, self.book.hand))
                for s in self.book.standings[index]
            ]
            left &= np.array(fine, np.bool_)[self.standing[:, index]]
            percent = most.get(moment.bar, 1000)
            if not index:
                left &= (stretch_difficulty(self.book.shapes(0)) <= percent)[self.standing[:, 0]]
                continue
            move = self.book.moves(index - 1)
            easy = step_difficulty(move) <= percent
            if limits.time is not None:
                easy &= np.array(times_needed(move), np.int64) <= limits.time
            left &= np.asarray(easy)[self.step[:, index]]
        return left

    def _differs(self, alike: Alike) -> Rows:
        """How many bars have other hands than those that they should be played like."""
        found: dict[int, Mask] = {}
        again = places_again(self.tune, self.book.moments, alike.what)
        for index, like in enumerate(again):
            bar = self.book.moments[index].bar
            seen = self._begun if like == 0 else self._hands
            other = seen[:, index] != seen[:, like]
            found[bar] = found.get(bar, np.zeros_like(other)) | other
        return np.sum(list(found.values()), axis=0, dtype=np.int64)

    @cached_property
    def _hands(self) -> Rows:
        """(sequences, moments): a number for each different hands."""
        return self._numbered([[hands(s.choice) for s in row] for row in self.book.standings])[0]

    @cached_property
    def _begun(self) -> Rows:
        """The same of strings that are struck."""
        return self._numbered([[hands(s.choice, 0) for s in row] for row in self.book.standings])[0]

    @cached_property
    def _learned(self) -> tuple[Rows, list[Hashable]]:
        """(sequences, moments): the number of each different shape, and the shapes."""
        rows = [[pupil_shape(s.choice.grip) for s in row] for row in self.book.standings]
        return self._numbered(rows)

    def _numbered(self, rows: list[list[Hashable]]) -> tuple[Rows, list[Hashable]]:
        known: dict[Hashable, int] = {}
        columns = []
        for index, row in enumerate(rows):
            numbers = np.array([known.setdefault(key, len(known)) for key in row], np.int64)
            columns.append(numbers[self.standing[:, index]] if row else self.standing[:, index])
        return np.stack(columns, axis=1), list(known)

    def _shapes(self, shapes: FewShapes) -> tuple[Rows, Rows]:
        """How many different shapes, and how many of them that are not known."""
        numbers, known = self._learned
        used = np.zeros((len(numbers), len(known)), np.bool_)
        for column in numbers.T:
            used[np.arange(len(numbers)), column] = True
        real = np.array([shape != () for shape in known], np.bool_)
        other = np.array([not known_shape(shapes, shape) for shape in known], np.bool_)  # type: ignore[arg-type]
        return used[:, real].sum(axis=1), used[:, real & other].sum(axis=1)

    def _meant(self, quota: Quota, bar: int) -> bool:
        meant = bars_meant(self.tune, quota.bars)
        return any(m.written in meant for m in self.book.moments if m.bar == bar)

    def counted(self, quota: Quota, bar: int | None = None) -> Rows:
        """How often there is, in each sequence, what the quota counts, or in one bar as played."""
        meant = bars_meant(self.tune, quota.bars)
        total = np.zeros(len(self.standing), np.int64)
        bars: dict[int, Mask] = {}
        for index, moment in enumerate(self.book.moments):
            if moment.written not in meant or not len(total) or bar not in (None, moment.bar):
                continue
            flags = self._flags(quota, index)
            if quota.what == "hard":
                bars[moment.bar] = bars.get(moment.bar, np.zeros_like(flags)) | flags
            else:
                total += flags
        return total + np.sum(list(bars.values()), axis=0, dtype=np.int64) if bars else total

    def _flags(self, quota: Quota, index: int) -> Mask:
        """Whether the moment counts, in each sequence."""
        standing, step = self.standing[:, index], self.step[:, index]
        standings = self.book.standings[index]
        if quota.what == "passing":
            return np.array([s.choice.role == "passing" for s in standings], np.bool_)[standing]
        if not index:
            return self._first_flags(quota)[standing]
        if quota.what == "barred":
            before = self.book.standings[index - 1]
            tails, heads = self.book.steps(index - 1)
            anew = [
                lies_across_anew(before[tail].choice.grip, standings[head].choice.grip)
                for tail, head in zip(tails, heads, strict=True)
            ]
            return np.array(anew, np.bool_)[step]
        move = self.book.moves(index - 1)
        if quota.what == "shifts":
            return np.asarray(move.whole.ms > 0)[step]
        return np.asarray(step_difficulty(move) > quota.above)[step]

    def _first_flags(self, quota: Quota) -> Mask:
        """The same for each standing of the first moment, which no move leads to."""
        if quota.what == "barred":
            anew = [lies_across_anew(None, s.choice.grip) for s in self.book.standings[0]]
            return np.array(anew, np.bool_)
        if quota.what == "shifts":
            return np.zeros(len(self.book.standings[0]), np.bool_)
        return np.asarray(stretch_difficulty(self.book.shapes(0)) > quota.above)
