"""All that sounds, laid together block by block, so that memory does not grow with the music.

Each string has its place between left and right. Where a note stops it fades in 20 ms, so nothing
clicks. Strings struck together follow each other within a few milliseconds, as under a moving
pick. Above a level that music seldom reaches, the sum is bent softly, so that it never clips.

Public: mixed, side, BLOCK, FADE.
"""

from collections import OrderedDict
from collections.abc import Iterable, Iterator
from math import cos, pi, sin

import numpy as np
from numpy.typing import NDArray

from fretboard.instrument import Instrument
from undersong.sound.body import in_the_box
from undersong.sound.plan import Click, Pluck
from undersong.sound.strings import RATE, Samples, Voice, frequency, pluck

BLOCK = 16_384
"""Frames in a block."""
FADE = 0.02
"""Seconds in which a note that is stopped fades."""
STRUM = 0.0012
"""Seconds from string to string under one stroke: too little to move the beat."""
APART = 3.0
"""Cents between the two strings of a doubled course."""
LONGEST_NOTE = 6.0
"""Seconds after which a string is as good as silent."""
PLUCKED_AT = 110.0
"""Millimetres from the bridge where strings are plucked (common practice, no source)."""
_RINGING_OUT = 0.8
_SPREAD = 0.38
_MELODY = 1.3
_CLICK_LENGTH = 0.03
_KNEE, _TOP = 0.7, 0.97
_KEPT_NOTES = 48
_STEPS = (1.5, 3.0, LONGEST_NOTE)
"""Seconds that notes are made for: as long as needed and no longer."""


def mixed(
    events: Iterable[Pluck | Click], instrument: Instrument, seconds: float
) -> Iterator[Samples]:
    """Blocks of (frames, 2), left and right, -1 to 1; events: in order of time."""
    notes = _Notes(instrument)
    total = round(seconds * RATE)
    longest = round((LONGEST_NOTE + 1) * RATE)
    laid = np.zeros((BLOCK + longest, 2), np.float32)
    start, coming = 0, iter(events)
    event = next(coming, None)
    while start < total:
        while event is not None and event.at * RATE < start + BLOCK:
            at, sound = notes.sound(event)
            place = at - start
            laid[place : place + len(sound)] += sound
            event = next(coming, None)
        yield _soft(laid[: min(BLOCK, total - start)])
        laid[:-BLOCK] = laid[BLOCK:]
        laid[-BLOCK:] = 0
        start += BLOCK


def _soft(block: NDArray[np.float32]) -> Samples:
    """The same up to ``_KNEE``; above it bent, so that it never reaches ``_TOP``."""
    size = np.abs(block)
    if float(size.max(initial=0)) <= _KNEE:
        return block.copy()
    room = _TOP - _KNEE
    bent = _KNEE + room * np.tanh((size - _KNEE) / room)
    return np.where(size > _KNEE, np.sign(block) * bent, block).astype(np.float32)


def side(course: int, courses: int) -> float:
    """Where a string sounds: -1 left, 0 the middle, 1 right."""
    return _SPREAD * (2 * course / (courses - 1) - 1)


class _Notes:
    """Sounds by what is plucked; the last few are kept, since music repeats itself."""

    def __init__(self, instrument: Instrument) -> None:
        self.instrument = instrument
        self.courses = len(instrument.courses)
        self.kept: OrderedDict[tuple[int, int, bool, float], Samples] = OrderedDict()
        self.clicks = {accent: _click(accent) for accent in (True, False)}

    def sound(self, event: Pluck | Click) -> tuple[int, Samples]:
        """The frame that it begins in, and (frames, 2)."""
        at = round(event.at * RATE)
        if isinstance(event, Click):
            return at, self.clicks[event.accent]
        course = event.course
        fade = _RINGING_OUT if event.rings_out else FADE
        length = float(event.stop - event.at) + (0 if event.rings_out else FADE)
        length = min(length, LONGEST_NOTE)
        if course is not None:
            at += round(course * STRUM * RATE)
        frames = max(2, round(length * RATE))
        sound = self._note(course, event.midi, event.damped, length)[:frames].copy()
        falling = min(frames, round(fade * RATE))
        sound[-falling:] *= 0.5 + 0.5 * np.cos(np.pi * np.arange(1, falling + 1) / falling)
        if event.sings:
            sound *= _MELODY
        return at, sound[:, None] * self._place(course)

    def _place(self, course: int | None) -> Samples:
        """Left and right of a string, as loud wherever it is: the bass to the left."""
        angle = pi / 4 * (1 + (0.0 if course is None else side(course, self.courses)))
        return np.array([cos(angle), sin(angle)], np.float32)

    def _note(self, course: int | None, midi: int, damped: bool, length: float) -> Samples:
        step = next(step for step in _STEPS if length <= step)
        key = (-1 if course is None else course, midi, damped, step)
        if key not in self.kept:
            self.kept[key] = self._made(course, midi, damped, step)
            if len(self.kept) > _KEPT_NOTES:
                self.kept.popitem(last=False)
        self.kept.move_to_end(key)
        return self.kept[key]

    def _made(self, course: int | None, midi: int, damped: bool, seconds: float) -> Samples:
        strung = self.instrument.courses[-1 if course is None else course]
        stopped = (midi - strung.open) / 12
        point = PLUCKED_AT / (self.instrument.scale_mm * 2**-stopped)
        point = min(0.5, max(0.08, point))
        if course is None or not strung.doubled:
            return in_the_box(pluck(Voice(frequency(midi), point, damped), seconds))
        pair = [
            pluck(Voice(frequency(midi + cents / 100), point, damped), seconds)
            for cents in (-APART / 2, APART / 2)
        ]
        return in_the_box((pair[0] + pair[1]).astype(np.float32))


def _click(accent: bool) -> Samples:
    """A short wooden tick in the middle, higher on the first beat of a bar."""
    time = np.arange(round(_CLICK_LENGTH * RATE)) / RATE
    hertz, level = (1760.0, 0.26) if accent else (1320.0, 0.17)
    shape = np.exp(-time / 0.006) * (1 - np.exp(-time / 0.0004))
    shape *= np.minimum(1, (_CLICK_LENGTH - time) / 0.008)
    tick = level * shape * np.sin(2 * np.pi * hertz * time)
    return np.repeat(tick[:, None], 2, axis=1).astype(np.float32)
