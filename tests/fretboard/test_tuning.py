"""Tunings: typed pitches, and which mode lies where under which tuning.

Sources stand by their titles; C: common practice, no source; M: from memory; V: computed; S: a
published source without a title in our notes. music21's scales are the oracle for modes.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import pitch, scale

from fretboard.errors import FretboardError
from fretboard.frets import fret_semitones
from fretboard.instrument import Instrument
from fretboard.presets import TuningInfo, instrument, tunings
from fretboard.tuning import parse_pitch, parse_tuning, pitch_name

MODES = {
    "ionian": scale.MajorScale,
    "dorian": scale.DorianScale,
    "phrygian": scale.PhrygianScale,
    "lydian": scale.LydianScale,
    "mixolydian": scale.MixolydianScale,
    "aeolian": scale.MinorScale,
    "locrian": scale.LocrianScale,
}


def mode_pitches(tonic: int, mode: str) -> list[int]:
    """MIDI pitches of an octave of the mode from the tonic up, as music21 has them."""
    above = MODES[mode](pitch.Pitch(midi=tonic)).getPitches(
        pitch.Pitch(midi=tonic), pitch.Pitch(midi=tonic + 12)
    )
    return [round(each.ps) for each in above]


def string_pitches(strung: Instrument, *labels: str) -> list[int]:
    """What the melody string sounds at the frets of these numbers."""
    return [strung.pitch(len(strung.courses) - 1, fret_semitones(label)) for label in labels]


@pytest.mark.parametrize(
    ("typed", "pitches"),
    [
        ("D3 A3 D4", (50, 57, 62)),
        ("D-A-d", (50, 57, 62)),  # S
        ("D-A-A", (50, 57, 57)),  # S
        ("D-A-c", (50, 57, 60)),  # S
        ("D-A-g", (50, 57, 55)),  # S: the melody string is G3, below the middle
        ("D-G-d", (50, 55, 62)),  # S
        ("C-G-c", (48, 55, 60)),  # octaves M
        ("C-G-g", (48, 55, 55)),  # octaves M
        ("A2 E3 A3", (45, 52, 57)),  # baritone, octaves M
        ("G2 D3 G3", (43, 50, 55)),  # baritone, octaves M
        ("A-E-a", (45, 52, 57)),
        ("G-D-g", (43, 50, 55)),
        ("D2 A2 D3", (38, 45, 50)),  # bass instrument, S
        ("D-A-d-d", (50, 57, 62, 62)),  # four equidistant, S
    ],
)
def test_tunings_of_the_trade_as_typed(typed: str, pitches: tuple[int, ...]) -> None:
    assert parse_tuning(typed) == pitches


@pytest.mark.parametrize(
    "typed",
    ["DAd", "dad", "D A D", "D,A,D", "D3, A3, D4", "D3-A3-D4", "D - A - d", "D–A–d", " D-A-d\n"],
)
def test_one_tuning_in_many_writings(typed: str) -> None:
    assert parse_tuning(typed) == (50, 57, 62)


def test_sharps_and_flats() -> None:
    assert parse_tuning("Eb-Bb-eb") == parse_tuning("E♭3 B♭3 E♭4") == (51, 58, 63)
    assert parse_tuning("C#-G#-c#") == parse_tuning("C#G#c#") == (49, 56, 61)
    assert parse_tuning("B2 F#3 B3") == (47, 54, 59)
    assert parse_pitch("Cb4") == 59
    assert parse_pitch("B#3") == 60


def test_a_bass_instrument_reads_bare_letters_an_octave_lower() -> None:
    assert parse_tuning("D-A-d", bass=38) == (38, 45, 50)
    assert parse_tuning("D3 A3 D4", bass=38) == (50, 57, 62)
    assert instrument("bass", tuning="D-A-A").tuning == (38, 45, 45)


@given(st.integers(24, 84))
def test_a_pitch_name_reads_back(midi: int) -> None:
    assert parse_pitch(pitch_name(midi)) == midi
    assert pitch.Pitch(pitch_name(midi)).midi == midi  # music21


@given(st.lists(st.integers(24, 84), min_size=3, max_size=4), st.sampled_from([" ", "-", ", "]))
def test_pitches_with_octaves_mean_what_they_say(pitches: list[int], between: str) -> None:
    assert parse_tuning(between.join(map(pitch_name, pitches))) == tuple(pitches)


@given(st.lists(st.sampled_from("ABCDEFG"), min_size=3, max_size=4))
def test_bare_letters_stay_near_where_the_course_is_made_for(letters: list[str]) -> None:
    for home, read in zip((50, 57, 62, 62), parse_tuning("-".join(letters)), strict=False):
        assert -8 <= read - home <= 3


@given(st.text(alphabet="ABCDEFGabg#b♭-– ,3409x", max_size=14))
def test_any_text_is_a_tuning_or_one_sentence(text: str) -> None:
    def outcome() -> tuple[int, ...] | str:
        try:
            return parse_tuning(text)
        except FretboardError as error:
            return str(error)

    found = outcome()
    if isinstance(found, str):
        assert len(found.splitlines()) == 1
    else:
        assert len(found) in (3, 4)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "has 0 pitches; write three or four"),
        ("D3", "has 1 pitch; write three or four"),
        ("D-A", "has 2 pitches"),
        ("D A D D D", "has 5 pitches"),
        ("D-A-H", "'H' is no pitch"),
        ("D3 A3 D#b4", "'D#b4' is no pitch"),
        ("D-A-dd", "'dd' is no pitch"),
        ("EbBbEb", "has 1 pitch"),
        ("D3 A3 D9", "'D9' lies outside C1 to C6"),
        ("D-1 A3 D4", "'D-1' lies outside C1 to C6"),
    ],
)
def test_what_is_no_tuning_is_said_so(typed: str, says: str) -> None:
    with pytest.raises(FretboardError) as caught:
        parse_tuning(typed)
    assert says in str(caught.value)


def test_a_pitch_alone_wants_its_octave() -> None:
    with pytest.raises(FretboardError, match="write a note and octave such as D3"):
        parse_pitch("D")


@pytest.mark.parametrize("info", tunings(), ids=lambda info: info.name)
def test_each_tuning_gives_its_mode_from_its_fret(info: TuningInfo) -> None:
    # S: D-A-d Mixolydian from 0, D-A-A Ionian from 3, D-A-c Aeolian from 1, D-A-g Dorian from 4;
    # the others V
    strung = instrument("four-equidistant" if len(info.pitches) == 4 else "traditional")
    strung = strung.with_tuning(info.pitches)
    first = int(info.tonic_fret)
    ours = string_pitches(strung, *(str(first + step) for step in range(8)))
    assert ours == mode_pitches(ours[0], info.mode)
    # the meaning in the list says the same, where it names fret and mode
    if "from" in info.meaning:
        assert f"{info.mode.capitalize()} from fret {first}" in info.meaning


@pytest.mark.parametrize(
    ("name", "fret", "mode", "tonic"),
    [
        ("D-A-d", "0", "mixolydian", "D"),
        ("D-A-A", "3", "ionian", "D"),
        ("D-A-c", "1", "aeolian", "D"),
        ("D-A-g", "4", "dorian", "D"),
    ],
)
def test_the_four_modal_tunings_of_d(name: str, fret: str, mode: str, tonic: str) -> None:
    # S; the tonic is computed: all four are tunings of D
    info = next(info for info in tunings() if info.name == name)
    assert (info.tonic_fret, info.mode, info.word) == (fret, mode, mode)
    assert pitch_name(info.pitches[-1] + fret_semitones(fret)).startswith(tonic)


def test_six_plus_turns_mixolydian_into_ionian() -> None:
    # S: D3 A3 D4 is Ionian with 6+
    ours = string_pitches(instrument(), "0", "1", "2", "3", "4", "5", "6+", "7")
    assert ours == mode_pitches(62, "ionian")


def test_each_fret_begins_a_mode_of_its_own() -> None:
    # V: the seven modes, from open string to fret 6
    order = ["mixolydian", "aeolian", "locrian", "ionian", "dorian", "phrygian", "lydian"]
    for first, mode in enumerate(order):
        ours = string_pitches(instrument(), *(str(first + step) for step in range(8)))
        assert ours == mode_pitches(ours[0], mode), mode


def test_every_tuning_of_the_list_reads_as_players_write_it() -> None:
    made_for = {"D2-A2-D3": "bass", "D-A-d-d": "four-equidistant"}
    infos = tunings()
    assert len({info.name for info in infos}) == len(infos) == 11
    for info in infos:
        assert instrument(made_for.get(info.name, "standard"), tuning=info.name).tuning == (
            info.pitches
        )
        assert info.meaning
