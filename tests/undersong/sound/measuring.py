"""Measures sound: pitch, level, where a note begins.

Public: plucked, played, cents_off, level, begins, left_and_right.
"""

import numpy as np
from numpy.typing import NDArray

from fretboard.instrument import Instrument
from solver.result import Arrangement
from undersong.sound.mix import mixed
from undersong.sound.plan import Click, Pluck
from undersong.sound.render import render
from undersong.sound.sound_options import SoundOptions
from undersong.sound.strings import RATE

Sound = NDArray[np.float64]
WINDOW = 8192


def plucked(events: list[Pluck | Click], on: Instrument, seconds: float) -> Sound:
    """(frames, 2) of those events."""
    return np.concatenate(list(mixed(events, on, seconds))).astype(np.float64)


def played(arrangement: Arrangement, options: SoundOptions | None = None) -> Sound:
    """(frames, 2) of the whole arrangement."""
    return np.concatenate(list(render(arrangement, options))).astype(np.float64)


def cents_off(sound: Sound, hertz: float, start: float = 0.05) -> float:
    """How far the partial nearest that frequency is from it: by the turn of its phase between two
    windows a quarter of a window apart (the phase vocoder's way)."""
    step, at = WINDOW // 4, round(start * RATE)
    wave = sound * np.exp(-2j * np.pi * hertz * np.arange(len(sound)) / RATE)
    window = np.hanning(WINDOW)
    first, second = (np.sum(wave[a : a + WINDOW] * window) for a in (at, at + step))
    off = np.angle(second / first) / (2 * np.pi * step / RATE)
    return float(1200 * np.log2(1 + off / hertz))


def level(sound: Sound, start: float, seconds: float) -> float:
    """dB below full scale, root mean square."""
    part = sound[round(start * RATE) : round((start + seconds) * RATE)]
    return float(10 * np.log10(max(np.mean(np.square(part)), 1e-20)))


def begins(sound: Sound, start: float, seconds: float) -> float:
    """The second in which the sound first reaches a fifth of its peak in that stretch."""
    part = np.abs(sound[round(start * RATE) : round((start + seconds) * RATE)])
    return start + int(np.argmax(part > part.max() / 5)) / RATE
