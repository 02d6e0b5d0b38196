"""The move from one hand shape to the next: what each finger does and how long it takes.

A move is one shift of the hand plus what each finger moves relative to the hand. A finger that
stays on its fret anchors the hand, which pivots about it for free; one that keeps its string
slides; any other that ends up on a string lands there. A finger that was up starts from where it
hovers, relaxed, one course off.

Times follow Fitts's law in Shannon form (MacKenzie 1992), MT = a + b·log2(D/W + 1), in whole ms;
D is the distance and W the room behind the fret that is aimed at. Constants belong to the hand
(``fretboard.hand.Movement``, with their sources).

A finger that held a note has only the end of it to move in, or the note would be cut short; one
that was up has the whole moment. A noter has the whole moment too: it is not lifted, it slides
along the string while the note rings on, and the glide belongs to its sound. It is one thing with
the hand that holds it (common practice, no source): its slide is a single movement with constants
of its own, from fret to fret, and the hand need not shift besides; it comes down where the hand
is. Older documents have noters without such constants: there the hand shifts, and the noter adds
no time where the hand takes it along.

Everything is an array of n moves. ``FingerWay`` looks at one finger, ``HandWay`` at the hand, so
that a solver may tabulate both; ``Move`` puts them together for whole shapes.

Public: FingerState, FingerWay, HandWay, Move, finger_states, shift_ms, tightest_gap, fitts,
UNHURRIED, TAKEN_ALONG.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from fretboard.hand import Hand
from scoring.choice import Bools, Ints, Shapes

NOWHERE = -(1 << 20)
"""Pressure (ms) of a finger that does not move: less than any that does."""

UNHURRIED = 75
"""Percent of its free time that a finger may need before it is hurried. Chosen by measurement: with
one half, a price that kept bars within what the hand can do took more from the music; with nine
tenths some were left beyond it."""

TAKEN_ALONG = 10
"""Tenths of a mm: a noter that slides no further than that beside the hand is moved by the hand
alone, as one thing with it."""

OPEN_WIDTH = 600
"""Tenths of a mm: how exactly a hand with no finger to put down must arrive."""


def fitts(distance: Ints, width: Ints, a: int, b: int) -> Ints:
    """ms to cover ``distance`` onto a target ``width`` wide, both in the same unit."""
    bits = np.log2(distance / width + 1.0)
    return np.asarray(np.rint(a + b * bits), np.int32)


@dataclass(frozen=True)
class FingerState:
    """Where one finger is; every field has the same shape.

    fret: that it stops, -1 when up; courses: a bit for each course it stops; along: tenths of a mm
    bridgeward of the hand's place, of the nut for a noter that stops a fret and slides in one
    movement; gap: tenths of a mm of room behind its fret.
    """

    fret: Ints
    courses: Ints
    along: Ints
    gap: Ints


def finger_states(shapes: Shapes) -> FingerState:
    """(n, 5): the states of all fingers in n shapes."""
    along = shapes.finger_along - 10 * shapes.place[:, None]
    if shapes.hand.slides_whole:
        along = np.where(shapes.finger_fret >= 0, shapes.finger_along, along)
    return FingerState(shapes.finger_fret, shapes.finger_courses, along, shapes.finger_gap)


@dataclass(frozen=True)
class FingerWay:
    """What one finger does between two shapes, relative to the hand."""

    before: FingerState
    after: FingerState
    hand: Hand
    spacing: int

    @cached_property
    def _same_string(self) -> Bools:
        return np.asarray((self.before.courses & self.after.courses) != 0, np.bool_)

    @cached_property
    def stays(self) -> Bools:
        """The finger stops the same fret on a string it was already on."""
        return np.asarray(self._same_string & (self.before.fret == self.after.fret), np.bool_)

    @cached_property
    def slides(self) -> Bools:
        """The finger keeps a string and changes its fret."""
        return np.asarray(self._same_string & (self.before.fret != self.after.fret), np.bool_)

    @cached_property
    def anchors(self) -> Bools:
        """The hand need not shift: the finger stays on its fret, or is a noter whose slide takes
        the hand along."""
        return self.stays | self.slides if self.hand.slides_whole else self.stays

    @cached_property
    def lands(self) -> Bools:
        """The finger comes down where it was not."""
        return np.asarray((self.after.fret >= 0) & ~self._same_string, np.bool_)

    @cached_property
    def lifts(self) -> Bools:
        """The finger leaves a string, to land elsewhere or to hover."""
        return np.asarray((self.before.fret >= 0) & ~self._same_string, np.bool_)

    @cached_property
    def ms(self) -> Ints:
        """ms that the finger takes; 0 for one that stays or ends up in the air, and for a noter
        that the hand takes along and that has no slide of its own."""
        constants = self.hand.movement
        along = self.after.along - self.before.along
        if self.hand.slides_whole:
            along = np.where(self.slides, along, 0)
        crossed = np.abs(_LOWEST[self.before.courses] - _LOWEST[self.after.courses])
        courses = np.where(self.slides, 0, np.where(self.before.fret < 0, 1, crossed))
        distance = np.rint(np.hypot(along, courses * self.spacing)).astype(np.int32)
        time = fitts(distance, self.after.gap, constants.finger_a, constants.finger_b)
        own = self.lands | self.slides
        if constants.slide_a is not None and constants.slide_b is not None:
            slide = fitts(distance, self.after.gap, constants.slide_a, constants.slide_b)
            time = np.where(self.slides, slide, time)
        elif self.hand.noter:
            own = own & ~(self.slides & (distance <= TAKEN_ALONG))
        return np.where(own, time, 0).astype(np.int32)

    @cached_property
    def moves(self) -> Bools:
        """The finger ends up on a string elsewhere than it was."""
        return np.asarray(self.lands | self.slides, np.bool_)

    @cached_property
    def lays(self) -> Bools:
        """The finger lies across strings and did not at that fret before."""
        across = [(state.courses & (state.courses - 1)) != 0 for state in (self.before, self.after)]
        same = self.before.fret == self.after.fret
        return np.asarray(across[1] & ~(across[0] & same), np.bool_)

    def free(self, ms: int, damped: bool) -> Ints:
        """ms that the finger has for its way.

        It has the whole moment (``ms``), or only the release when it held a note to its end; a
        finger on a bass note that is damped has half at least. A noter has the whole moment.
        """
        if self.hand.noter:
            return np.full(self.before.fret.shape, ms, np.int32)
        bass = (self.before.courses & 1 == 1) & damped
        held = np.where(bass, max(50, self._release), self._release)
        return np.where(self.before.fret >= 0, ms * held // 100, ms).astype(np.int32)

    def pressure(self, ms: int, damped: bool) -> Ints:
        """ms that the finger needs beyond ``UNHURRIED`` of the time it has (``free``); NOWHERE
        when it does not move."""
        needed = self.ms - self.free(ms, damped) * UNHURRIED // 100
        return np.where(self.moves, needed, NOWHERE).astype(np.int32)

    @property
    def _release(self) -> int:
        return self.hand.movement.release_percent


@dataclass(frozen=True)
class HandWay:
    """What the hand does: ms: that its shift takes; pressure: of the most pressed finger (see
    ``FingerWay.pressure``), before the hand's own time is added."""

    ms: Ints
    pressure: Ints


