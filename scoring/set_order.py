"""What one tune after another costs: strings tuned anew, the capo moved, how the keys follow, the
join where they are played as one. Counts that no price touches, and their prices.

One unit: ms of hand work that a player would take instead. Semitones on open strings; ``work`` and
``join`` are ms of hand work already.

Public: SetPrices, ABOUTS, RELATIONS, relation, changes, follows, priced, join_work, JOIN_TERMS.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import ClassVar

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.evaluate import evaluate
from scoring.moment import Moment
from scoring.term import About
from scoring.terms import moving
from scoring.weights import WeightError, Weights
from tune.chord import pitch_class
from tune.key import Key

_PRACTICE = "common practice, no source"

RELATIONS = (
    About("same-key", "step", "the next tune is in the same key and mode", _PRACTICE, 0),
    About("same-notes", "step", "another tonic, the same notes: a relative key or mode", _PRACTICE,
          100),
    About("same-tonic", "step", "the same tonic, another mode", _PRACTICE, 100),
    About("fourth-up", "step", "the tonic goes a fourth up, which is a fifth down", _PRACTICE, 100),
    About("fifth-up", "step", "the tonic goes a fifth up, which is a fourth down", _PRACTICE, 150),
    About("step-up", "step", "the tonic goes a whole tone up", _PRACTICE, 150),
    About("step-down", "step", "the tonic goes a whole tone down", _PRACTICE, 300),
    About("far-key", "step", "the keys stand in none of these relations", _PRACTICE, 600),
)  # fmt: skip
"""How the next tune's key may follow, the first that holds; "common practice, no source"."""

ABOUTS = (
    About("string", "string", "a string is tuned anew", _PRACTICE, 2000),
    About("semitone", "semitone", "how far strings are tuned anew, all together", _PRACTICE, 500),
    About("capo-move", "move", "the capo is put on, moved or taken off", _PRACTICE, 1000),
    *RELATIONS,
    About("join", "ms", "hand work from the last shape of a tune to the first of the next, where "
          "they are played as one", "scoring.terms.moving", 1, 100),
    About("work", "ms", "hand work of the tune in the tuning chosen for it", "scoring.evaluate", 1,
          100),
)  # fmt: skip

JOIN_TERMS = frozenset(term.about.name for term in moving.TERMS)
"""The terms that are hand work between two shapes; what music they make is not counted."""


@dataclass(frozen=True)
class SetPrices(Weights):
    """The prices that differ from the defaults; used as ``Weights`` are."""

    defaults: ClassVar[Mapping[str, int]] = MappingProxyType(
        {about.name: about.default for about in ABOUTS}
    )
    limits: ClassVar[Mapping[str, int]] = MappingProxyType(
        {about.name: about.limit for about in ABOUTS}
    )

    def __post_init__(self) -> None:
        try:
            super().__post_init__()
        except WeightError as error:
            raise WeightError(str(error).replace("weight", "price", 1)) from None


_BY_STEP = {5: "fourth-up", 7: "fifth-up", 2: "step-up", 10: "step-down"}


def relation(before: Key, after: Key) -> str:
    """The name in ``RELATIONS`` of how the second key follows the first."""
    up = (pitch_class(after.tonic) - pitch_class(before.tonic)) % 12
    if up == 0:
        return "same-key" if before.mode == after.mode else "same-tonic"
    if before.pitch_classes == after.pitch_classes:
        return "same-notes"
    return _BY_STEP.get(up, "far-key")


def changes(before: Instrument, after: Instrument) -> dict[str, int]:
    """How many strings are tuned anew, by how many semitones, how often the capo is moved."""
    by = [abs(b.open - a.open) for a, b in zip(before.courses, after.courses, strict=True)]
    return {
        "string": sum(each > 0 for each in by),
        "semitone": sum(by),
        "capo-move": int(before.capo != after.capo),
    }


def follows(before: Key, after: Key) -> dict[str, int]:
    """1 for the relation between the key that a tune ends in and that in which the next begins."""
    return {relation(before, after): 1}


def priced(amounts: Mapping[str, int], prices: SetPrices) -> int:
    """ms: price × amount, added up."""
    return sum(prices[name] * amount for name, amount in amounts.items())


def join_work(
    last: tuple[Choice, Moment],
    first: tuple[Choice, Moment],
    instrument: Instrument,
    hand: Hand,
    weights: Weights,
) -> int:
    """ms of hand work to go from a tune's last shape to the next one's first, in the time that the
    last moment lasts."""
    pair = (last[0], first[0]), (last[1], first[1])
    row = evaluate(*pair, instrument, hand, weights).amounts[1]
    return sum(weights[name] * amount for name, amount in row.items() if name in JOIN_TERMS)
