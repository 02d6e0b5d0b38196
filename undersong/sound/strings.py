"""One plucked string: a loop of one period, filtered a little each time round.

The method is Karplus and Strong's (Computer Music Journal 7:2, 1983), tuned as Jaffe and Smith
describe there: the string is a delay of one period; each time round it passes a one-zero filter
that takes more of the high partials than of the low ones, and a Lagrange filter of four taps that
makes the loop's length right to a fraction of a sample. All of it reaches back a whole period, so a
period at a time is computed. The first period is the wave of a string plucked at one point: partial
n has the strength sin(nπβ)/n, where β is the share of the sounding length between the plucking
point and the bridge (textbook mechanics of the ideal string).

Public: Voice, Samples, pluck, frequency, RATE.
"""

from dataclasses import dataclass
from math import ceil, cos, floor, pi

import numpy as np
from numpy.typing import NDArray

RATE = 44_100
"""Frames a second."""

Samples = NDArray[np.float32]
Floats = NDArray[np.float64]

RING = 3.2
"""Seconds in which D3 fades by 60 dB; higher strings fade sooner."""
_BRIGHT_RING = 0.9
"""The same for what lies at 3 kHz."""
DAMPED_RING = 0.32
_DAMPED_BRIGHT = 0.12
_D3 = 146.83
_BRIGHT = 3000.0
_STEADY = 0.9999
"""The most that a slow drift may be left each time round, or it would grow."""
_ATTACK = 0.0012
_KEPT = 384
"""Frames computed at once, about: a period of a high string is less, so several are taken."""


@dataclass(frozen=True)
class Voice:
    """How a string is plucked. hertz: its pitch; point: the share of its sounding length between
    plucking point and bridge, 0 to 1 exclusive; damped: under the palm."""

    hertz: float
    point: float
    damped: bool = False


def frequency(midi: float) -> float:
    """Hertz in equal temperament, A4 (69) at 440 (ISO 16)."""
    return float(440.0 * 2 ** ((midi - 69) / 12))


def pluck(voice: Voice, seconds: float) -> Samples:
    """The string's sound for that long, its strongest sample at 1 or -1."""
    total = max(1, ceil(seconds * RATE))
    delay, taps = _loop(voice)
    begin = delay + len(taps)
    sound = np.zeros(max(total, begin))
    sound[:begin] = _wave(voice, begin)
    times = max(1, round(_KEPT / delay))
    done = _run(sound, begin, min(total, begin + times * (delay + len(taps))), delay, taps)
    if times > 1:
        several = taps
        for _ in range(times - 1):
            several = np.convolve(several, taps)
        done = _run(sound, done, total, delay * times, several)
    else:
        _run(sound, done, total, delay, taps)
    sound = sound[:total]
    rise = min(total, round(_ATTACK * RATE))
    sound[:rise] *= 0.5 - 0.5 * np.cos(np.pi * (np.arange(rise) + 0.5) / rise)
    return np.asarray(sound / np.abs(sound).max(), np.float32)


def _run(sound: Floats, start: int, end: int, delay: int, taps: Floats) -> int:
    """Fills the sound from start to end, a loop's length at a time; the end."""
    reach = len(taps) - 1
    while start < end:
        count = min(delay, end - start)
        past = sound[start - delay - reach : start - delay + count]
        sound[start : start + count] = np.convolve(past, taps, "valid")
        start += count
    return max(start, end)


def _loop(voice: Voice) -> tuple[int, Floats]:
    """Whole frames of delay, and the filter that follows: together a period at that pitch."""
    period = RATE / voice.hertz
    omega = 2 * pi / period
    loss = _loss(voice)
    rest = period - _phase_delay(loss, omega)
    delay = floor(rest - 1)
    low, high = 0.5, 2.5
    for _ in range(60):
        middle = (low + high) / 2
        taps = np.convolve(_lagrange(middle), loss)
        if delay + _phase_delay(taps, omega) < period:
            low = middle
        else:
            high = middle
    taps = np.convolve(_lagrange((low + high) / 2), loss)
    ring = _ring(voice)
    wanted = 10 ** (-3 / (voice.hertz * ring))
    strength = abs(np.dot(taps, np.exp(-1j * omega * np.arange(len(taps)))))
    return delay, taps * min(wanted / strength, _STEADY / taps.sum())


def _ring(voice: Voice) -> float:
    """Seconds in which the fundamental fades by 60 dB."""
    if voice.damped:
        return DAMPED_RING
    return float(RING * (_D3 / voice.hertz) ** 0.35)


def _loss(voice: Voice) -> Floats:
    """A one-zero filter under which 3 kHz fades sooner than the fundamental, as asked."""
    ring = _ring(voice)
    bright = _DAMPED_BRIGHT if voice.damped else min(_BRIGHT_RING, 0.6 * ring)
    share = 10 ** (-6 / voice.hertz * (1 / bright - 1 / ring))
    low, high = (1 - cos(2 * pi * f / RATE) for f in (voice.hertz, max(_BRIGHT, 1.5 * voice.hertz)))
    product = min(0.24, max(0.0, (1 - share) / (2 * (high - share * low))))
    side = 0.5 - (0.25 - product) ** 0.5
    return np.array([1 - side, side])


def _lagrange(delay: float) -> Floats:
    """Four taps that delay by that many frames, 1 to 2 at best."""
    taps = np.ones(4)
    for k in range(4):
        for m in range(4):
            if m != k:
                taps[k] *= (delay - m) / (k - m)
    return taps


def _phase_delay(taps: NDArray[np.float64], omega: float) -> float:
    """Frames by which a wave of that angular frequency (radians a frame) is late."""
    return float(-np.angle(np.dot(taps, np.exp(-1j * omega * np.arange(len(taps))))) / omega)


def _wave(voice: Voice, frames: int) -> Floats:
    """The wave at the bridge as the plucked string is let go, at the exact pitch."""
    cut = 1100.0 if voice.damped else 4500.0
    count = max(1, int(12_000 / voice.hertz))
    partial = np.arange(1, count + 1)
    strength = np.sin(partial * pi * voice.point) / partial
    strength /= 1 + (partial * voice.hertz / cut) ** 2
    turns = np.outer(np.arange(frames) * (2 * pi * voice.hertz / RATE), partial)
    wave: Floats = np.cos(turns - pi * partial * voice.point) @ strength
    return wave