def shift_ms(before: Ints, after: Ints, gap: Ints, hand: Hand) -> Ints:
    """ms from one place (mm) of the hand to another, aimed at the tightest ``gap`` (tenths of a
    mm) that it arrives at; 0 within what the fingers give by themselves."""
    constants = hand.movement
    way = np.abs(after - before)
    time = fitts(10 * way, gap, constants.hand_a, constants.hand_b)
    return np.where(way <= constants.flex_mm, 0, time).astype(np.int32)


def tightest_gap(shapes: Shapes) -> Ints:
    """(n,): tenths of a mm behind the tightest fret stopped, OPEN_WIDTH when none is."""
    down = shapes.finger_fret >= 0
    return np.asarray(np.where(down, shapes.finger_gap, OPEN_WIDTH).min(axis=1), np.int32)


@dataclass(frozen=True)
class Move:
    """n moves between whole shapes; ms: from one onset to the next; damped: the bass note before
    was damped."""

    before: Shapes
    after: Shapes
    ms: int
    damped: bool = False

    @cached_property
    def fingers(self) -> FingerWay:
        """(n, 5): each finger's way."""
        shapes = self.before
        spacing = round(10 * shapes.instrument.spacing_mm)
        return FingerWay(
            finger_states(self.before), finger_states(self.after), shapes.hand, spacing
        )

    @cached_property
    def whole(self) -> HandWay:
        """(n,): the hand's way; it need not shift when a finger anchors it (``anchors``)."""
        place, gap = (self.before.place, self.after.place), tightest_gap(self.after)
        shift = shift_ms(*place, gap, self.before.hand)
        anchored = self.fingers.anchors.any(axis=1)
        pressure = self.fingers.pressure(self.ms, self.damped).max(axis=1)
        return HandWay(np.where(anchored, 0, shift).astype(np.int32), pressure)


_LOWEST = np.array([0] + [(bits & -bits).bit_length() - 1 for bits in range(1, 16)], np.int32)
