"""The cheapest chords over the slots of a tune, exactly, by a pass backward and one forward.

The slots are a tree (see ``solver.proposal_slots``): every slot stands under the one it follows. A
state is (chord, what the chord before it did in a cadence, whether the chord begins here): all
that any term must know of what came before. A join charges the chord at its source against the
chord at its target, which stands above it in the tree; so the tables between the two have an axis
more, the target's chord, which closes where the target is met. Among equal answers the one is
taken that, slot by slot, keeps the chord where it can and else takes the first offered.

Public: cheapest.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from scoring.harmony import TERMS, ChordTerm, CloseTerm, Slot, StepTerm
from scoring.harmony_modes import DOMINANT, OTHER, PLAGAL, TONIC, Offer
from scoring.harmony_weights import HarmonyWeights
from solver.proposal_slots import Layout
from solver.watch import Watch
from tune.key import Key

Costs = NDArray[np.int64]
NEVER = 1 << 50
_PARTS = (DOMINANT, PLAGAL, OTHER, TONIC)
_EVERY = 64
"""Slots between two looks at the watch."""


@dataclass(frozen=True)
class _Prices:
    """What one weighting costs: chords as each key tells them, and the tables made from them."""

    layout: Layout
    told: Mapping[Key, Sequence[Offer]]
    offered: Mapping[Key, Sequence[bool]]
    weights: HarmonyWeights
    made: dict[tuple[Key, bool, bool], Costs] = field(default_factory=dict)

    def stands(self, slot: Slot) -> Costs:
        """(chord, part before): the slot's own cost."""
        told, offered = self.told[slot.key], self.offered[slot.key]
        costs = np.full((len(told), len(_PARTS)), NEVER, np.int64)
        for at, offer in enumerate(told):
            if not offered[at]:
                continue
            costs[at] = sum(
                self.weights[term.about.name] * term.amount(slot, offer)
                for term in TERMS
                if isinstance(term, ChordTerm)
            )
            for term in TERMS:
                if isinstance(term, CloseTerm) and slot.close:
                    weight = self.weights[term.about.name]
                    for part, name in enumerate(_PARTS):
                        costs[at, part] += weight * term.amount(slot, offer, name)
        return costs

    def step(self, slot: Slot) -> Costs:
        """(chord before, chord, fresh): what the step into the slot costs."""
        which = (slot.key, slot.bar_starts, slot.uneven)
        if which not in self.made:
            self.made[which] = self._steps(*which)
        return self.made[which]

    def _steps(self, key: Key, bar_starts: bool, uneven: bool) -> Costs:
        told, slot = self.told[key], Slot(key, bar_starts=bar_starts, uneven=uneven)
        terms = [term for term in TERMS if isinstance(term, StepTerm)]
        return np.array(
            [
                [
                    [
                        sum(
                            self.weights[term.about.name] * term.amount(slot, before, after, fresh)
                            for term in terms
                        )
                        for fresh in (False, True)
                    ]
                    for after in told
                ]
                for before in told
            ],
            np.int64,
        )

    def parts(self, key: Key) -> list[int]:
        return [_PARTS.index(offer.part) for offer in self.told[key]]


def cheapest(
    layout: Layout,
    told: Mapping[Key, Sequence[Offer]],
    offered: Mapping[Key, Sequence[bool]],
    weights: HarmonyWeights,
    watch: Watch,
) -> tuple[int, list[int]]:
    """The least cost in points, and each slot's chord as an index.

    told: for each key the same chords in the same order, as that key tells them; offered: which of
    them may be taken in that key, at least one.
    """
    prices = _Prices(layout, told, offered, weights)
    tables, axes = _backward(prices, watch)
    return _forward(prices, tables, axes)


def _backward(prices: _Prices, watch: Watch) -> tuple[list[Costs], list[tuple[int, ...]]]:
    """For each slot the cheapest rest, (chord, part before, begins here, chord of each target that
    is still above it), and which targets those are."""
    layout = prices.layout
    count = len(layout.slots)
    below: list[list[int]] = [[] for _ in range(count)]
    for at, last in enumerate(layout.comes_after):
        if last is not None:
            below[last].append(at)
    tables: list[Costs] = [np.zeros(0, np.int64)] * count
    axes: list[tuple[int, ...]] = [()] * count
    for at in reversed(range(count)):
        if at % _EVERY == 0:
            watch.look()
        slot = layout.slots[at]
        targets = [target for source, target in layout.joins if source == at]
        mine = tuple(sorted({*targets, *(axis for child in below[at] for axis in axes[child])}))
        own = prices.stands(slot)
        size = len(own)
        table = np.zeros((size, len(_PARTS), 2) + (size,) * len(mine), np.int64)
        table += own.reshape(own.shape + (1,) * (1 + len(mine)))
        for target in targets:
            cost = prices.step(layout.slots[target])[:, :, 0]
            shape = [size, 1, 1] + [size if axis == target else 1 for axis in mine]
            table += cost.reshape(shape)
        for child in below[at]:
            onward = _onward(prices, child, tables[child])
            shape = [size, len(_PARTS), 2] + [size if axis in axes[child] else 1 for axis in mine]
            table += onward.reshape(shape)
        if at in mine:
            table = _closed(table, 3 + mine.index(at))
            mine = tuple(axis for axis in mine if axis != at)
        tables[at] = np.minimum(table, NEVER)
        axes[at] = mine
    return tables, axes


def _onward(prices: _Prices, child: int, table: Costs) -> Costs:
    """The cheapest way on into ``child`` and further, by the state before it."""
    slot = prices.layout.slots[child]
    step = prices.step(slot)
    parts = prices.parts(slot.key)
    size = len(step)
    found = np.empty_like(table)
    rest = (1,) * (table.ndim - 3)
    for before in range(size):
        begun = table[:, parts[before], 1].copy()
        begun[before] = NEVER
        for fresh in (0, 1):
            changed = (begun + step[before, :, fresh].reshape((size, *rest))).min(axis=0)
            held = table[before, :, 0] + step[before, before, fresh]
            found[before, :, fresh] = np.minimum(held, changed)
    return found


def _closed(table: Costs, axis: int) -> Costs:
    """The table where the target's chord is the slot's own."""
    return np.stack([table[at].take(at, axis=axis - 1) for at in range(len(table))])


def _forward(
    prices: _Prices, tables: list[Costs], axes: list[tuple[int, ...]]
) -> tuple[int, list[int]]:
    """The least cost and the first of the cheapest answers."""
    layout = prices.layout
    chosen: list[int] = []
    states: list[tuple[int, int]] = []  # part before, fresh
    total = 0
    for at, last in enumerate(layout.comes_after):
        table = tables[at]
        for axis in reversed(axes[at]):
            table = table[..., chosen[axis]]
        if last is None:
            first = table[:, _PARTS.index(OTHER), 0]
            chosen.append(int(first.argmin()))
            states.append((_PARTS.index(OTHER), 0))
            total += int(first.min())
            continue
        slot, before, (part, fresh) = layout.slots[at], chosen[last], states[last]
        new = prices.parts(slot.key)[before]
        step = prices.step(slot)[before, :, fresh]
        ways = table[:, new, 1] + step
        ways[before] = table[before, part, 0] + step[before]
        chord = before if ways[before] == ways.min() else int(ways.argmin())
        chosen.append(chord)
        states.append((part, 0) if chord == before else (new, 1))
    return total, chosen
