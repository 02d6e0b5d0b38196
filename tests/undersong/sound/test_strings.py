"""Plucked strings, measured: pitch, ringing, pluck position, steadiness."""

from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest

from fretboard.presets import instrument, instruments
from tests.undersong.sound.measuring import RATE, cents_off, level, plucked
from undersong.sound.plan import Pluck
from undersong.sound.strings import Voice, frequency, pluck

EVERY = [
    (info.name, course)
    for info in instruments()
    for course in range(len(instrument(info.name).courses))
]


def test_equal_temperament_as_it_is_printed_everywhere() -> None:
    # ISO 16: A4 is 440 Hz; the others from the usual table of equal temperament, to a hundredth
    table = {50: 146.83, 57: 220.00, 62: 293.66, 66: 369.99, 69: 440.00, 74: 587.33, 38: 73.42}
    for midi, hertz in table.items():
        assert frequency(midi) == pytest.approx(hertz, abs=0.006)


@pytest.mark.parametrize(("name", "course"), EVERY)
def test_every_fret_of_every_string_is_in_tune(name: str, course: int) -> None:
    on = instrument(name)
    for fret in on.frets(course):
        midi = on.pitch(course, fret)
        note = Pluck(Fraction(0), Fraction(1), course, midi)
        heard = plucked([note], on, 0.7).sum(axis=1)
        assert abs(cents_off(heard, 440 * 2 ** ((midi - 69) / 12))) < 1, fret


@pytest.mark.parametrize("midi", [24, 36, 50, 62, 88, 100, 120])
@pytest.mark.parametrize("damped", [False, True])
def test_a_string_only_ever_fades(midi: int, damped: bool) -> None:
    sound = pluck(Voice(frequency(midi), 0.2, damped), 3.0).astype(np.float64)
    levels = [level(sound, start / 4, 0.25) for start in range(12)]
    assert all(later < before + 0.5 for before, later in pairwise(levels))
    assert np.abs(sound).max() == pytest.approx(1)


def test_d_rings_and_the_palm_stops_it() -> None:
    free, damped = (pluck(Voice(frequency(50), 0.16, palm), 2).astype(float) for palm in (0, 1))
    # 60 dB in 3.2 s is 18.75 dB a second for the fundamental; higher partials fade sooner
    assert -24 < level(free, 1.05, 0.1) - level(free, 0.05, 0.1) < -16
    assert level(damped, 0.35, 0.1) - level(damped, 0.0, 0.1) < -45


def test_a_partial_with_a_node_where_it_is_plucked_is_missing() -> None:
    # plucked at a fourth of the string, the fourth partial has nothing (ideal string, textbook)
    sound = pluck(Voice(200.0, 0.25), 0.5).astype(np.float64)
    strength = np.abs(np.fft.rfft(sound[: RATE // 4] * np.hanning(RATE // 4)))
    third, fourth, fifth = (strength[n * 50] for n in (3, 4, 5))
    assert fourth < 0.02 * min(third, fifth)


def test_high_partials_fade_sooner() -> None:
    sound = pluck(Voice(200.0, 0.21), 1.5).astype(np.float64)
    early, late = (
        np.abs(np.fft.rfft(sound[at : at + RATE // 4] * np.hanning(RATE // 4))) for at in (0, RATE)
    )
    fading = late / early
    assert fading[10 * 50] < 0.5 * fading[50]


def test_the_same_pluck_is_the_same_sound() -> None:
    voice = Voice(frequency(57), 0.3)
    assert np.array_equal(pluck(voice, 1), pluck(voice, 1))
