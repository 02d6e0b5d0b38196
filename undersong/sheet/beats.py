"""Where the beats of a bar lie on paper, how strong each is, and which values may run over them.

The rules, common practice, no source:

- A note may begin on a beat and run over weaker or equal ones, or end where a beat is at least as
  strong as all that it runs over; a note that begins off the beat is tied at the next beat.
  Four beats have a middle that is stronger than the others; a half note on the second of four may
  run over it (short, long, short); within a beat so may an eighth between two sixteenths, and one
  between the halves of two thirds.
- Beats of three units (6/8, 9/8, 12/8, 3/8) are run over by whole beats only.
- Rests stand on places of their own size and have no dots, but for whole beats of three units.
- Beats that the tune cannot tell: 5/8 is taken as 3 + 2, 7/8 as 2 + 2 + 3, 5/4 as 3 + 2.

Public: Beats, Group, beats_of, value_of, dyadic.
"""

from dataclasses import dataclass
from functools import cached_property

from tune.time import QUARTER, Metre

WHOLE = 4 * QUARTER
BASES = (1, 2, 4, 8, 16, 32, 64, 128)
BAR, MIDDLE, BEAT, DIVISION = 40, 30, 20, 10
"""Strengths; what divides a beat is at most DIVISION, one less each time it is halved again."""


def value_of(length: int) -> tuple[int, int] | None:
    """(base, dots) of a length that one written value lasts, with two dots at most; else None."""
    for base in BASES:
        plain = WHOLE // base
        for dots, fourths in enumerate((4, 6, 7)):
            if length * 4 == plain * fourths:
                return base, dots
    return None


def dyadic(length: int, unit: int) -> int | None:
    """How often ``unit`` must be halved until it divides ``length``; None where it never does."""
    halved = 0
    while length % unit:
        if unit % 2:
            return None
        unit //= 2
        halved += 1
    return halved


@dataclass(frozen=True)
class Group:
    """One beat on paper: start and length in ticks from the full bar's start; step: what it is
    first divided into, half of it or a third."""

    start: int
    length: int
    step: int

    @property
    def end(self) -> int:
        return self.start + self.length


@dataclass(frozen=True)
class Beats:
    """The beats of a stretch of music that begins with a full bar.

    groups: without gaps; bar: ticks of a bar; middle: ticks from a bar's start to its middle, 0
    for none; threes: there are beats of three units.
    """

    groups: tuple[Group, ...]
    bar: int
    middle: int
    threes: bool

    @cached_property
    def edges(self) -> dict[int, int]:
        """Where beats begin (and the last one ends) → strength."""
        places = [group.start for group in self.groups] + [self.groups[-1].end]
        return {place: self._edge(place % self.bar) for place in places}

    def _edge(self, place: int) -> int:
        if place == 0:
            return BAR
        return MIDDLE if self.middle and place % self.middle == 0 else BEAT

    def group_at(self, place: int) -> Group:
        """The beat that the place lies in."""
        return next(group for group in self.groups if place < group.end)

    def strength(self, place: int) -> int:
        """How strong a place is; 0 where no halving reaches it."""
        if place in self.edges:
            return self.edges[place]
        group = self.group_at(place)
        halved = dyadic(place - group.start, group.step)
        return 0 if halved is None else DIVISION - halved

    def inside(self, start: int, end: int) -> tuple[int, tuple[int, ...]]:
        """The greatest strength strictly between two places, and where; (0, ()) for none."""
        edges = [(place, much) for place, much in self.edges.items() if start < place < end]
        if edges:
            most = max(much for _, much in edges)
            return most, tuple(place for place, much in edges if much == most)
        group = self.group_at(start)
        step, much = group.step, DIVISION
        while True:
            first = group.start + ((start - group.start) // step + 1) * step
            if first < end:
                return much, tuple(range(first, end, step))
            if step % 2:
                return 0, ()
            step, much = step // 2, much - 1

    def note_may(self, start: int, end: int) -> bool:
        """Whether one note may stand for the whole stretch, which one value lasts."""
        value = value_of(end - start)
        assert value is not None
        dots = value[1]
        over, _ = self.inside(start, end)
        here, there = self.strength(start), self.strength(end)
        if over < BEAT:
            if dots == 2 and max(here, there) < BEAT:
                return False
            return over <= max(here, there) or (dots == 0 and self._between(start, end - start))
        if here < BEAT or (self.threes and (there < BEAT or dots == 2)):
            return False
        if dots == 2 and over >= MIDDLE:
            return False
        if over <= max(here, there):
            return True
        beat = self.group_at(start).length
        return self._fours and there >= BEAT and end - start == 2 * beat

    def _between(self, start: int, length: int) -> bool:
        """Whether it is the long one of short, long, short within a beat."""
        group = self.group_at(start)
        if length == group.step:  # between two halves of a third
            return 2 * (start - group.start) % group.step == 0
        whole = 2 * length
        return group.length % whole == 0 and (start - group.start) % whole * 2 == length

    @property
    def _fours(self) -> bool:
        return self.middle > 0 and self.bar == 2 * self.middle and len(self._first_bar) == 4

    @cached_property
    def _first_bar(self) -> tuple[Group, ...]:
        return tuple(group for group in self.groups if group.end <= self.bar)

    def rest_may(self, start: int, end: int) -> bool:
        """Whether one rest may stand for the whole stretch, which one value lasts."""
        value = value_of(end - start)
        assert value is not None
        dots, length = value[1], end - start
        over, _ = self.inside(start, end)
        if over >= BEAT:
            halves = self.middle and 2 * self.middle == self.bar == 2 * length
            return bool(halves) and min(self.strength(start), self.strength(end)) >= MIDDLE
        group = self.group_at(start)
        if (start, end) == (group.start, group.end):
            return True
        if group.length % (2 * group.step):  # a beat of three, or the units of a tuplet
            two = start == group.start and length == 2 * group.step
            if length > group.step and not two:
                return False
        return dots == 0 and (start - group.start) % length == 0


def beats_of(metre: Metre, length: int) -> Beats:
    """The beats of one bar, or of as many as ``length`` ticks fill."""
    sizes = _sizes(metre)
    unit = WHOLE // metre.unit
    groups: list[Group] = []
    clock = 0
    while clock < length:
        for size in sizes:
            whole = size * unit
            groups.append(Group(clock, whole, unit if size == 3 else whole // 2))
            clock += whole
    middle = sum(sizes[: _half(len(sizes))]) * unit if _half(len(sizes)) else 0
    return Beats(tuple(groups), metre.bar, middle, 3 in sizes)


def _sizes(metre: Metre) -> tuple[int, ...]:
    """How many units each beat of a bar has."""
    count = metre.beats
    if metre.compound:
        return (3,) * (count // 3)
    if metre.unit <= 4 or count == 1:
        return (1,) * count
    if count % 2 == 0:
        return (2,) * (count // 2)
    if count == 5:
        return (3, 2)
    return (2,) * ((count - 3) // 2) + (3,)


def _half(count: int) -> int:
    """After how many beats of a bar its middle comes; 0 for none."""
    if count < 4 or count == 9:
        return 0
    return count // 2 if count % 2 == 0 and count <= 8 else (count + 1) // 2 if count <= 8 else 4
