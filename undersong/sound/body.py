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
    (190.0, 0.9, 0.014),
    (275.0, 1.0, 0.012),
    (420.0, 0.8, 0.009),
    (610.0, 0.7, 0.007),
    (950.0, 0.8, 0.004),
    (1500.0, 0.8, 0.003),
    (2400.0, 0.6, 0.002),
)
"""Hertz, strength beside the string's own sound, and seconds in which it fades to a third."""
_RUMBLE = 25.0
"""Hertz: what lies far below the strings is taken away, so that nothing drifts."""
_LENGTH = 2048


def in_the_box(string: Samples) -> Samples:
    """The string as the box sounds it, at ``LOUDNESS``."""
    size = 1 << (len(string) + _LENGTH - 1).bit_length()
    turning = 1j * np.fft.rfftfreq(size, 1 / RATE)
    both = np.fft.rfft(string, size) * np.fft.rfft(_answer(), size)
    both *= turning / (turning + _RUMBLE)
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
        strength *= 2 / (fade * RATE)
        answer += strength * np.exp(-time / fade) * np.sin(2 * np.pi * hertz * time)
    fade_out = np.ones(_LENGTH)
    fade_out[-256:] = np.linspace(1, 0, 256)
    return (answer * fade_out).astype(np.float32)
