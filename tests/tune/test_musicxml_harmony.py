"""Chord symbols of MusicXML: kinds, degrees, basses and places; music21 as the outside check."""

import music21
import pytest

from tests.tune.musicxml_score import chord, measure, note, score, tune_of, valid
from tune.chord import Chord
from tune.errors import TuneError
from tune.readers.musicxml import read_musicxml
from tune.readers.musicxml.harmony import CHORD_KINDS
from tune.time import QUARTER


def degree(manner: str, value: int, alter: int = 0) -> str:
    return (
        f"<degree><degree-value>{value}</degree-value><degree-alter>{alter}</degree-alter>"
        f"<degree-type>{manner}</degree-type></degree>"
    )


def bass(step: str, alter: int = 0) -> str:
    sign = f"<bass-alter>{alter}</bass-alter>" if alter else ""
    return f"<bass><bass-step>{step}</bass-step>{sign}</bass>"


def read(harmony: str) -> Chord | None:
    return tune_of(measure(harmony + note("D4", 48))).bars[0].chords[0].chord


KINDS = {
    "major": "", "minor": "m", "dominant": "7", "major-seventh": "maj7", "minor-seventh": "m7",
    "half-diminished": "m7b5", "diminished": "dim", "diminished-seventh": "dim7",
    "augmented": "aug", "major-sixth": "6", "minor-sixth": "m6", "dominant-ninth": "9",
    "suspended-second": "sus2", "suspended-fourth": "sus4", "power": "5",
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_is_its_quality(kind: str) -> None:
    assert read(chord("F#", kind)) == Chord("F#", KINDS[kind])


@pytest.mark.parametrize("kind", sorted(CHORD_KINDS))
def test_the_tones_of_every_kind_are_those_that_music21_gives_it(kind: str) -> None:
    document = valid(score(measure(chord("C", kind) + note("C4", 48))))
    parsed = music21.converter.parseData(document.decode(), format="musicxml")
    symbol = next(iter(parsed.recurse().getElementsByClass(music21.harmony.ChordSymbol)))
    assert {up % 12 for up in CHORD_KINDS[kind].values()} == {p.pitchClass for p in symbol.pitches}


@pytest.mark.parametrize(
    ("harmony", "symbol"),
    [
        (chord("G", "dominant", degree("subtract", 3) + degree("add", 4)), "G7sus4"),
        (chord("G", "suspended-fourth", degree("add", 7)), "G7sus4"),
        (chord("D", "major", degree("add", 9)), "Dadd9"),
        (chord("D", "major", degree("add", 2)), "Dadd9"),
        (chord("D", "dominant", degree("add", 9)), "D9"),
        (chord("B", "minor-seventh", degree("alter", 5, -1)), "Bm7b5"),
        (chord("A", "major", degree("subtract", 3)), "A5"),
        (chord("A", "major", degree("alter", 5, 1)), "Aaug"),
        (chord("A", "minor", degree("add", 6)), "Am6"),
        (chord("A", "dominant-13th", "".join(degree("subtract", n) for n in (9, 11, 13))), "A7"),
    ],
)
def test_degrees_are_added_altered_and_taken_away(harmony: str, symbol: str) -> None:
    # an added seventh is minor, any other added degree major or perfect: MusicXML 4.0, "degree"
    assert str(read(harmony)) == symbol


@pytest.mark.parametrize(
    ("text", "symbol"), [("7sus4", "E7sus4"), ("m7b5", "Em7b5"), ("Δ", "Emaj7"), ("ø", "Em7b5")]
)
def test_a_kind_without_a_word_is_read_by_its_printed_text(text: str, symbol: str) -> None:
    assert str(read(chord("E", "other", text=text))) == symbol


def test_the_kind_none_is_no_chord() -> None:
    tune = tune_of(measure(chord("C", "none") + note("D4", 48)))
    assert tune.bars[0].chords[0].chord is None
    assert not tune.has_chords


def test_words_that_say_no_chord_end_the_chord() -> None:
    words = "<direction><direction-type><words>N.C.</words></direction-type></direction>"
    tune = tune_of(measure(chord("D") + note("D4", 24) + words + note("E4", 24)))
    assert [(c.tick, str(c.chord)) for c in tune.bars[0].chords] == [
        (0, "D"),
        (2 * QUARTER, "None"),
    ]
    assert tune.notices == ()


@pytest.mark.parametrize(
    ("harmony", "symbol"),
    [
        (chord("D", "major", bass("F", 1)), "D/F#"),
        (chord("G", "dominant", bass("B")), "G7/B"),
        (chord("D", "major", bass("D")), "D"),
        (chord("C", "major", bass("B", -1)), "C/Bb"),
    ],
)
def test_a_bass_note_follows_the_slash(harmony: str, symbol: str) -> None:
    assert str(read(harmony)) == symbol


@pytest.mark.parametrize(
    ("root", "kind", "turn", "symbol"),
    [
        ("D", "major", 0, "D"),
        ("D", "major", 1, "D/F#"),
        ("D", "major", 2, "D/A"),
        ("G", "dominant", 3, "G7/F"),
        ("Eb", "minor", 1, "Ebm/Gb"),
        ("G#", "major", 1, "G#/B#"),
    ],
)
def test_an_inversion_names_its_bass(root: str, kind: str, turn: int, symbol: str) -> None:
    # thirds and fifths of these triads: any theory primer
    assert str(read(chord(root, kind, f"<inversion>{turn}</inversion>"))) == symbol


@pytest.mark.parametrize(
    ("step", "alter", "symbol"), [("B", -2, "A"), ("F", 2, "G"), ("C", -1, "Cb"), ("E", 1, "E#")]
)
def test_a_root_with_two_signs_gets_the_plain_name_of_its_sound(
    step: str, alter: int, symbol: str
) -> None:
    harmony = (
        f"<harmony><root><root-step>{step}</root-step><root-alter>{alter}</root-alter></root>"
        "<kind>major</kind></harmony>"
    )
    assert str(read(harmony)) == symbol


def test_chords_stand_where_the_notes_have_got_to_and_offsets_move_them() -> None:
    offset = "<offset>12</offset>"
    tune = tune_of(
        measure(
            chord("D") + chord("G", "major", offset) + note("D4", 24)
            + chord("A", "dominant") + note("E4", 24)
        )
    )  # fmt: skip
    assert [(c.tick // QUARTER, str(c.chord)) for c in tune.bars[0].chords] == [
        (0, "D"),
        (1, "G"),
        (2, "A7"),
    ]


def test_an_offset_may_point_back() -> None:
    back = "<offset>-12</offset>"
    tune = tune_of(measure(note("D4", 24) + chord("G", "major", back) + note("E4", 24)))
    assert tune.bars[0].chords[0].tick == QUARTER


def test_one_chord_written_twice_at_one_place_is_one_chord() -> None:
    assert len(tune_of(measure(chord("D") * 2 + note("D4", 48))).bars[0].chords) == 1


def test_chords_of_a_bar_without_notes_hold_for_a_full_bar() -> None:
    skip = "<forward><duration>24</duration></forward>"
    tune = tune_of(measure(chord("D") + skip + chord("G") + skip))
    assert [c.tick for c in tune.bars[0].chords] == [0, 2 * QUARTER]
    assert tune.bars[0].length == 4 * QUARTER


def test_a_print_that_says_another_chord_than_the_kind_is_told() -> None:
    tune = tune_of(measure(chord("G", "suspended-fourth", text="7sus4") + note("D4", 48)))
    assert str(tune.bars[0].chords[0].chord) == "Gsus4"
    assert tune.notices == ("bar 1: a chord printed G7sus4 sounds Gsus4; read as it sounds",)


def test_an_alternative_chord_is_passed_over_and_told() -> None:
    other = chord("F").replace("<harmony>", '<harmony type="alternate">')
    tune = tune_of(measure(chord("D") + other + note("D4", 48)))
    assert [str(c.chord) for c in tune.bars[0].chords] == ["D"]
    assert tune.notices == ("bar 1: an alternative chord ignored",)


QUALITIES_TOLD = (
    "after the root write nothing for major, or one of m, 5, 6, m6, 7, maj7, m7, m7b5, dim, dim7, "
    "aug, sus2, sus4, 7sus4, add9, 9"
)


@pytest.mark.parametrize(
    ("harmony", "sentence"),
    [
        (
            chord("G", "dominant-13th", text="13"),
            "bar 1: the chord on G (dominant-13th, printed '13') is none that this program knows; "
            + QUALITIES_TOLD,
        ),
        (
            chord("G", "Tristan"),
            f"bar 1: the chord on G (Tristan) is none that this program knows; {QUALITIES_TOLD}",
        ),
        (
            chord("C", "dominant", degree("alter", 9, 1)),
            "bar 1: the chord on C (dominant, alter 9 1) is none that this program knows; "
            + QUALITIES_TOLD,
        ),
        (
            chord("C", "major", degree("add", 8)),
            "bar 1: a chord has no degree 8; write 1 to 7, 9, 11 or 13",
        ),
        (
            "<harmony><function>V</function><kind>major</kind></harmony>",
            "bar 1: a chord is named by its function or number alone; give it a root, A to G",
        ),
        (
            chord("C", "major", "<root><root-step>D</root-step></root><kind>major</kind>"),
            "bar 1: a chord stands on top of another; write one chord for each beat",
        ),
        (
            chord("C", "major", "<inversion>3</inversion>"),
            "bar 1: the chord C has no inversion 3",
        ),
        (
            chord("D") + chord("G"),
            "bar 1: two chords stand on one beat, D and G; leave one",
        ),
        (
            chord("D", "major", "<offset>60</offset>"),
            "bar 1: the chord D stands outside the bar; move it onto a beat",
        ),
        (
            chord("D", "major", "<offset>-1</offset>"),
            "bar 1: the chord D stands outside the bar; move it onto a beat",
        ),
    ],
)
def test_other_chords_are_refused_with_their_bar_and_their_words(
    harmony: str, sentence: str
) -> None:
    document = valid(score(measure(harmony + note("D4", 48))))
    with pytest.raises(TuneError) as caught:
        read_musicxml(document)
    assert str(caught.value) == sentence
