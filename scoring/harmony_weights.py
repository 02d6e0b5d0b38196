"""What each term of a proposal costs, in points, and the bill of chords chosen.

Public: HarmonyWeights, bill.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import ClassVar

from scoring.harmony import TERMS, ChordTerm, CloseTerm, Slot, StepTerm
from scoring.harmony_modes import OTHER, Offer
from scoring.weights import Weights


@dataclass(frozen=True)
class HarmonyWeights(Weights):
    """The weights of proposed chords that differ from the defaults, in points; used as
    ``Weights`` are."""

    defaults: ClassVar[Mapping[str, int]] = MappingProxyType(
        {term.about.name: term.about.default for term in TERMS}
    )
    limits: ClassVar[Mapping[str, int]] = MappingProxyType(
        {term.about.name: term.about.limit for term in TERMS}
    )
    unit: ClassVar[str] = "points"


Told = Sequence[Offer]
"""One chord's offers as each slot's key tells it, slot by slot."""


def bill(
    slots: Sequence[Slot],
    comes_after: Sequence[int | None],
    joins: Sequence[tuple[int, int]],
    chosen: Sequence[Told],
) -> dict[str, int]:
    """The amount of every term, added up.

    comes_after: for each slot the one it follows where the tune is first played, which stands
    before it in ``slots``, or None; joins: (slot, slot that a repeat leads to from there);
    chosen: for each slot, its chord as every slot's key tells it.
    """
    amounts = {term.about.name: 0 for term in TERMS}
    parts: list[str] = []
    fresh: list[bool] = []
    for at, slot in enumerate(slots):
        offer, last = chosen[at][at], comes_after[at]
        if last is None:
            parts.append(OTHER)
            fresh.append(False)
        else:
            before = chosen[last][at]
            same = before.chord == offer.chord
            parts.append(parts[last] if same else before.part)
            _steps(amounts, slot, before, offer, fresh[last])
            fresh.append(not same)
        for term in TERMS:
            if isinstance(term, ChordTerm):
                amounts[term.about.name] += term.amount(slot, offer)
            elif isinstance(term, CloseTerm):
                amounts[term.about.name] += term.amount(slot, offer, parts[at])
    for source, target in joins:
        _steps(amounts, slots[target], chosen[source][target], chosen[target][target], False)
    return amounts


def _steps(amounts: dict[str, int], slot: Slot, before: Offer, after: Offer, fresh: bool) -> None:
    for term in TERMS:
        if isinstance(term, StepTerm):
            amounts[term.about.name] += term.amount(slot, before, after, fresh)
