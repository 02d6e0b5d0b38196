"""The move from one hand shape to the next: what each finger does and how long it takes.

A move is one shift of the hand plus what each finger moves relative to the hand. A finger that
stays on its fret anchors the hand; one that keeps its string slides; any other that ends up on a
string is put down there. A finger that was up starts from where it hovers, relaxed, one course
off. All rows of ``before`` and ``after`` belong together.

Times follow Fitts's law in Shannon form (MacKenzie 1992), MT = a + b·log2(D/W + 1), in whole ms;
D is the distance and W the room behind the fret that the finger lands in. Constants belong to the
hand (``fretboard.hand.Movement``, with their sources).

Public: Move, fitts.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from scoring.choice import Bools, Ints, Shapes

OPEN_WIDTH = 600
"""Tenths of a mm: how exactly a hand with no finger to put down must arrive."""


def fitts(distance: Ints, width: Ints, a: int, b: int) -> Ints:
    """ms to cover ``distance`` onto a target ``width`` wide, both in the same unit."""
    bits = np.log2(distance / width + 1.0)
    return np.asarray(np.rint(a + b * bits), np.int32)


@dataclass(frozen=True)
class Move:
    """n moves; before, after: their shapes; ms: from one moment's onset to the next one's;
    damped: the bass note before was damped, so its finger was soon free."""

    before: Shapes
    after: Shapes
    ms: int
    damped: bool = False

    @cached_property
    def stays(self) -> Bools:
        """(n, 5): the finger stops the same fret, on a string it was already on."""
        same = self.before.finger_fret == self.after.finger_fret
        return np.asarray(self._same_string & same, np.bool_)

    @cached_property
    def slides(self) -> Bools:
        """(n, 5): the finger keeps a string and changes its fret."""
        other = self.before.finger_fret != self.after.finger_fret
        return np.asarray(self._same_string & other, np.bool_)

    @cached_property
    def lands(self) -> Bools:
        """(n, 5): the finger comes down where it was not."""
        return np.asarray((self.after.finger_fret >= 0) & ~self._same_string, np.bool_)

    @cached_property
    def lifts(self) -> Bools:
        """(n, 5): the finger leaves a string, to land elsewhere or to hover."""
        return np.asarray((self.before.finger_fret >= 0) & ~self._same_string, np.bool_)

    @cached_property
    def _same_string(self) -> Bools:
        shared = (self.before.finger_courses & self.after.finger_courses) != 0
        return np.asarray(shared, np.bool_)

    @cached_property
    def hand_way(self) -> Ints:
        """(n,): tenths of a mm that the hand itself travels, with its direction.

        Nothing while a finger stays on its fret, nor as far as the fingers give by themselves.
        """
        way = 10 * (self.after.place - self.before.place)
        flex = 10 * self.before.hand.movement.flex_mm
        free = self.stays.any(axis=1) | (np.abs(way) <= flex)
        return np.where(free, 0, way).astype(np.int32)

    @cached_property
    def hand_ms(self) -> Ints:
        """(n,): ms that the hand's shift takes, aimed at the tightest new fret."""
        constants = self.before.hand.movement
        moving = self.lands | self.slides
        target = np.where(moving, self.after.finger_gap, OPEN_WIDTH).min(axis=1)
        time = fitts(np.abs(self.hand_way), target, constants.hand_a, constants.hand_b)
        return np.where(self.hand_way == 0, 0, time).astype(np.int32)

    @cached_property
    def finger_ms(self) -> Ints:
        """(n, 5): ms that each finger takes relative to the hand; 0 for one that stays or is up."""
        constants = self.before.hand.movement
        along = self.after.finger_along - self.before.finger_along - self.hand_way[:, None]
        away = self.lands & (self.before.finger_fret < 0)
        changed = self.lands & (self.before.finger_courses != 0)
        courses = np.where(changed, self._courses_crossed, np.where(away, 1, 0))
        across = np.rint(courses * (10 * self.before.instrument.spacing_mm))
        distance = np.rint(np.hypot(along, across)).astype(np.int32)
        width = self.after.finger_gap
        time = fitts(distance, width, constants.finger_a, constants.finger_b)
        return np.where(self.lands | self.slides, time, 0).astype(np.int32)

    @cached_property
    def _courses_crossed(self) -> Ints:
        crossed = _LOWEST[self.before.finger_courses] - _LOWEST[self.after.finger_courses]
        return np.asarray(np.abs(crossed), np.int32)

    @cached_property
    def free_ms(self) -> Ints:
        """(n, 5): ms that each finger has: all of them, or the release when it held a note."""
        share = self.before.hand.movement.release_percent
        held = self.before.finger_fret >= 0
        free = np.where(held, self.ms * share // 100, self.ms)
        if self.damped:
            on_bass = (self.before.finger_courses & 1) != 0
            free = np.where(held & on_bass, self.ms // 2, free)
        return free.astype(np.int32)


_LOWEST = np.array([0] + [(bits & -bits).bit_length() - 1 for bits in range(1, 16)], np.int32)
