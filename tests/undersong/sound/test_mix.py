"""The whole sound, measured: when notes begin, silence, seams, levels, sides, memory."""

import tracemalloc
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from fretboard.presets import instrument
from solver.result import Arrangement
from tests.undersong.arranged import bundled
from tests.undersong.passages import alternating, resting, strummed
from tests.undersong.sound.measuring import RATE, Sound, begins, level, played, plucked
from undersong.sound.mix import FADE
from undersong.sound.plan import Click, Pluck
from undersong.sound.playing import Clock, heard
from undersong.sound.render import render
from undersong.sound.sound_options import SoundOptions

LATE = 0.005
GONE = FADE + LATE
"""Seconds after which nothing is left of a note that was stopped."""


def sharpness(sound: Sound) -> Sound:
    """How much is there of what is highest: a stroke and a click show in it, ringing hardly."""
    return np.abs(np.diff(sound, 3, axis=0)).max(axis=1)


@pytest.mark.parametrize("course", [0, 1, 2])
def test_notes_begin_where_the_score_says(course: int) -> None:
    made = bundled("harrow-lane")
    sharp = sharpness(played(made, SoundOptions(only=course)))
    clock, notes = Clock.of(made.tune), [note for note in heard(made) if note.course == course]
    assert len(notes) > 50
    for note in notes:
        at = clock.seconds(note.tick)
        start = max(0.0, at - 0.1)
        found = begins(sharp, start, 0.2)
        assert abs(found - at) <= LATE, note


def test_from_silence_a_note_begins_where_the_score_says() -> None:
    made = resting()
    sound = played(made, SoundOptions(only=0)).sum(axis=1)
    clock = Clock.of(made.tune)
    for note in heard(made):
        if note.course == 0:
            assert abs(begins(sound, max(0, clock.seconds(note.tick) - 0.1), 0.2)
                       - clock.seconds(note.tick)) <= LATE  # fmt: skip


def test_the_palm_and_a_rest_make_silence() -> None:
    # 96 a minute: bars of 2.5 s; the second rests; bass notes on 1 and 3 are damped after a beat
    whole, bass = played(resting()), played(resting(), SoundOptions(only=0))
    assert level(whole, 2.5 + GONE, 2.5 - GONE - 0.001) < -120
    assert level(bass, 0.625 + GONE, 0.625 - GONE - 0.001) < -120
    assert level(bass, 0.0, 0.1) > -30


