"""Ascent: multipliers that raise the bound, learned on a bundle of ways.

A subgradient method with memory (a share of the last direction is kept) and Polyak's step towards
a target a little above the best bound so far; the target comes nearer where nothing is gained.
The multipliers only steer: whatever they are, the bound they give is exact arithmetic on whole
numbers. N. Z. Shor 1985 and B. T. Polyak 1969 for the method; constants from trials on our corpus.

Public: Ascent, ascend, asked, charged.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from solver.arrays import FAR
from solver.family import Family, Values
from solver.ways import SCALE, Prices, Way, Ways

KEPT = 0.8
"""Share of the last direction that is kept."""

FIRST_AIM, LEAST_AIM, MOST_AIM = 40 * SCALE, SCALE // 8, 100_000 * SCALE
"""How far above the best bound the target lies at first, at last, and at most (scaled)."""

FURTHER, NEARER = 1.2, 0.7
"""By what the target's distance changes when something is gained, and when nothing is."""

PATIENCE = 8
"""Steps without a gain before the target comes nearer."""

GUESS_EVERY = 10
"""Steps between guesses at a way that keeps every condition."""


@dataclass
class Ascent:
    """The best of an ascent: bound (scaled); values: one array a family; best: the cheapest way
    met that keeps every condition, with what it costs in ms, owed prices included."""

    bound: int
    values: list[Values]
    best: tuple[int, Way] | None

    def meet(self, families: Sequence[Family], ways: Ways, way: Way) -> None:
        """Keeps a way that keeps every condition and is the cheapest so far."""
        cost = asked(families, ways, way)
        if cost is not None and (self.best is None or cost < self.best[0]):
            self.best = cost, way


def charged(families: Sequence[Family], values: Sequence[Values], ways: Ways) -> Prices:
    """What all families charge together."""
    prices = Prices.none(ways)
    for family, own in zip(families, values, strict=True):
        prices += family.prices(own)
    return prices


def asked(families: Sequence[Family], ways: Ways, way: Way) -> int | None:
    """ms that a way costs, owed prices included; None where it breaks a condition."""
    owed = [family.owed(way) for family in families]
    if None in owed:
        return None
    return ways.cost_of(way) + sum(ms for ms in owed if ms is not None)


def _guesses(
    families: Sequence[Family], values: Sequence[Values], ways: Ways, prices: Prices
) -> Iterator[Way]:
    """Cheapest ways through the nodes that a family would rather use."""
    for family, own in zip(families, values, strict=True):
        masks = family.guess(own)
        if masks is not None:
            blocked = [
                np.where(mask, price, FAR) for mask, price in zip(masks, prices.nodes, strict=True)
            ]
            narrow = Prices(blocked, prices.steps)
            on = ways.onward(narrow)
            if int((ways.first + on[0]).min()) < FAR:
                yield ways.cheapest(narrow, on)[1]


def ascend(
    ways: Ways,
    families: Sequence[Family],
    values: list[Values],
    *,
    steps: int,
    enough: int,
    tell: Callable[[int, int | None], None],
) -> Ascent:
    """Raises the bound from ``values`` on, for at most so many steps; ends early where a way met
    is no dearer than the bound, or the bound is ``enough`` (scaled). tell(bound, best) is called
    after each step, in ms, and may raise to stop."""
    found = Ascent(-(1 << 62), values, None)
    pull = [np.zeros(family.size) for family in families]
    aim, waited = float(FIRST_AIM), 0
    for number in range(steps):
        prices = charged(families, values, ways)
        least, way = ways.cheapest(prices, ways.onward(prices))
        given = sum(f.given(v) for f, v in zip(families, values, strict=True))
        bound = least + given
        found.meet(families, ways, way)
        if number % GUESS_EVERY == GUESS_EVERY - 1:
            for guess in _guesses(families, values, ways, prices):
                found.meet(families, ways, guess)
        gain = bound - found.bound
        if gain > 0:
            found.bound, found.values = bound, values
        if gain > aim / 8:
            aim, waited = min(aim * FURTHER, MOST_AIM), 0
        else:
            waited += 1
        if waited > PATIENCE:
            aim, waited = aim * NEARER, 0
            values = found.values
            pull = [np.zeros(family.size) for family in families]
        tell(-(-found.bound // SCALE), None if found.best is None else found.best[0])
        closed = found.best is not None and found.best[0] * SCALE <= found.bound
        if closed or found.bound >= enough or aim < LEAST_AIM:
            break
        slopes = [f.slope(v, way) for f, v in zip(families, values, strict=True)]
        pull = [KEPT * old + new for old, new in zip(pull, slopes, strict=True)]
        length = sum(float(part @ part) for part in pull)
        if length == 0:
            break
        step = max(found.bound + aim - bound, aim / 4) / length
        values = [
            f.lawful(v + np.rint(step * part).astype(np.int64))
            for f, v, part in zip(families, values, pull, strict=True)
        ]
    return found
