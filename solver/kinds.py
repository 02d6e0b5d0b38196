"""Kinds: what a tune asks, alike moments together, in whatever key it is played.

Public: Kinds, moved.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from scoring.moment import FOREIGN, Moment
from tune.chord import Chord, pitch_class
from tune.spelling import SHARPS


@dataclass(frozen=True)
class Kinds:
    """moments: in order, in the tune's own key; every: the different ones, wherever they stand;
    number: each moment's among those."""

    moments: tuple[Moment, ...]
    every: tuple[Moment, ...]
    number: tuple[int, ...]

    @classmethod
    def of(cls, moments: Sequence[Moment]) -> "Kinds":
        numbers: dict[Moment, int] = {}
        number = tuple(numbers.setdefault(_kind(each), len(numbers)) for each in moments)
        return cls(tuple(moments), tuple(numbers), number)


def moved(moments: Sequence[Moment], semitones: int) -> tuple[Moment, ...]:
    """The moments so many semitones higher: what the tune asks in another key."""
    known: dict[Chord | None, Chord | None] = {None: None}
    out = []
    for moment in moments:
        chord = moment.chord
        if chord is not None and chord not in known:
            root, bass = (
                None if name is None else SHARPS[(pitch_class(name) + semitones) % 12]
                for name in (chord.root, chord.bass)
            )
            known[chord] = Chord(root or "C", chord.quality, bass)
        out.append(
            replace(
                moment,
                chord=known[chord],
                scale=frozenset((pc + semitones) % 12 for pc in moment.scale),
                melody=None if moment.melody is None else moment.melody + semitones,
            )
        )
    return tuple(out)


def _kind(moment: Moment) -> Moment:
    """The moment wherever in the tune it stands."""
    foreign = not (moment.roles | moment.fallback).isdisjoint(FOREIGN)
    scale = moment.scale if foreign else frozenset()
    return replace(moment, bar=0, written=0, offset=0, scale=scale)