def test_what_is_let_go_does_not_click() -> None:
    sharp = sharpness(played(resting()))
    before, after = (round(t * RATE) for t in (2.4, 2.5))
    assert sharp[after : after + RATE // 20].max() <= sharp[before:after].max()


def test_the_end_rings_out_into_silence() -> None:
    sound = played(alternating())
    assert len(sound) == round((10 + 1.5) * RATE)
    assert np.abs(sound[-20:]).max() < 1e-4
    assert -50 < level(sound, 10.2, 0.2) < level(sound, 9.4, 0.2)


def test_a_loop_has_no_seam() -> None:
    made = alternating()
    twice = played(made, SoundOptions(times=2))
    seam = 10 * RATE
    first, second = twice[:seam], twice[seam : 2 * seam]
    fading = round(GONE * RATE)
    assert np.abs(first[fading:] - second[fading:])[: seam - 2 * fading].max() < 1e-6
    sharp = sharpness(twice)
    around = sharp[seam - RATE // 10 : seam + RATE // 10].max()
    assert around <= 1.05 * sharp[: RATE // 10].max(), "no more than the first stroke itself"


def test_blocks_join_without_a_trace() -> None:
    # the same notes, cut at other places: begun a third of a block later
    on = alternating().instrument
    late = Fraction(5461, RATE)
    notes = [Pluck(Fraction(n, 2), Fraction(n + 2, 2), n % 3, 50 + 7 * (n % 3)) for n in range(6)]
    plain = plucked(list(notes), on, 3.0)
    moved = [replace(note, at=note.at + late, stop=note.stop + late) for note in notes]
    shifted = plucked(list(moved), on, 3.0 + 5461 / RATE)
    assert np.abs(shifted[5461:] - plain).max() < 1e-6


@pytest.mark.parametrize(
    ("manner", "pattern"),
    [
        ("alternating", "bass-then-strum"),
        ("walking", "damped-bass-then-strum"),
        ("roots", "full-strum"),
        ("alternating", "broken"),
        ("roots", "bass-only"),
    ],
)
def test_loud_enough_and_never_clipped(manner: str, pattern: str) -> None:
    sound = played(bundled("harrow-lane", manner, pattern))
    # of a whole tune; both channels together lie 3 dB above the mean of the two
    assert 0.25 < np.abs(sound).max() < 0.97
    assert -29 < level(sound, 0, len(sound) / RATE) < -18
    assert np.abs(sound.mean(axis=0)).max() < 1e-4


def test_everything_at_once_does_not_clip() -> None:
    on = instrument("four-equidistant")
    events: list[Pluck | Click] = [
        Pluck(Fraction(n, 20), Fraction(n + 1, 20), course, 69, sings=True)
        for n in range(40)
        for course in range(4)
    ]
    events += [Click(Fraction(n, 20), True) for n in range(40)]
    events.sort(key=lambda event: event.at)
    assert np.abs(plucked(events, on, 2.0)).max() < 0.97


def test_levels_are_even_from_string_to_string_and_fret_to_fret() -> None:
    on = instrument()
    levels = [
        level(plucked([Pluck(Fraction(0), Fraction(1), course, on.pitch(course, fret))], on, 1.0),
              0, 0.5)
        for course in range(3)
        for fret in on.frets(course)
    ]  # fmt: skip
    assert max(levels) - min(levels) < 3.5


def test_the_bass_is_to_the_left_and_the_melody_to_the_right() -> None:
    on = instrument()
    whole = []
    for course, side in ((0, 1), (1, 0), (2, -1)):
        sound = plucked([Pluck(Fraction(0), Fraction(1), course, 62)], on, 1.0)
        left, right = level(sound[:, 0], 0, 0.5), level(sound[:, 1], 0, 0.5)
        assert np.sign(round(left - right)) == side
        whole.append(level(sound, 0, 0.5))
    assert max(whole) - min(whole) < 2, "as loud wherever it is"


def envelope(sound: Sound, hertz: float, at: float) -> float:
    """The strength of a partial over a tenth of a second around that time."""
    part = sound[round((at - 0.05) * RATE) : round((at + 0.05) * RATE)]
    turn = np.exp(-2j * np.pi * hertz * np.arange(len(part)) / RATE)
    return float(abs(np.sum(part * turn * np.hanning(len(part)))))


def test_a_doubled_course_beats_slowly() -> None:
    # 3 cents at D4, 293.66 Hz, are 0.509 Hz: the two are opposed after 0.98 s, together at 1.97 s
    hertz = 293.6648
    note = Pluck(Fraction(0), Fraction(3), 2, 62)
    single, double = (
        plucked([note], instrument(name), 3.0).sum(axis=1) for name in ("standard", "doubled")
    )
    at = {t: envelope(double, hertz, t) / envelope(single, hertz, t) for t in (0.1, 0.98, 1.96)}
    assert at[0.98] < 0.15 * at[0.1]
    assert at[1.96] > 0.7 * at[0.1]


def most_memory(made: Arrangement, times: int) -> int:
    tracemalloc.start()
    for _ in render(made, SoundOptions(times=times)):
        pass
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return most


def test_memory_does_not_grow_with_the_music() -> None:
    made = strummed()
    list(render(made))
    few, many = most_memory(made, 3), most_memory(made, 60)
    assert many < few + 500_000, "a minute of sound alone is 21 MB"


def test_the_same_music_is_the_same_sound() -> None:
    assert np.array_equal(played(alternating()), played(alternating()))
