"""The box under the strings: a few gentle resonances added to the string's own sound.

Frequencies and strengths are chosen by ear and measurement for an even, warm sound (common
practice, no source); they copy no instrument. Every note is brought to one loudness here.

Public: in_the_box, LOUDNESS.
"""

from functools import cache

import numpy as np

from undersong.sound.strings import RATE, Samples

LOUDNESS = 0.115
"""Root mean square of a note while it begins, for an eighth of a second."""
_HEARD = round(0.12 * RATE)
_RESONANCES = (
    (185.0, 0.016, 0.020),
    (268.0, 0.022, 0.018),
    (410.0, 0.018, 0.014),
    (585.0, 0.014, 0.011),
    (880.0, 0.010, 0.008),
    (1350.0, 0.007, 0.005),
)
"""Hertz, strength, and seconds in which it fades to a third."""
_LENGTH = 2048


def in_the_box(string: Samples) -> Samples:
    """The string as the box sounds it, at ``LOUDNESS``."""
    size = 1 << (len(string) + _LENGTH - 1).bit_length()
    both = np.fft.rfft(string, size) * np.fft.rfft(_answer(), size)
    sound = np.fft.irfft(both, size)[: len(string)]
    loud = float(np.sqrt(np.mean(np.square(sound[:_HEARD]))))
    return (sound * (LOUDNESS / max(loud, 1e-9))).astype(np.float32)


@cache
def _answer() -> Samples:
    """What the box gives back when it is struck once."""
    time = np.arange(_LENGTH) / RATE
    answer = np.zeros(_LENGTH)
    answer[0] = 1.0
    for hertz, strength, fade in _RESONANCES:
        answer += strength * np.exp(-time / fade) * np.sin(2 * np.pi * hertz * time)
    fade_out = np.ones(_LENGTH)
    fade_out[-256:] = np.linspace(1, 0, 256)
    return (answer * fade_out).astype(np.float32)
