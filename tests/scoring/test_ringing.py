"""Silence, clashes, strings left out, leaps and fifths, by hand; music21 as oracle for fifths."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from music21 import interval, note, pitch, voiceLeading

from fretboard.instrument import Course
from scoring.choice import Shapes
from scoring.terms import PAIR_TERMS
from tests.scoring.passage import ALL, HAND, STANDARD, amounts, moment, step
from tune.time import QUARTER

EIGHTH = QUARTER // 2


@pytest.mark.parametrize(
    ("length", "eighths"),
    [(1, 1), (EIGHTH, 1), (EIGHTH + 1, 2), (QUARTER, 2), (3 * EIGHTH, 3), (4 * QUARTER, 8)],
)
def test_silence_is_counted_in_eighths_counted_up(length: int, eighths: int) -> None:
    here = moment(length=length)
    assert here.eighths == eighths
    assert amounts("upper-silent", [step("0-0-x")], here) == [eighths]
    assert amounts("upper-silent", [step("0-x-x")], here) == [2 * eighths]
    assert amounts("bass-silent", [step("x-0-0")], here) == [eighths]


def test_strings_that_sound_are_not_silent_struck_or_not() -> None:
    for choice in (step("0-0-0"), step("0-0-0", struck="..."), step("0-0-0", struck=".u.")):
        assert amounts("upper-silent", [choice]) == [0]
        assert amounts("bass-silent", [choice]) == [0]


def test_each_silence_has_its_own_strings() -> None:
    assert amounts("upper-silent", [step("x-0-0")]) == [0]
    assert amounts("bass-silent", [step("0-x-x")]) == [0]


def test_a_string_that_the_right_hand_never_plays_may_be_silent() -> None:
    bass_only = moment(plays=(True, False, False))
    assert amounts("upper-silent", [step("0-x-x")], bass_only) == [0]
    no_bass = moment(plays=(False, True, True))
    assert amounts("bass-silent", [step("x-0-0")], no_bass) == [0]


def test_silence_without_a_chord_is_meant() -> None:
    for name in ("upper-silent", "bass-silent"):
        assert amounts(name, [step("x-x-x")], [moment(None)]) == [0]


def test_a_damped_bass_is_meant_to_be_silent() -> None:
    assert amounts("bass-silent", [step("x-0-0")], moment(damped=True)) == [0]
    assert amounts("upper-silent", [step("0-x-0")], moment(damped=True)) == [2]


# Clash: an open string foreign to the chord rings on.


@pytest.mark.parametrize(
    ("chord", "shape", "struck", "strings"),
    [
        ("D", "0-0-0", "b..", 0),  # D and A belong to D
        ("G", "3-0-0", "b..", 1),  # A is foreign to G, D is its fifth
        ("Em", "1-0-0", "b..", 2),  # A and D are both foreign
        ("Em", "1-0-0", "bum", 0),  # struck strings are another matter
        ("Em", "1-0-0", "bu.", 1),
        ("Em", "0-1-1", ".um", 0),  # the bass string answers to the bass line
        ("C/D", "0-3-3", "b..", 0),  # D, the slash bass, belongs; so does G of C
        ("C/D", "0-3-5", "b..", 1),  # B does not
        ("Em", "1-x-x", "b..", 0),
        (None, "0-0-0", "...", 0),
    ],
)
def test_a_clash(chord: str | None, shape: str, struck: str, strings: int) -> None:
    fingers = "".join("-" if fret in "0x" else "M" for fret in shape.split("-"))
    assert amounts("clash", [step(shape, fingers, struck=struck)], moment(chord)) == [2 * strings]


def test_a_clash_lasts() -> None:
    assert amounts("clash", [step("3-0-0", "M--", struck="b..")], moment("G", length=EIGHTH)) == [1]
    assert amounts("clash", [step("3-0-0", "M--", struck="b..")], moment("G", length=1)) == [1]


# Strings left out, and strings below the bass.


@pytest.mark.parametrize(
    ("asked", "struck", "strings"),
    [
        ("bum", "bum", 0),
        ("bum", "bu.", 1),
        ("bum", "b..", 2),
        (".um", ".u.", 1),
        ("b..", "b..", 0),
        ("bum", ".um", 0),  # the bass is not a string left out
        ("b..", "bum", 0),
    ],
)
def test_left_out(asked: str, struck: str, strings: int) -> None:
    here = moment(strikes=(tuple(mark != "." for mark in asked), ALL))
    assert amounts("left-out", [step("0-0-0", struck=struck)], here) == [strings]


@pytest.mark.parametrize(
    ("shape", "fingers", "strings"),
    [
        ("0-0-0", "", 0),
        ("4-0-0", "M--", 0),  # A3 on both strings: unison is allowed
        ("5-0-0", "M--", 1),  # B3 above A3
        ("7-0-0", "M--", 1),  # D4 above A3, in unison with D4
        ("8-0-0", "M--", 2),  # E4 above both
        ("8-x-x", "M--", 0),
        ("x-0-0", "", 0),
    ],
)
def test_strings_that_sound_below_the_bass(shape: str, fingers: str, strings: int) -> None:
    assert amounts("bass-above", [step(shape, fingers)]) == [strings]


# Voices.


def test_a_voice_leaps_where_it_goes_beyond_a_whole_tone() -> None:
    # melody frets 0 1 3 3 0: 2, 3, 0, 5 semitones
    choices = [step(f"0-0-{fret}", "--M" if fret else "") for fret in (0, 1, 3, 3, 0)]
    assert amounts("voice-leap", choices) == [0, 0, 1, 0, 3]
    # both strings at once: the middle 0 → 3 is 5 semitones, the melody 0 → 3 too
    assert amounts("voice-leap", [step("0-0-0"), step("0-3-3", "-II")]) == [0, 6]
    # the bass is no upper voice
    assert amounts("voice-leap", [step("0-0-0"), step("7-0-0", "M--")]) == [0, 0]


def test_a_voice_from_or_into_silence_does_not_leap() -> None:
    assert amounts("voice-leap", [step("0-0-0"), step("0-0-x"), step("0-0-7", "--T")]) == [0, 0, 0]


def fifths(*shapes: str) -> list[int]:
    """The amounts of shapes, an index finger on whatever is stopped."""
    fingers = ["".join("-" if f in "0x" else "I" for f in shape.split("-")) for shape in shapes]
    choices = [step(shape, by) for shape, by in zip(shapes, fingers, strict=True)]
    return amounts("parallel-fifths", choices)


def test_parallel_fifths_by_hand() -> None:
    # 0-0-0, 1-1-1: D A to E B, one string in fifths; the melody string goes in octaves
    assert fifths("0-0-0", "1-1-1") == [0, 1]
    assert fifths("1-1-1", "0-0-0") == [0, 1]
    assert fifths("0-0-0", "0-0-0") == [0, 0]  # nothing moves: a drone
    assert fifths("0-0-0", "1-0-0") == [0, 0]  # oblique
    assert fifths("0-0-0", "1-2-1") == [0, 0]  # E C♯: a sixth
    assert fifths("0-0-4", "1-1-5") == [0, 2]  # a fifth and a twelfth
    assert fifths("x-0-0", "1-1-1") == [0, 0]
    assert fifths("0-x-0", "1-1-1") == [0, 0]


TERM = next(term for term in PAIR_TERMS if term.about.name == "parallel-fifths")
PITCHES = st.integers(0, 24)


@settings(max_examples=80, deadline=None)
@given(PITCHES, PITCHES, st.integers(0, 24), st.integers(0, 24), st.booleans(), st.booleans())
def test_music21_hears_the_same_parallel_fifths(
    old: int, new: int, gap: int, gap_after: int, fifth: bool, fifth_after: bool
) -> None:
    """music21's parallelFifth() counts antiparallel fifths (contrary motion) too; ours does not."""
    gap, gap_after = (7 if fifth else gap), (7 + 12 * (gap_after % 2) if fifth_after else gap_after)
    lower = [note.Note(pitch.Pitch(50 + up).nameWithOctave) for up in (old, new)]
    spelled = {7: "P5", 19: "P12"}  # music21 goes by spelling
    upper = [
        low.transpose(interval.Interval(spelled.get(up, up)))
        for low, up in zip(lower, (gap, gap_after), strict=True)
    ]
    quartet = voiceLeading.VoiceLeadingQuartet(*upper, *lower)
    ours = _fifths_between(old, new, gap, gap_after)
    contrary = (new - old) * (new + gap_after - old - gap) < 0
    assert ours == int(quartet.parallelFifth() and not contrary)


def _fifths_between(old: int, new: int, gap: int, gap_after: int) -> int:
    """Our count where the bass goes from D3 + old to D3 + new under a string so far above."""
    every = tuple(range(1, 60))
    strung = replace(STANDARD, courses=tuple(Course(50, every) for _ in range(3)))
    frets = np.array([[old, old + gap, -1], [new, new + gap_after, -1]], np.int32)
    none = np.full_like(frets, -1)
    shapes = Shapes(frets, none, frets >= 0, np.zeros(2, np.int32), strung, HAND)
    first, second = (shapes.take(np.array([row])) for row in (0, 1))
    return int(TERM.amount(first, second)[0])


def test_the_oracle_knows_contrary_fifths_which_we_leave_free() -> None:
    lower, upper = (note.Note("G3"), note.Note("D3")), (note.Note("D4"), note.Note("A4"))
    assert voiceLeading.VoiceLeadingQuartet(*upper, *lower).parallelFifth()
    assert _fifths_between(5, 0, 7, 19) == 0
