"""The instrument: courses, frets, real distances, and what a capo makes of them.

Sources stand by their titles; V: computed. music21's scales are the oracle for modes.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import pitch, scale

from fretboard.errors import FretboardError
from fretboard.frets import fret_semitones
from fretboard.instrument import Course, Instrument
from fretboard.presets import instrument, instruments

DIATONIC = (2, 4, 5, 7, 9, 10, 12)
PRESETS = {info.name: info.instrument for info in instruments()}


def above_capo(strung: Instrument, without: str) -> list[int]:
    """Pitch classes of the melody string over an octave from the capo, one fret left out."""
    left_out = {fret_semitones(without), fret_semitones(without) + 12}
    frets = [f for f in strung.frets(2) if f not in left_out and f <= strung.capo + 12]
    return [strung.pitch(2, fret) % 12 for fret in frets]


@pytest.mark.parametrize(
    ("capo", "without", "mode"),
    [
        # "The Dulcimer Capo and How It Works"; "Capo positions, tunings, chords"
        ("1", "6", scale.DorianScale("E")),
        ("1", "6+", scale.MinorScale("E")),
        ("3", "6+", scale.MajorScale("G")),
        ("3", "6", scale.LydianScale("G")),
        # "→ A" with no mode named; V: with 6+ it is A Mixolydian
        ("4", "6", scale.MixolydianScale("A")),
    ],
)
def test_a_capo_on_d_a_d_moves_tonic_and_mode(
    capo: str, without: str, mode: scale.ConcreteScale
) -> None:
    strung = instrument("6+13+", capo=capo)
    ours = above_capo(strung, without)
    tonic = mode.getTonic()
    assert tonic is not None
    assert ours[0] == tonic.pitchClass
    assert len(ours) == 8
    expected = mode.getPitches(pitch.Pitch(f"{tonic.name}4"), pitch.Pitch(f"{tonic.name}5"))
    assert ours == [each.pitchClass for each in expected]


def test_above_a_capo_at_four_the_sixth_frets_act_as_others() -> None:
    # V: fret 6 sounds what 1+ would and 6+ what 2 would; counted from the capo they are 2 and 2+
    strung = instrument(capo=4)
    assert fret_semitones("6") - strung.capo == fret_semitones("1+")
    assert fret_semitones("6+") - strung.capo == fret_semitones("2")
    assert strung.label(fret_semitones("6"), from_capo=True) == "2"
    assert strung.label(fret_semitones("6+"), from_capo=True) == "2+"
    assert strung.label(fret_semitones("6+")) == "6+"


def test_a_capo_takes_the_open_strings_place() -> None:
    strung = instrument(capo="3")
    assert strung.capo == 5
    assert strung.frets(0)[:3] == (5, 7, 9)
    assert strung.has(0, 5)
    assert not strung.has(0, 0)
    assert not strung.has(0, 4)
    assert strung.pitch(0, strung.capo) == 55  # G3: open D3 and five semitones
    assert strung.with_capo(0) == instrument()


def test_lengths_are_tenths_of_a_millimetre_from_the_nut() -> None:
    # "How To Choose The Best Scale Length": fret 7 halves the string
    strung = instrument(scale="25in")
    assert strung.along(0) == 0
    assert strung.along(12) == 3175
    # "Hammers for the MD?": frets 1 to 2 lie 2.43 in apart at 25 in
    assert strung.gap(2, fret_semitones("2")) / 254 == pytest.approx(2.43, abs=0.006)


def test_a_narrow_gap_lies_behind_a_fret_that_follows_an_extra_one() -> None:
    seventh = fret_semitones("7")
    assert instrument().gap(2, seventh) < instrument("traditional").gap(2, seventh)
    partial = instrument("partial-1+8+")
    second = fret_semitones("2")
    assert partial.gap(2, second) < partial.gap(0, second)


def test_the_gap_above_a_capo_begins_at_the_capo() -> None:
    strung = instrument("1+6+", capo="1")
    assert strung.gap(0, 3) == strung.along(3) - strung.along(2)


@given(
    st.sampled_from(sorted(PRESETS)), st.floats(400, 1200), st.sampled_from(["0", "1", "3", "4"])
)
def test_frets_rise_and_every_gap_has_room(name: str, scale_mm: float, capo: str) -> None:
    strung = instrument(name, scale=scale_mm, capo=capo)
    for course in range(len(strung.courses)):
        frets = strung.frets(course)
        places = [strung.along(fret) for fret in frets]
        assert places == sorted(set(places))
        assert all(strung.gap(course, fret) > 0 for fret in frets[1:])
        assert [strung.pitch(course, fret) - strung.tuning[course] for fret in frets] == list(frets)
        assert all(strung.has(course, fret) for fret in frets)


def test_courses_have_the_trades_names() -> None:
    assert [instrument().course_name(n) for n in range(3)] == ["bass", "middle", "melody"]
    four = instrument("four-equidistant")
    assert [four.course_name(n) for n in (0, 3)] == ["bass", "melody"]


def test_another_tuning_leaves_the_fretboard_alone() -> None:
    before, after = instrument(), instrument(tuning="D-A-c")
    assert after.tuning == (50, 57, 60)
    assert [course.frets for course in after.courses] == [course.frets for course in before.courses]


@pytest.mark.parametrize(
    ("frets", "pitch", "says"),
    [
        ((), 50, "must ascend from the first fret on"),
        ((0, 2), 50, "must ascend from the first fret on"),
        ((4, 2), 50, "must ascend from the first fret on"),
        ((2, 2), 50, "must ascend from the first fret on"),
        (DIATONIC, 12, "between C1 and C6, not at 12"),
        (DIATONIC, 85, "between C1 and C6, not at 85"),
    ],
)
def test_a_course_that_cannot_be(frets: tuple[int, ...], pitch: int, says: str) -> None:
    with pytest.raises(FretboardError) as caught:
        Course(pitch, frets)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("courses", "scale_mm", "spacing", "capo", "says"),
    [
        (2, 686, 16, 0, "three or four courses, not 2"),
        (5, 686, 16, 0, "three or four courses, not 5"),
        (3, 27, 16, 0, "a scale length of 27 mm cannot be"),
        (3, float("nan"), 16, 0, "a scale length of nan mm cannot be"),
        (3, 686, 2, 0, "5 to 40 mm apart"),
        (3, 686, 16, 3, "a capo cannot sit at fret 1+"),
        (3, 686, 16, 12, "leaves no fret to play; put it at fret "),
    ],
)
def test_an_instrument_that_cannot_be(
    courses: int, scale_mm: float, spacing: float, capo: int, says: str
) -> None:
    with pytest.raises(FretboardError) as caught:
        Instrument("mine", (Course(50, DIATONIC),) * courses, scale_mm, spacing, capo)
    assert says in str(caught.value)


def test_a_capo_needs_its_fret_under_every_course() -> None:
    partial = instrument("partial-1+8+")
    with pytest.raises(FretboardError, match=r"fret 1\+: that fret does not run under every"):
        partial.with_capo(fret_semitones("1+"))
    assert instrument("1+6+", capo="1½").capo == 3


def test_a_tuning_needs_a_pitch_for_every_course() -> None:
    with pytest.raises(FretboardError, match="3 pitches, but four-equidistant has 4 courses"):
        instrument("four-equidistant").with_tuning((50, 57, 62))
