"""Keys and modes: signatures, scales and spellings, against music21 and the trade's facts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import key as music21_key
from music21 import note as music21_note
from music21 import pitch as music21_pitch

from tests.tune.test_chord import ROOTS
from tune.chord import pitch_class
from tune.errors import TuneError
from tune.key import MODES, Key, note_name, transposed_name

TONICS = (*ROOTS, "Cb", "E#", "Fb", "B#")


def usable(tonic: str, mode: str) -> bool:
    """Whether music21 gives that key a signature of at most seven signs."""
    sharps = music21_key.Key(tonic.replace("b", "-"), mode).sharps
    return abs(sharps) <= 7


KEYS = [Key(tonic, mode) for mode in MODES for tonic in TONICS if usable(tonic, mode)]
some_key = st.sampled_from(KEYS)


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("tonic", TONICS)
def test_the_signature_is_music21s(tonic: str, mode: str) -> None:
    theirs = music21_key.Key(tonic.replace("b", "-"), mode)
    if usable(tonic, mode):
        assert Key(tonic, mode).fifths == theirs.sharps
    else:
        with pytest.raises(TuneError, match="seven sharps or flats"):
            Key(tonic, mode)


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_the_scale_and_its_spelling_are_music21s(key: Key) -> None:
    theirs = music21_key.Key(key.tonic.replace("b", "-"), key.mode).pitches[:7]
    assert {pitch.pitchClass for pitch in theirs} == key.pitch_classes
    names = {pitch.name.replace("-", "b") for pitch in theirs}
    assert {note_name(pc, key) for pc in key.pitch_classes} == names


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_the_signature_alters_the_notes_that_the_scale_has(key: Key) -> None:
    """music21.key.KeySignature, which knows nothing of tonic and mode."""
    signature = music21_key.KeySignature(key.fifths)
    altered = {pitch.name.replace("-", "b") for pitch in signature.alteredPitches}
    assert altered == {
        name for name in (note_name(pc, key) for pc in key.pitch_classes) if len(name) > 1
    }


@pytest.mark.parametrize(
    ("tuning", "fret", "mode"),
    [  # TRADE.md, "Tunings": which mode begins at which fret of the diatonic fretboard
        ("d", 0, "mixolydian"),
        ("a", 3, "major"),
        ("c", 1, "minor"),
        ("g", 4, "dorian"),
    ],
)
def test_the_frets_of_each_tuning_give_its_mode(tuning: str, fret: int, mode: str) -> None:
    """Semitones of the whole-number frets: TRADE.md, "Frets"."""
    semitones = (0, 2, 4, 5, 7, 9, 10, 12, 14, 16, 17, 19)
    scale = [(pitch_class(tuning.upper()) + up) % 12 for up in semitones[fret : fret + 7]]
    key = Key("D", mode)
    assert scale[0] == pitch_class("D")
    assert set(scale) == key.pitch_classes


@pytest.mark.parametrize(
    ("semitones", "mode"),
    [  # TRADE.md, "Tunings": capo on D-A-d; semitones of the frets from the capo up
        ((2, 4, 5, 7, 9, 11, 12), "dorian"),  # capo 1, 6+
        ((2, 4, 5, 7, 9, 10, 12), "minor"),  # capo 1, 6
        ((5, 7, 9, 10, 12, 14, 16), "major"),  # capo 3, 6
        ((5, 7, 9, 11, 12, 14, 16), "lydian"),  # capo 3, 6+
    ],
)
def test_the_modes_above_a_capo(semitones: tuple[int, ...], mode: str) -> None:
    assert tuple(step - semitones[0] for step in semitones) == MODES[mode]


@given(some_key, st.integers(-24, 24))
def test_a_transposed_key_keeps_its_mode_and_moves_its_tonic(key: Key, semitones: int) -> None:
    moved = key.transposed(semitones)
    assert moved.mode == key.mode
    assert (pitch_class(moved.tonic) - pitch_class(key.tonic) - semitones) % 12 == 0
    assert abs(moved.fifths) <= 6
    assert moved.pitch_classes == {(pc + semitones) % 12 for pc in key.pitch_classes}


@given(some_key, st.integers(-24, 24), st.sampled_from(TONICS))
def test_a_transposed_name_sounds_as_much_higher_and_has_one_sign_at_most(
    key: Key, semitones: int, name: str
) -> None:
    moved = transposed_name(name, key, key.transposed(semitones))
    assert (pitch_class(moved) - pitch_class(name) - semitones) % 12 == 0
    assert len(moved) <= 2


@given(some_key, st.integers(-24, 24))
def test_scale_notes_stay_scale_notes_in_their_spelling(key: Key, semitones: int) -> None:
    new = key.transposed(semitones)
    for pc in key.pitch_classes:
        moved = transposed_name(note_name(pc, key), key, new)
        assert moved == note_name((pc + semitones) % 12, new)


@given(some_key, st.integers(-24, 24), st.sampled_from(ROOTS))
def test_a_transposed_name_is_music21s_note_moved_by_the_same_named_interval(
    key: Key, semitones: int, name: str
) -> None:
    new = key.transposed(semitones)
    fifths = new.fifths - key.fifths
    theirs = music21_note.Note(name.replace("b", "-"))
    for _ in range(abs(fifths)):
        theirs = theirs.transpose("P5" if fifths > 0 else "-P5")
    spelled = theirs.pitch.name.replace("-", "b")
    if len(spelled) <= 2:
        assert transposed_name(name, key, new) == spelled


@pytest.mark.parametrize(
    ("name", "old", "new", "moved"),
    [
        ("D#", Key("E", "minor"), Key("F#", "minor"), "E#"),  # the raised leading note
        ("C#", Key("D", "minor"), Key("E", "minor"), "D#"),
        ("C", Key("D"), Key("C"), "Bb"),  # the flat seventh
        ("C", Key("D"), Key("A"), "G"),
        ("F", Key("E", "minor"), Key("G", "minor"), "Ab"),
        ("Bb", Key("F"), Key("G"), "C"),
        ("F", Key("C"), Key("Gb"), "Cb"),  # a scale note: no B in G flat
        ("G#", Key("A", "minor"), Key("D#", "minor"), "D"),  # no double sharp
    ],
)
def test_spellings_worked_by_hand(name: str, old: Key, new: Key, moved: str) -> None:
    assert transposed_name(name, old, new) == moved


@pytest.mark.parametrize(
    ("key", "names"),
    [
        (Key("C"), "C C# D Eb E F F# G G# A Bb B"),
        (Key("D"), "C C# D D# E F F# G G# A A# B"),
        (Key("F"), "C C# D Eb E F F# G Ab A Bb B"),
        (Key("E", "minor"), "C C# D D# E F F# G G# A Bb B"),
        (Key("F#", "minor"), "C C# D D# E E# F# G G# A A# B"),
        (Key("Gb"), "C Db D Eb Fb F Gb G Ab A Bb Cb"),
    ],
)
def test_every_pitch_class_has_one_name_in_a_key(key: Key, names: str) -> None:
    assert [note_name(pc, key) for pc in range(12)] == names.split()


@given(some_key, st.integers(-30, 30))
def test_a_note_name_sounds_its_pitch_class(key: Key, pc: int) -> None:
    name = note_name(pc, key)
    assert pitch_class(name) == pc % 12
    assert music21_pitch.Pitch(name.replace("b", "-")).pitchClass == pc % 12


@pytest.mark.parametrize(
    ("tonic", "mode", "message"),
    [
        ("H", "major", "'H' is no note name"),
        ("", "major", "'' is no note name"),
        ("D", "ionian", "write one of major, mixolydian, dorian"),
        ("D", "Major", "is no mode"),
        ("G#", "major", "G# major would need more than seven"),
        ("Fb", "dorian", "Fb dorian would need more than seven"),
    ],
)
def test_a_key_checks_itself(tonic: str, mode: str, message: str) -> None:
    with pytest.raises(TuneError, match=message):
        Key(tonic, mode)
