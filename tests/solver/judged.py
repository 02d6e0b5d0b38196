"""Tiny cases of conditions over the tune, each with every sequence judged by ``brute.Page``.

Public: Judged, judged, cases, key_of, lawful, given_of, QUICK, SLOW.
"""

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property

import numpy as np

from scoring.choice import Choice
from solver.conditions import Conditions
from solver.errors import ConditionError, NotPlayable
from solver.family import Family, Values
from solver.question import Apart, Question
from solver.ways import Way, Ways
from tests.solver.brute import Page
from tests.solver.bundled import laid_out, question_of
from tests.solver.conditioned import tiny_conditioned
from tests.solver.ruled_book import choice_key

MOST_SEQUENCES = 250
Key = tuple[object, ...]


@dataclass
class Judged:
    """A question, and of every sequence that holds its pins and limits what it costs, None where it
    does not hold what else is asked, floors too: a bundle has ways that break them."""

    seed: int
    question: Question
    truth: dict[Key, int | None]

    @cached_property
    def laid(self) -> tuple[Ways, list[Family]]:
        return laid_out(self.question)

    @property
    def best(self) -> int | None:
        return min((cost for cost in self.truth.values() if cost is not None), default=None)

    def key(self, ways: Ways, way: Way) -> Key:
        nodes = ways.layer_nodes(way)
        layers = self.question.graph.layers
        return key_of([layer.choice(node) for layer, node in zip(layers, nodes, strict=True)])

    def true(self, ways: Ways, way: Way) -> int | None:
        return self.truth[self.key(ways, way)]


def key_of(choices: Sequence[Choice]) -> Key:
    return tuple(map(choice_key, choices))


def fretted_bars(question: Question, choices: Sequence[Choice]) -> list[list[object]]:
    bars: dict[int, list[object]] = {}
    for moment, choice in zip(question.moments, choices, strict=True):
        bars.setdefault(moment.bar, []).append((choice.grip.frets, choice.struck))
    return list(bars.values())


@cache
def judged(seed: int) -> Judged | None:
    """A tiny case with conditions over the tune, and now and then another answer to be apart
    from; None where there are too many sequences, or none."""
    case = tiny_conditioned(seed)
    conditions = replace(case.conditions, costliest=None)
    if not conditions.reach_over_the_tune or case.book.count() > MOST_SEQUENCES:
        return None
    page = Page(case.book, case.case.tune)
    pins = Conditions(
        pins=conditions.pins,
        limits=conditions.without_floors.limits,
        shapes=conditions.shapes if conditions.shapes and conditions.shapes.price is None else None,
    )
    if pins.shapes and pins.shapes.known is None:
        pins = replace(pins, shapes=None)
    elif pins.shapes:
        pins = replace(pins, shapes=replace(pins.shapes, most=None))
    filtered, _ = page.judged(pins)
    holds, extra = page.judged(conditions)
    rows = np.flatnonzero(filtered)
    if not len(rows):
        return None
    dice = random.Random(seed)
    apart: tuple[Apart, ...] = ()
    if dice.random() < 0.4:
        other = page.choices(int(dice.choice(rows)))
        apart = (Apart(other, dice.randint(1, len({m.bar for m in case.book.moments}))),)
    try:
        question = question_of(case.case, conditions, apart)
    except (NotPlayable, ConditionError):
        return None
    truth: dict[Key, int | None] = {}
    for row in rows.tolist():
        choices = page.choices(row)
        far = all(
            sum(
                one != two
                for one, two in zip(
                    fretted_bars(question, choices), fretted_bars(question, a.choices), strict=True
                )
            )
            >= a.bars
            for a in apart
        )
        total = int(page.cost[row].sum() + extra[row])
        truth[key_of(choices)] = total if holds[row] and far else None
    return Judged(seed, question, truth)


def cases(first: int, count: int) -> Iterator[Judged]:
    """``count`` judged cases from a seed on."""
    found = 0
    while found < count:
        case = judged(first)
        first += 1
        if case is not None:
            found += 1
            yield case


QUICK = range(20_000, 20_001)
SLOW = range(400_000, 420_000, 1_000)


def lawful(families: Sequence[Family], dice: np.random.Generator) -> list[Values]:
    """Values by lot, small ones and great ones, brought within what the bound allows."""
    out = []
    for family in families:
        great = int(dice.choice([50, 5_000, 200_000]))
        drawn = dice.integers(-great, great, family.size)
        drawn[dice.random(family.size) < 0.3] = 0
        out.append(family.lawful(drawn + (great // 2 if dice.random() < 0.3 else 0)))
    return out


def given_of(families: Sequence[Family], values: Sequence[Values]) -> int:
    return sum(family.given(own) for family, own in zip(families, values, strict=True))
