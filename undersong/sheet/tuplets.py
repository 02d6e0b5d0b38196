"""Which stretches of a bar are tuplets, found from where notes begin and end.

A place that no halving of a beat reaches belongs to a tuplet. The stretch taken is the one that a
person would bracket: part of a beat, else the beat, else several beats, with no note running over
its edges where that can be; else the note is tied at the edge. Common practice, no source.

Public: Bracket, brackets.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from tune.time import QUARTER
from undersong.sheet.beats import Beats, Group, dyadic
from undersong.sheet.errors import SheetError

MOST = 15
"""Notes in a tuplet, at most, beyond which nobody could count them."""

OFF_BEAT = 2
"""As long as a beat, but from the middle of one to the middle of the next: no note may run over
its edges."""

_HALVED = QUARTER // 32
"""Ticks of a 128th note, which has no further factor of two."""


@dataclass(frozen=True)
class Bracket:
    """A tuplet: start and end in ticks; actual notes in the time of normal ones."""

    start: int
    end: int
    actual: int
    normal: int

    @property
    def ratio(self) -> tuple[int, int]:
        return self.actual, self.normal

    def nominal(self, place: int) -> int:
        """Ticks from the bracket's start as the values are written."""
        return (place - self.start) * self.actual // self.normal

    def real(self, nominal: int) -> int:
        """The place of so many written ticks."""
        return self.start + nominal * self.normal // self.actual

    @property
    def beats(self) -> Beats:
        """Its written inside as one beat, divided into its units."""
        length = self.nominal(self.end)
        return Beats((Group(0, length, length // self.actual),), length, 0, True)


def brackets(spans: Sequence[tuple[int, int]], beats: Beats) -> tuple[Bracket, ...]:
    """The tuplets in order, without overlaps; spans: (start, end) of notes and rests.

    Raises SheetError where a place belongs to no tuplet of at most ``MOST`` notes.
    """
    places = sorted({place for span in spans for place in span})
    odd = {place for place in places if not beats.strength(place)}
    inner = odd - {places[0], places[-1]}
    found: list[Bracket] = []
    for place in sorted(odd):
        if found and place < found[-1].end:
            continue
        after = found[-1].end if found else 0
        found.append(_bracket(place, after, places, spans, inner, beats))
    return tuple(found)


def _bracket(
    place: int,
    after: int,
    places: Sequence[int],
    spans: Sequence[tuple[int, int]],
    odd: set[int],
    beats: Beats,
) -> Bracket:
    """The tuplet around a place, beginning no earlier than ``after``."""
    beat = beats.group_at(place).length
    best: tuple[tuple[int, ...], Bracket] | None = None
    for aligned, start, end in _stretches(place, beats):
        if start < after:
            continue
        bracket = _fitting(start, end, places)
        if bracket is None:
            continue
        cut = _cuts(start, end, spans, odd)
        if aligned == OFF_BEAT and cut:
            continue
        length = end - start
        if cut == 0 and length <= beat:
            rank = (0, 0, length, aligned, start)
        elif cut == 1 and length <= beat:
            rank = (1, bracket.actual, -length, aligned, start)
        else:
            rank = (2 + cut, 0, length, aligned, start)
        if best is None or rank < best[0]:
            best = rank, bracket
    if best is None:
        raise SheetError("a note begins or ends where no written value or tuplet reaches")
    return _doubled(best[1], places, spans, odd, beats)


def _doubled(
    bracket: Bracket,
    places: Sequence[int],
    spans: Sequence[tuple[int, int]],
    odd: set[int],
    beats: Beats,
) -> Bracket:
    """Twice the stretch, where its other half is the same kind of tuplet, unless both are all
    equal notes."""
    group = beats.group_at(bracket.start)
    length = bracket.end - bracket.start
    start = bracket.start - (bracket.start - group.start) % (2 * length)
    end = start + 2 * length
    if start != bracket.start or end > group.end:
        return bracket
    halves = [sum(a < place < a + length for place in places) for a in (start, start + length)]
    wide = _fitting(start, end, places)
    other_half = any(bracket.end < place < end for place in odd)
    same = wide is not None and wide.ratio == bracket.ratio and other_half
    if wide is None or not same or _cuts(start, end, spans, odd):
        return bracket
    full = bracket.actual - 1
    return bracket if bracket.end in places and halves == [full, full] else wide


def _stretches(place: int, beats: Beats) -> Iterator[tuple[int, int, int]]:
    """(0 where it lies on places of its own size, ``OFF_BEAT`` where it runs over a beat's edge,
    else 1; start; end) of all that could be bracketed around a place."""
    group = beats.group_at(place)
    sizes = [group.length, group.step]
    if group.length == 3 * group.step:
        sizes.append(2 * group.step)
    small = group.step
    while small % 2 == 0 and small > 2 * _HALVED:
        small //= 2
        sizes.append(small)
    for size in sizes:
        shift = group.step if size > group.step else size // 2
        for start in range(group.start, group.end - size + 1, max(shift, 1)):
            if start < place < start + size:
                yield (1 if (start - group.start) % size else 0), start, start + size
    if group.length == 2 * group.step:  # off the beat, as long as a beat
        for start in (group.start - group.step, group.start + group.step):
            if start >= 0 and start < place < start + group.length <= beats.groups[-1].end:
                yield OFF_BEAT, start, start + group.length
    at = beats.groups.index(group)
    for count in (2, 3, 4):
        for first in range(max(0, at - count + 1), at + 1):
            if first + count <= len(beats.groups):
                last = beats.groups[first + count - 1]
                yield first % count and 1, beats.groups[first].start, last.end


def _fitting(start: int, end: int, places: Sequence[int]) -> Bracket | None:
    """The tuplet that all places within fall into; None where there is none."""
    length = end - start
    within = [Fraction(place - start, length) for place in places if start < place < end]
    parts = lcm(*(share.denominator for share in within))
    actual = parts // (parts & -parts)
    if dyadic(length, 2 * _HALVED) == 0 and _power_of_two(length // _HALVED):
        normal = 1 << (actual.bit_length() - 1)
    elif length % (3 * _HALVED) == 0 and _power_of_two(length // (3 * _HALVED)):
        normal = 3
        while normal * 2 <= actual:
            normal *= 2
    else:
        return None
    if not normal < actual <= MOST or length % normal:
        return None
    bracket = Bracket(start, end, actual, normal)
    unit = length // normal
    for place in places:
        if start < place < end:
            if (place - start) * actual % normal:
                return None
            if dyadic(bracket.nominal(place), unit) is None:
                return None
    return bracket


def _power_of_two(number: int) -> bool:
    return number > 0 and number & (number - 1) == 0


def _cuts(start: int, end: int, spans: Sequence[tuple[int, int]], odd: set[int]) -> int:
    """0 where nothing runs over the edges; 1 where what does begins or ends outside any tuplet;
    2 else."""
    worst = 0
    for one, other in spans:
        if one < start < other or one < end < other:
            worst = max(worst, 2 if one in odd and other in odd else 1)
    return worst
