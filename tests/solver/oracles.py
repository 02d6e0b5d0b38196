"""What the search must find, counted out by other means.

``Book`` is every sequence of choices, written down from the rules (``tests.solver.ruled_book``),
with what each costs by the counting of ``scoring``, and nothing of the solver's layers, labels,
links, tables, passes or pruning. Its ``literal`` answer compares whole sequences one by one; its
``gathered`` answer, for more sequences than can be written down, meets each standing (choice, bass
line, tones heard, note owed) once.

Public: Book, Found, Mark.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from scoring.choice import NO_ROLE, ROLE_CODE, Choice, Shapes, Stands
from scoring.move import Move
from scoring.terms import (
    FINGER_TERMS,
    HAND_TERMS,
    LINE_TERMS,
    PAIR_TERMS,
    SHAPE_TERMS,
    STAND_TERMS,
    VOICE_TERMS,
)
from tests.solver.ruled_book import NOTHING_OWED, RuledBook, Standing, choice_key

UNREACHED = 1 << 60


@dataclass(frozen=True)
class Found:
    """cost: ms, None when there is no sequence at all; choices: the first of the cheapest
    sequences; sequences: how many there are."""

    cost: int | None
    choices: tuple[Choice, ...]
    sequences: int


class Mark:
    """Turns a set of priced sequences into one number, so that two sets can be compared without
    writing them down.

    Every choice at every moment gets a number by lot, a sequence the product of its choices'
    numbers and of x to the power of its cost, a set the sum, all modulo a prime near 2^61. Two
    sets that differ have the same number with a chance of about 1 in 2^50 (Schwartz and Zippel).
    """

    PRIME = (1 << 61) - 1

    def __init__(self, seed: int) -> None:
        self._seed = seed
        self._x = random.Random(f"x {seed}").randrange(2, self.PRIME)
        self._known: dict[tuple[object, ...], int] = {}

    def of(self, index: int, choice: Choice) -> int:
        key = (index, *choice_key(choice))
        if key not in self._known:
            self._known[key] = random.Random(f"{self._seed} {key}").randrange(1, self.PRIME)
        return self._known[key]

    def power(self, cost: int) -> int:
        return pow(self._x, cost, self.PRIME)


class Book(RuledBook):
    """All sequences of choices for some moments, with what they cost."""

    @cached_property
    def _own(self) -> list[list[int]]:
        return [self._own_costs(index) for index in range(len(self.moments))]

    @cached_property
    def _way(self) -> list[list[list[int]]]:
        return [self._way_costs(index) for index in range(len(self.moments) - 1)]

    # the cost

    def _shapes_of(self, standings: list[Standing]) -> Shapes:
        rows = [(s.choice.grip, s.choice.struck) for s in standings]
        return Shapes.of(rows, self.instrument, self.hand)

    def _lines(self, standings: list[Standing]) -> np.ndarray:
        return np.array([-1 if s.line is None else s.line for s in standings], np.int32)

    def _own_costs(self, index: int) -> list[int]:
        """ms that each standing at that moment costs by itself."""
        standings, moment = self.standings[index], self.moments[index]
        names = list(moment.chord.degrees) if moment.chord else []
        roles = [s.choice.role for s in standings]
        stands = Stands(
            self._shapes_of(standings),
            np.array([NO_ROLE if r is None else ROLE_CODE[r] for r in roles], np.int32),
            self._lines(standings),
            np.array([sum(1 << names.index(d) for d in s.heard) for s in standings], np.int32),
        )
        total = np.zeros(len(standings), np.int64)
        if standings:
            for shape in SHAPE_TERMS:
                amount = shape.amount(stands.shapes).astype(np.int64)
                total += amount * self.weights[shape.about.name]
            for stand in STAND_TERMS:
                amount = stand.amount(stands, moment).astype(np.int64)
                total += amount * self.weights[stand.about.name]
        return total.tolist()

    def steps(self, index: int) -> tuple[list[int], list[int]]:
        """Tail and head of every step from that moment to the next, tails in order."""
        tails = [t for t, ways in enumerate(self.onward[index]) for _ in ways]
        return tails, [h for ways in self.onward[index] for h in ways]

    def moves(self, index: int) -> Move:
        """The hand's move of every step from that moment to the next."""
        moment, (tail, head) = self.moments[index], self.steps(index)
        one = self._shapes_of(self.standings[index]).take(np.array(tail, np.intp))
        other = self._shapes_of(self.standings[index + 1]).take(np.array(head, np.intp))
        return Move(one, other, moment.ms, moment.damped)

    def shapes(self, index: int) -> Shapes:
        """The shape of every standing at that moment."""
        return self._shapes_of(self.standings[index])

    def costs(self, index: int) -> tuple[list[int], list[int]]:
        """ms that each standing at that moment costs by itself, and each step that leads there
        from the moment before (none at the first)."""
        steps = [cost for ways in self._way[index - 1] for cost in ways] if index else []
        return self._own[index], steps

    def _way_costs(self, index: int) -> list[list[int]]:
        """ms from each standing to each that may follow."""
        after = self.moments[index + 1]
        old, new = self.standings[index], self.standings[index + 1]
        tail, head = self.steps(index)
        total = np.zeros(len(tail), np.int64)
        if tail:
            move = self.moves(index)
            one, other = move.before, move.after
            lines = self._lines(old)[tail], self._lines(new)[head]
            struck = np.array([new[h].choice.struck[0] for h in head], np.int32)
            upper = one.pitch[:, 1:], other.pitch[:, 1:]
            amounts = {t: t.amount(move.fingers).sum(axis=1) for t in FINGER_TERMS}
            amounts |= {t: t.amount(move.whole) for t in HAND_TERMS}
            amounts |= {t: t.amount(*upper).sum(axis=1) for t in VOICE_TERMS}
            amounts |= {t: t.amount(one, other) for t in PAIR_TERMS}
            amounts |= {t: t.amount(*lines, struck, after) for t in LINE_TERMS}
            for term, amount in amounts.items():
                total += amount.astype(np.int64) * self.weights[term.about.name]
        ends = np.cumsum([len(ways) for ways in self.onward[index]])[:-1]
        return [part.tolist() for part in np.split(total, ends)] if self.onward[index] else []

    # the answers

    def ends(self) -> list[bool]:
        """Whether the tune may end in each standing of the last moment."""
        return [standing.owed == NOTHING_OWED for standing in self.standings[-1]]

    def count(self) -> int:
        """How many whole sequences there are."""
        onward = [int(ends) for ends in self.ends()]
        for ways in reversed(self.onward):
            onward = [sum(onward[h] for h in heads) for heads in ways]
        return sum(onward)

    def sequences(self) -> Iterator[tuple[int, tuple[int, ...]]]:
        """(cost, standings' numbers) of every whole sequence, first choices first."""
        ends, last = self.ends(), len(self.moments) - 1
        stack = [(self._own[0][n], (n,)) for n in reversed(range(len(self.standings[0])))]
        while stack:
            cost, way = stack.pop()
            index = len(way) - 1
            if index == last:
                if ends[way[-1]]:
                    yield cost, way
                continue
            heads, costs = self.onward[index][way[-1]], self._way[index][way[-1]]
            stack += [
                (cost + step + self._own[index + 1][head], (*way, head))
                for head, step in zip(reversed(heads), reversed(costs), strict=True)
            ]

    def fingerprint(self, mark: Mark) -> int:
        """One number for the whole set of priced sequences (see ``Mark``)."""
        last = len(self.moments) - 1
        marks = [
            [
                mark.of(index, standing.choice) * mark.power(cost) % mark.PRIME
                for standing, cost in zip(standings, self._own[index], strict=True)
            ]
            for index, standings in enumerate(self.standings)
        ]
        onward = [m if ends else 0 for m, ends in zip(marks[last], self.ends(), strict=True)]
        for index in range(last - 1, -1, -1):
            ways = zip(self.onward[index], self._way[index], strict=True)
            onward = [
                own
                * sum(mark.power(step) * onward[head] for head, step in zip(*way, strict=True))
                % mark.PRIME
                for own, way in zip(marks[index], ways, strict=True)
            ]
        return sum(onward) % mark.PRIME

    def choices(self, way: tuple[int, ...]) -> tuple[Choice, ...]:
        return tuple(
            standings[number].choice for standings, number in zip(self.standings, way, strict=True)
        )

    def literal(self) -> Found:
        """The first of the cheapest sequences, by looking at every one of them."""
        best: tuple[int, tuple[object, ...], tuple[int, ...]] | None = None
        count = 0
        for cost, way in self.sequences():
            count += 1
            if best is None or cost <= best[0]:
                key = tuple(choice_key(choice) for choice in self.choices(way))
                if best is None or (cost, key) < best[:2]:
                    best = cost, key, way
        if best is None:
            return Found(None, (), 0)
        return Found(best[0], self.choices(best[2]), count)

    def gathered(self) -> Found:
        """The same, meeting each standing once, from the last moment back."""
        both = zip(self._own[-1], self.ends(), strict=True)
        onward = [own if ends else UNREACHED for own, ends in both]
        layers = [onward]
        for index in range(len(self.moments) - 2, -1, -1):
            onward = [
                min(
                    (
                        self._own[index][tail] + step + onward[head]
                        for head, step in zip(heads, self._way[index][tail], strict=True)
                    ),
                    default=UNREACHED,
                )
                for tail, heads in enumerate(self.onward[index])
            ]
            layers.append(onward)
        layers.reverse()
        best = min(layers[0], default=UNREACHED)
        if best >= UNREACHED:
            return Found(None, (), 0)
        way = [layers[0].index(best)]
        for index in range(len(self.moments) - 1):
            tail = way[-1]
            left = layers[index][tail] - self._own[index][tail]
            way.append(
                next(
                    head
                    for head, step in zip(
                        self.onward[index][tail], self._way[index][tail], strict=True
                    )
                    if step + layers[index + 1][head] == left
                )
            )
        return Found(best, self.choices(tuple(way)), self.count())
