"""Chord symbols that cannot be read: one sentence, and the column of the first bad character."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tune.chord import SPELLINGS, ChordError, parse_chord

BAD = [
    ("", 1),  # nothing at all
    ("H", 1),  # the German B natural
    ("d", 1),  # small letters are no roots
    ("am", 1),
    (" D", 1),  # the readers strip; the grammar does not
    ("#F", 1),
    ("♭B", 1),
    ("7", 1),
    ("N.C.", 1),  # told apart by the readers, before they ask for a chord
    ("/D", 1),
    ("D ", 2),
    ("Gd", 2),  # the next five are dropped, or read wrongly, by music21 (TRADE.md)
    ("Ca", 2),
    ("GMaj9", 5),
    ("D*", 2),
    ("D or G", 2),
    ("f", 1),
    ("D13", 2),
    ("D11", 2),
    ("Dx", 2),
    ("Dm11", 3),
    ("Dm9", 3),
    ("Dmaj9", 5),
    ("Dmaj13", 5),
    ("D7b9", 3),
    ("D7#5", 3),
    ("D69", 3),
    ("D6/9", 4),
    ("Dm7b9", 4),
    ("Dsus3", 5),
    ("Dadd", 2),  # no letter of it means anything alone
    ("Dadd4", 2),
    ("Dm(maj7)", 3),
    ("Daugmented", 5),
    ("F##", 3),
    ("Bbb", 3),
    ("F#b", 3),
    ("D/", 3),
    ("D/f#", 3),
    ("D/F##", 5),
    ("D/F#/A", 5),
    ("D/ F#", 3),
    ("D//F", 3),
    ("Dm7/H", 5),
    ("D♯m7♭9", 5),
    ("(D)", 1),
    ("Dminn", 5),
]


@pytest.mark.parametrize(("text", "column"), BAD)
def test_a_bad_symbol_names_its_column(text: str, column: int) -> None:
    with pytest.raises(ChordError) as caught:
        parse_chord(text)
    assert caught.value.column == column
    assert repr(text) in str(caught.value)
    assert "\n" not in str(caught.value)


def test_the_message_says_what_may_be_written() -> None:
    with pytest.raises(ChordError, match=r"m7b5.*7sus4.*add9"):
        parse_chord("D13")


def test_a_page_of_text_is_not_quoted_whole() -> None:
    with pytest.raises(ChordError) as caught:
        parse_chord("D" + "x" * 100_000)
    assert len(str(caught.value)) < 300
    assert caught.value.column == 2


ALPHABET = "ABCDEFGHabcdefgmMjinosudxø°ΔØº#b♯♭/-+−–0123456789() \t\n\0é*"


def column_of_error(text: str) -> int | None:
    """The column that parse_chord complains of, None for a symbol it reads."""
    try:
        chord = parse_chord(text)
    except ChordError as error:
        return error.column
    return None if parse_chord(chord.symbol) == chord else -1


@given(st.one_of(st.text(), st.text(ALPHABET, max_size=9)))
@example("C\n")
@example("C/E\n")
@example("\ud800")
@example("F#m7b5/Eb")
def test_any_text_is_a_chord_or_a_chord_error(text: str) -> None:
    column = column_of_error(text)
    assert column is None or 1 <= column <= len(text) + 1


@given(
    st.sampled_from(sorted(SPELLINGS)),
    st.text(ALPHABET, min_size=1, max_size=4),
)
def test_a_known_spelling_with_a_tail_is_known_or_wrong_in_the_tail(
    spelling: str, tail: str
) -> None:
    column = column_of_error(f"E{spelling}{tail}")
    assert column is None or len(f"E{spelling}") < column <= len(f"E{spelling}{tail}") + 1
