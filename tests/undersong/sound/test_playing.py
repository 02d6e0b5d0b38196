"""What is heard, and when: worked by hand from short passages."""

from dataclasses import replace
from fractions import Fraction

import pytest

from fretboard.presets import instrument
from solver.style import Style
from tests.undersong.arranged import chart
from tests.undersong.passages import alternating, arranged, held, resting
from tune.time import QUARTER, Tempo
from undersong.sound.playing import Clock, Heard, heard

HALF, BAR = 2 * QUARTER, 4 * QUARTER


def note(course: int, midi: int, start: int, end: int, bar: int, **more: bool) -> Heard:
    """start and end in quarters."""
    return Heard(
        course, midi, start * QUARTER, end * QUARTER,
        more.get("damped", False), course == 0, bar, more.get("sings", False),
    )  # fmt: skip


def test_strings_ring_until_they_are_plucked_again_or_let_go() -> None:
    # D, then G: bass D3 for a beat, with the strum above it ringing on (0-0-4 is D3 A3 F#4), then
    # A3 on the bass string; in the second bar the bass goes to G3 and the others are let go.
    notes = heard(alternating())
    assert notes[:8] == (
        note(0, 50, 0, 2, 1),
        note(1, 57, 1, 3, 1),
        note(2, 66, 1, 3, 1),
        note(0, 57, 2, 4, 1),
        note(1, 57, 3, 4, 1),
        note(2, 66, 3, 4, 1),
        note(0, 55, 4, 6, 2),
        note(1, 59, 5, 7, 2),
    )
    assert notes[-1] == note(2, 66, 15, 16, 4)


def test_a_held_bass_rings_through_the_strums() -> None:
    # three beats to the bar, the bass struck once a bar
    bass = [one for one in heard(held()) if one.course == 0]
    assert bass == [note(0, 50, 0, 3, 1), note(0, 50, 3, 6, 2)]


def test_a_string_that_changes_its_fret_by_a_stroke_ends_the_note_before() -> None:
    middle = [(one.midi, one.tick, one.end) for one in heard(held()) if one.course == 1]
    assert middle == [
        (57, QUARTER, 2 * QUARTER),
        (57, 2 * QUARTER, 4 * QUARTER),
        (57, 4 * QUARTER, 5 * QUARTER),
        (62, 5 * QUARTER, 6 * QUARTER),
    ]


def test_damped_bass_notes_end_with_their_beat_and_a_rest_is_silent() -> None:
    notes = heard(resting())
    bass = [one for one in notes if one.course == 0]
    assert bass[:2] == [note(0, 50, 0, 1, 1, damped=True), note(0, 50, 2, 3, 1, damped=True)]
    assert not any(one.damped for one in notes if one.course)
    assert not any(one.tick < 2 * BAR and one.end > BAR for one in notes)


def test_the_melody_is_told() -> None:
    # the melody d' over the open strings, struck together
    tune = chart("key: D\nmetre: 4/4\n| D |")
    made = arranged(tune, Style(manner="roots"), "0 x x | - - - | 100 | b-- | root\n" * 4)
    moments = (replace(made.moments[0], melody=50, sings=True), *made.moments[1:])
    assert [one.sings for one in heard(replace(made, moments=moments))] == [True, *[False] * 3]


def test_pitches_are_those_above_the_capo_and_of_the_tuning() -> None:
    # fret 4 (7 semitones) of D2 is A2 on the bass instrument
    made = replace(alternating(), instrument=instrument("bass"))
    assert [one.midi for one in heard(made)][:4] == [38, 45, 54, 45]


def test_a_tune_of_one_tempo_is_counted_by_hand() -> None:
    # 100 quarters a minute: 0.6 s each
    clock = Clock.of(chart("key: D\nmetre: 4/4\n| D | G | A7 | D |"))
    assert clock.seconds(0) == 0
    assert clock.exact(5 * QUARTER) == 3
    assert clock.seconds(16 * QUARTER) == pytest.approx(9.6, abs=1e-12)


def test_tempo_changes_hold_from_their_bar_on_each_time_through() -> None:
    # bars of 4 quarters: 60, then 120 a minute, repeated: 4 + 2 + 4 + 2 s
    tune = chart("key: D\nmetre: 4/4\n| D | G |")
    first, second = tune.bars
    tune = replace(
        tune,
        tempo=Tempo(QUARTER, 60),
        bars=(
            replace(first, tempo=Tempo(QUARTER, 60)),
            replace(second, tempo=Tempo(QUARTER, 120), repeat_times=2),
        ),
    )
    clock = Clock.of(tune)
    assert [clock.exact(BAR * n) for n in range(5)] == [0, 4, 6, 10, 12]
    assert clock.exact(BAR + QUARTER) == Fraction(9, 2)
    assert Clock.of(tune, Fraction(1, 2)).exact(BAR * 4) == 24


def test_a_dotted_beat_is_counted_as_it_stands() -> None:
    # 6/8 at 60 dotted quarters a minute: a bar of two beats lasts 2 s
    tune = chart("key: D\nmetre: 6/8\n| D | G |")
    tune = replace(tune, tempo=Tempo(3 * QUARTER // 2, 60))
    tune = replace(tune, bars=tuple(replace(bar, tempo=None) for bar in tune.bars))
    assert Clock.of(tune).exact(tune.played[1].start) == 2
