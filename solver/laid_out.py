"""Conditions laid out over one bundle of ways: the families that the search prices and holds.

What only a bar as a whole can tell (is it hard already? is it still the same as in that other
answer?) is remembered at the bundle's nodes, one bit a question, from the bar's first moment on.

Public: lay_out.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scoring.choice import Bools
from scoring.counts import barred_anew, shifts
from scoring.difficulty import MOST, step_difficulty, stretch_difficulty
from scoring.moment import Moment
from scoring.move import Move
from solver.arrays import Rows
from solver.charges import Charge
from solver.conditions.alike import classes_of
from solver.conditions.quota import Quota
from solver.constraints.alike import AlikeFamily
from solver.constraints.few_shapes import FewShapesFamily
from solver.constraints.quotas import QuotaFamily, Whole
from solver.counted import counts_of_nodes, where_counted, wheres_counted
from solver.family import Family
from solver.question import Apart, Question
from solver.ways import Ways
from tune.tune import Tune

_OF_MOVES: dict[str, Callable[[Move], Bools]] = {"shifts": shifts, "barred": barred_anew}
"""What is counted of moves → what counts it."""


def lay_out(ways: Ways, question: Question) -> tuple[Ways, list[Family]]:
    """The bundle, with memory where conditions need it and without what hard ties rule out one by
    one, and the families over it."""
    conditions, moments = question.conditions, question.moments
    bundle = _Bundle(question.tune, moments)
    classes: tuple[int, ...] = ()
    if conditions.alike is not None:
        classes = classes_of(question.tune, moments, conditions.alike.what)
        if conditions.alike.price is None:
            ways = _tied(ways, moments, classes)
    hard = [quota for quota in conditions.quotas if quota.what == "hard"]
    for quota in hard:
        ways = bundle.remember_hard(ways, bundle.above(quota))
    floors = conditions.floors
    if floors:
        ways = bundle.remember_hard(ways, [_exceeded(floors.get(m.bar)) for m in moments])
    for other in question.apart:
        ways = bundle.remember_same(ways, other)
    bits = len(hard) + bool(floors) + len(question.apart)
    families: list[Family] = []
    if conditions.alike is not None:
        families.append(AlikeFamily(ways, moments, classes, conditions.alike.price))
    shapes = conditions.shapes
    if shapes is not None and (shapes.most is not None or shapes.price is not None):
        families.append(FewShapesFamily(ways, shapes))
    for quota in conditions.quotas:
        if quota.what == "hard":
            bits -= 1
            families += [bundle.hard_bars(ways, quota, bits, w) for w in bundle.wheres(quota)]
        else:
            families += [bundle.counted(ways, quota, w) for w in bundle.wheres(quota)]
    bits -= bool(floors)
    for bar, least in floors.items():
        where = tuple(moment.bar == bar for moment in moments)
        floor = Quota("hard", least=1, above=least - 1)
        families.append(bundle.hard_bars(ways, floor, bits, where))
    for other in question.apart:
        bits -= 1
        families.append(bundle.same_bars(ways, other, bits))
    return ways, families


def _exceeded(least: int | None) -> int | None:
    return None if least is None else least - 1


def _tied(ways: Ways, moments: Sequence[Moment], classes: Sequence[int]) -> Ways:
    """The ways on which each tied moment has hands that all of its class can have."""
    while len(ways.first):
        masks = AlikeFamily(ways, moments, classes, None).allowed()
        if all(mask is None or mask.all() for mask in masks):
            break
        ways = ways.only(masks)
    return ways


@dataclass(frozen=True)
class _Bundle:
    tune: Tune
    moments: Sequence[Moment]

    def begins(self, moment: int) -> bool:
        """Whether a played bar's first moment is this."""
        return moment == 0 or self.moments[moment].bar != self.moments[moment - 1].bar

    def ends(self, moment: int) -> bool:
        return moment == len(self.moments) - 1 or self.begins(moment + 1)

    def wheres(self, quota: Quota) -> tuple[tuple[bool, ...], ...]:
        """The moments that each of a quota's families counts in."""
        return wheres_counted(quota, self.tune, self.moments)

    def counted(self, ways: Ways, quota: Quota, where: tuple[bool, ...]) -> QuotaFamily:
        """Shifts, bars laid anew, or passing notes."""
        whole = self._whole(ways, quota, where)
        nodes = tuple(
            None if counts is None else counts[own]
            for counts, own in zip(whole.nodes, ways.nodes, strict=True)
        )
        steps: list[Rows | None] = [None] * len(ways.tail)
        if quota.what in _OF_MOVES:
            for index in range(len(steps)):
                if whole.where[index + 1]:
                    found = self._of_steps(ways, index, _OF_MOVES[quota.what])
                    steps[index] = found.astype(np.intp)
        return QuotaFamily(ways, nodes, tuple(steps), quota.least, quota.most, whole)

    def _whole(self, ways: Ways, quota: Quota, where: tuple[bool, ...]) -> Whole:
        """How the whole graph counts it; of hard bars each hard moment counts its share."""
        nodes = tuple(counts_of_nodes(quota, ways.layers, where))
        if quota.what == "passing":
            return Whole(Charge("", 0), where, nodes)
        shares: tuple[int, ...] = ()
        if quota.what == "hard":
            sizes = Counter(moment.bar for moment in self.moments)
            shares = tuple(sizes[moment.bar] for moment in self.moments)
        return Whole(Charge(quota.what, 0, quota.above or 0), where, nodes, shares)

    def above(self, quota: Quota) -> list[int | None]:
        """Per moment the percent that a hard one exceeds, None where that does not count."""
        where = where_counted(quota, self.tune, self.moments)
        return [(quota.above or 0) if there else None for there in where]

    def remember_hard(self, ways: Ways, above: Sequence[int | None]) -> Ways:
        """Remembers whether the bar has been hard so far, in the bars where that counts."""
        return ways.split(self._hard_at_first(ways, above[0]), self._follow_hard(ways, above))

    def _hard_at_first(self, ways: Ways, above: int | None) -> Rows:
        first = stretch_difficulty(ways.layers[0].shapes.take(ways.shape(0)))
        return np.asarray(first > (MOST if above is None else above), np.intp)

    def _follow_hard(
        self, ways: Ways, above: Sequence[int | None]
    ) -> Callable[[int, Rows, Rows], Rows]:
        def follow(index: int, memory: Rows, step: Rows) -> Rows:
            exceeded = above[index + 1]
            if exceeded is None:
                return np.zeros_like(memory)
            hard = self._of_steps(ways, index, step_difficulty) > exceeded
            kept = np.zeros_like(memory) if self.begins(index + 1) else memory
            return np.asarray(kept | hard[step], np.intp)

        return follow

    def hard_bars(self, ways: Ways, quota: Quota, bit: int, where: tuple[bool, ...]) -> QuotaFamily:
        """Bars that become hard within the quota's range."""
        whole = self._whole(ways, quota, where)
        bits = [(memory >> bit) & 1 for memory in ways.memory]
        nodes: list[Rows | None] = [None] * len(where)
        nodes[0] = bits[0] if where[0] else None
        steps: list[Rows | None] = []
        for index, (tail, head) in enumerate(zip(ways.tail, ways.head, strict=True)):
            fresh = bits[index + 1][head]
            if not self.begins(index + 1):
                fresh = fresh & ~bits[index][tail]
            steps.append(fresh if where[index + 1] else None)
        return QuotaFamily(ways, tuple(nodes), tuple(steps), quota.least, quota.most, whole)

    def remember_same(self, ways: Ways, other: Apart) -> Ways:
        """Remembers whether the bar has been fretted as in the other answer so far."""

        def follow(index: int, memory: Rows, step: Rows) -> Rows:
            if other.within is not None and self.moments[index + 1].bar not in other.within:
                return np.zeros_like(memory)
            same = self._same(ways, index + 1, other)[ways.head[index]][step]
            return (same if self.begins(index + 1) else memory & same).astype(np.intp)

        return ways.split(self._same(ways, 0, other), follow)

    def _same(self, ways: Ways, moment: int, other: Apart) -> Rows:
        """(nodes of a moment,): 1 where frets and strokes are the other answer's."""
        shapes, choice = ways.layers[moment].shapes, other.choices[moment]
        same = (shapes.frets == np.array(choice.grip.frets)).all(axis=1)
        same &= (shapes.struck == np.array(choice.struck)).all(axis=1)
        return np.asarray(same[ways.shape(moment)], np.intp)

    def same_bars(self, ways: Ways, other: Apart, bit: int) -> QuotaFamily:
        """Bars that are the same to their end: no more than leaves enough to differ."""
        bars = {moment.bar for moment in self.moments}
        if other.within is not None:
            bars &= other.within
        nodes = [
            (memory >> bit) & 1 if self.ends(moment) and self.moments[moment].bar in bars else None
            for moment, memory in enumerate(ways.memory)
        ]
        steps: list[Rows | None] = [None] * len(ways.tail)
        nothing = Whole(None, (False,) * len(nodes), (None,) * len(nodes))
        return QuotaFamily(ways, tuple(nodes), tuple(steps), None, len(bars) - other.bars, nothing)

    def _of_steps(
        self, ways: Ways, index: int, count: Callable[[Move], NDArray[Any]]
    ) -> NDArray[Any]:
        """(steps from a moment,): what ``count`` makes of their moves, each pair of shapes once."""
        before, after = ways.layers[index].shapes, ways.layers[index + 1].shapes
        tail, head = ways.shape(index)[ways.tail[index]], ways.shape(index + 1)[ways.head[index]]
        pairs, number = np.unique(tail.astype(np.int64) << 32 | head, return_inverse=True)
        moment = self.moments[index]
        move = Move(
            before.take((pairs >> 32).astype(np.intp)),
            after.take((pairs & (1 << 32) - 1).astype(np.intp)),
            moment.ms,
            moment.damped,
        )
        return np.asarray(count(move)[number.reshape(-1)])
