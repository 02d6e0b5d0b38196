"""Chord symbols in ABC: where they stand, and what is no chord (the standard 2.1, §4.18–4.19)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tune.abc_tune import abc, chords, read
from tune.chord import QUALITIES
from tune.errors import TuneError
from tune.readers.abc import read_abc


def test_a_chord_stands_at_the_note_it_precedes() -> None:
    tune = read('"D"A4 "G"B2"A7"c2|d8|"Bm"{e}f2 (3"Em"gab "A"a4|', key="D")
    assert [(bar, float(at), name) for bar, at, name in chords(tune)] == [
        (1, 0, "D"),
        (1, 2, "G"),
        (1, 3, "A7"),
        (3, 0, "Bm"),
        (3, 1, "Em"),
        (3, 2, "A"),
    ]


def test_charts_without_melody() -> None:
    tune = read('"D"z4 "G"z4 | "A7" x8 | "D" Z2 | "G"z2>"D"z2 "A"z4 |')
    assert [(bar, float(at), name) for bar, at, name in chords(tune)] == [
        (1, 0, "D"),
        (1, 2, "G"),
        (2, 0, "A7"),
        (3, 0, "D"),
        (5, 0, "G"),
        (5, 1.5, "D"),
        (5, 2, "A"),
    ]
    assert tune.notices == ()


def test_a_chord_before_a_bar_line_belongs_to_the_next_note() -> None:
    assert [(bar, name) for bar, _, name in chords(read('A8"D"|B8|'))] == [(2, "D")]


@pytest.mark.parametrize("text", ["N.C.", "NC", "n.c.", "N.C", "No Chord"])
def test_no_chord(text: str) -> None:
    assert [name for _, _, name in chords(read(f'"D"A4 "{text}"A4|'))] == ["D", "N.C."]


@pytest.mark.parametrize(
    ("written", "symbol"),
    [
        ("G", "G"),
        ("F#m7", "F#m7"),
        ("B♭", "Bb"),
        ("Am/e", "Am/E"),  # §4.18: the case of a bass note does not matter
        ("D/f#", "D/F#"),
        ("Gmin", "Gm"),
        ("C+", "Caug"),
        ("E7/G#", "E7/G#"),
        (" Dsus ", "Dsus4"),
        ("C(add9)", "Cadd9"),
    ],
)
def test_spellings(written: str, symbol: str) -> None:
    assert [name for _, _, name in chords(read(f'"{written}"A8|'))] == [symbol]


def test_an_alternative_in_brackets_is_left_out_and_told() -> None:
    """§4.18: ``"G(Em)"`` prints both and plays the first."""
    tune = read('"G(Em)"A8|')
    assert [name for _, _, name in chords(tune)] == ["G"]
    assert tune.notices == ("bar 1: the other chord in brackets, Em, is left out",)


@pytest.mark.parametrize("words", ["^slowly", "_C", "<G", ">D7", "@-5,10 Em", "^D"])
def test_annotations_are_no_chords(words: str) -> None:
    tune = read(f'"{words}"A8|')
    assert chords(tune) == []
    assert tune.notices == ("bar 1: words over or under the music are not kept",)


@pytest.mark.parametrize(
    ("written", "column", "words"),
    [
        ("D/f+", 5, "'D/F+'"),  # music21 makes a wrong chord of it (TRADE.md, Readers' traps)
        ("Gd", 3, "'Gd'"),  # these music21 drops in silence
        ("Ca", 3, "'Ca'"),
        ("D*", 3, "'D*'"),
        ("D or G", 3, "'D or G'"),
        ("f", 2, "'f'"),  # forte, which music21 reads as the chord F
        ("H7", 2, "'H7'"),
        ("(Em)", 2, "'(Em)'"),
        ("Segno", 2, "'Segno'"),
    ],
)
def test_a_bad_chord_is_an_error_with_its_place(written: str, column: int, words: str) -> None:
    text = abc(f'A8|B8|c4 "{written}"c4|')
    with pytest.raises(TuneError) as caught:
        read_abc(text, file="try.abc")
    place = caught.value.place
    assert (place.file, place.line, place.bar) == ("try.abc", 6, 3)
    assert place.column == len("A8|B8|c4 ") + column
    assert words in caught.value.message
    assert f'words that are no chord are written "^{written}"' in caught.value.message


_roots = st.sampled_from([letter + sign for letter in "ABCDEFG" for sign in ("", "#", "b")])


@given(_roots, st.sampled_from(sorted(QUALITIES)), st.none() | _roots)
def test_every_chord_of_the_grammar_comes_through(
    root: str, quality: str, bass: str | None
) -> None:
    symbol = f"{root}{quality}" + (f"/{bass}" if bass else "")
    assert [name for _, _, name in chords(read(f'"{symbol}"A8|'))] == [symbol]


def test_chords_in_a_symbol_line() -> None:
    """§4.15, its own example: chord, chord and accent under C, E and E."""
    tune = read('C2 C2 Ez A2|\ns: "C" * "Am" * |\ns: * * !>! * |')
    assert [(float(at), name) for _, at, name in chords(tune)] == [(0, "C"), (2, "Am")]
    assert tune.notices == ("bar 1: accent ignored",)


def test_a_symbol_line_skips_bars_and_may_hold_words() -> None:
    tune = read('CDEF GABc|c8|d8|\ns: "^up" | "G" | "D"')
    assert [(bar, name) for bar, _, name in chords(tune)] == [(2, "G"), (3, "D")]
