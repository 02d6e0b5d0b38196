"""Repeats alike: music that comes again is played with the same hands.

Public: Alike, classes_of, COMES_AGAIN.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from scoring.moment import Moment
from solver.conditions.price import MOST_PRICE
from solver.errors import ConditionError
from tune.chord import Chord
from tune.tune import Tune

COMES_AGAIN: MappingProxyType[str, str] = MappingProxyType(
    {
        "repeats": "the same written bar, each time through",
        "sections": "also the same bar of sections that have the same name",
        "bars": "any two bars with the same chords and melody",
    }
)
"""What may be asked to be alike → which bars that ties together."""


@dataclass(frozen=True)
class Alike:
    """what: a key of ``COMES_AGAIN``; price: ms for each bar that is played with other hands than
    its first time, None where that is not allowed at all."""

    what: str = "repeats"
    price: int | None = None

    def __post_init__(self) -> None:
        if self.what not in COMES_AGAIN:
            raise ConditionError(
                f"nothing called {self.what!r} can be alike; the names are {', '.join(COMES_AGAIN)}"
            )
        if self.price is not None and not 0 <= self.price <= MOST_PRICE:
            raise ConditionError(
                f"the price of a differing bar must lie between 0 and {MOST_PRICE} ms"
            )


def classes_of(tune: Tune, moments: Sequence[Moment], what: str) -> tuple[int, ...]:
    """Each moment's class: moments of one class get the same hands (frets, fingers, strokes).

    Two moments are of one class when their bars come again in the sense of ``what``, they stand
    at the same place of the bar, and the same is asked of both (that a chord follows matters to
    approach notes alone, and that a drone's one chord begins to nothing): a bar that leads
    elsewhere the second time has other bass notes to play, and is tied up to there. Nothing can
    ring yet at the tune's first moment, so in its class only the strings that are struck must be
    the same. Classes are numbered in order of first appearance.
    """
    keys = _bar_keys(tune, what)
    numbers: dict[Hashable, int] = {}
    return tuple(
        numbers.setdefault((keys[moment.written], _asked(moment)), len(numbers))
        for moment in moments
    )


def _asked(moment: Moment) -> Moment:
    """What is asked, wherever it stands; that a chord follows matters to approach notes alone, and
    that a drone's chord begins to nothing."""
    leads = moment.leads and "approach" in moment.roles
    change = moment.change and moment.texture != "drone"
    return replace(moment, bar=0, written=0, leads=leads, change=change)


def _bar_keys(tune: Tune, what: str) -> list[Hashable]:
    """One key a written bar; bars with equal keys come again."""
    keys: list[Hashable] = []
    section, within = "", 0
    chord: Chord | None = None
    for index, bar in enumerate(tune.bars):
        if bar.section:
            section, within = bar.section.casefold(), 0
        carried = None if bar.chords and bar.chords[0].tick == 0 else chord
        content = bar.metre, bar.length, bar.chords, carried
        if what == "repeats" or (what == "sections" and not section):
            keys.append(index)
        elif what == "sections":
            keys.append((section, within, content))
        else:
            keys.append((content, bar.notes))
        chord = bar.chords[-1].chord if bar.chords else chord
        within += 1
    return keys
