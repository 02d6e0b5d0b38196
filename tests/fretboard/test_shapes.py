"""What the trade's chord shapes sound in its tunings: pitch contents V, music21 as oracle.

Sources stand by their titles; C: common practice, no source; M: from memory; V: computed.
"""

import pytest
from music21 import chord

from fretboard.frets import fret_semitones
from fretboard.instrument import Instrument
from fretboard.presets import instrument
from tune.chord import parse_chord

EVERY_EXTRA = instrument("1+6+8+13+")

TRIADS = {
    "D": "0-0-2 2-0-0 7-7-9 2-3-4 4-3-2 7-5-4",  # first three: "Mountain Dulcimer Lessons" 2
    "G": "3-3-5 5-3-3 0-1-3 3-1-0",  # first two S
    "A": "4-4-6+ 4-2-1 1-2-4",  # first S
    "Bm": "5-5-7 2-1-0 0-1-2",  # first S
    "Em": "1-1-3 3-1-1",  # S
    "F#m": "2-2-4 4-2-2",  # S
    "Am": "4-4-6",  # S
    "C": "6-6-8 3-4-6 1-1+-3",  # first S; the others "Capo positions, tunings, chords"
    "C#m": "6+-6+-8",  # S
    "Dm": "0-0-1+ 1+-0-0",  # M, with 1+
}

# V: shapes that are not full triads, and what they are
PARTS = {
    "0-0-0": {"D", "A"},  # D5
    "3-3-3": {"G", "D"},  # G5
    "4-4-4": {"A", "E"},  # A5
    "6-6-6": {"C", "G"},  # C5
    "1-0-1": {"E", "A"},  # A5/E
    "2-1-2": {"F#", "B"},  # B5/F#
    "5-4-5": {"B", "E"},  # E5/B
    "1-0-3": {"E", "A", "G"},  # A7 without third
    "3-2-4": {"G", "C#", "A"},  # A7 without fifth
    "3-2-1": {"G", "C#", "E"},  # rootless A7 = C#dim
}


def pitches(shape: str, strung: Instrument) -> list[int]:
    """The MIDI pitches of a shape such as 3-1-0, bass first, each from a fret that exists."""
    frets = [fret_semitones(label) for label in shape.split("-")]
    assert all(strung.has(course, fret) for course, fret in enumerate(frets)), shape
    return [strung.pitch(course, fret) for course, fret in enumerate(frets)]


def classes(names: set[str]) -> set[int]:
    return {chord.Chord([name]).pitches[0].pitchClass for name in names}


@pytest.mark.parametrize(
    ("symbol", "shape"),
    [(symbol, shape) for symbol, shapes in TRIADS.items() for shape in shapes.split()],
)
def test_a_shape_in_d_a_d_is_the_full_triad_it_is_called(symbol: str, shape: str) -> None:
    sounding = pitches(shape, EVERY_EXTRA)
    oracle = chord.Chord(sounding)
    assert oracle.isMinorTriad() if symbol.endswith("m") else oracle.isMajorTriad()
    assert oracle.root().pitchClass == classes({symbol.removesuffix("m")}).pop()
    assert {pitch % 12 for pitch in sounding} == parse_chord(symbol).pitch_classes


@pytest.mark.parametrize(("shape", "names"), list(PARTS.items()))
def test_a_shape_that_is_no_full_triad(shape: str, names: set[str]) -> None:
    sounding = pitches(shape, EVERY_EXTRA)
    assert {pitch % 12 for pitch in sounding} == classes(names)
    oracle = chord.Chord(sounding)
    assert not oracle.isMajorTriad()
    assert not oracle.isMinorTriad()


def test_parts_of_a_seventh_lack_what_they_are_said_to_lack() -> None:
    seventh = parse_chord("A7").degrees
    for shape, missing in (("1-0-3", "third"), ("3-2-4", "fifth"), ("3-2-1", "root")):
        sounding = {pitch % 12 for pitch in pitches(shape, EVERY_EXTRA)}
        assert sounding == set(seventh.values()) - {seventh[missing]}, shape
    assert chord.Chord(pitches("3-2-1", EVERY_EXTRA)).isDiminishedTriad()


@pytest.mark.parametrize(
    ("shape", "bass"), [("1-0-1", "E"), ("2-1-2", "F#"), ("5-4-5", "B"), ("3-1-0", "G")]
)
def test_the_lowest_note_of_a_shape(shape: str, bass: str) -> None:
    # V: A5/E, B5/F#, E5/B, and G with its root in the bass
    sounding = pitches(shape, EVERY_EXTRA)
    assert min(sounding) == sounding[0]
    assert chord.Chord(sounding).bass().name == bass


@pytest.mark.parametrize(("symbol", "shape"), [("D", "2-0-3"), ("G", "3-1-3"), ("A", "1-0-2")])
def test_shapes_in_d_a_a(symbol: str, shape: str) -> None:
    # "In a jam…"
    sounding = pitches(shape, instrument(tuning="D-A-A"))
    assert {pitch % 12 for pitch in sounding} == parse_chord(symbol).pitch_classes
    assert chord.Chord(sounding).root().name == symbol


@pytest.mark.parametrize(
    ("symbol", "root", "fifth"),
    [
        ("D", "0", "4"), ("G", "3", "0"), ("A", "4", "1"), ("Em", "1", "5"), ("Bm", "5", "2"),
        ("C", "6", "3"), ("F#m", "2", "6+"), ("Am", "4", "1"),
    ],
)  # fmt: skip
def test_root_and_fifth_on_the_d_bass_string(symbol: str, root: str, fifth: str) -> None:
    # V
    low, high = (EVERY_EXTRA.pitch(0, fret_semitones(label)) for label in (root, fifth))
    triad = chord.Chord([n + 60 for n in parse_chord(symbol).pitch_classes])
    assert low % 12 == triad.root().pitchClass
    assert triad.fifth is not None
    assert high % 12 == triad.fifth.pitchClass


def test_the_fifth_of_g_is_the_low_one() -> None:
    # TRADE, "Bass": the low fifth, not fret 7, which sounds it an octave up
    assert EVERY_EXTRA.pitch(0, fret_semitones("7")) == EVERY_EXTRA.pitch(0, 0) + 12


def test_an_extra_fret_is_what_some_shapes_need() -> None:
    traditional = instrument("traditional")
    for label, shape in (("6+", "4-4-6+"), ("1+", "0-0-1+")):
        assert label in shape.split("-")
        assert not traditional.has(2, fret_semitones(label))
        pitches(shape, EVERY_EXTRA)
