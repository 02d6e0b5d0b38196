"""Lyrics: the examples and rules of the ABC standard 2.1, §5."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tune.abc_tune import read
from tune.tune import Tune


def sung(tune: Tune, verse: int = 0) -> list[str]:
    """The verse under the notes that can be sung, ``.`` where it has nothing."""
    return [
        n.lyrics[verse] if len(n.lyrics) > verse and n.lyrics[verse] else "."
        for bar in tune.bars
        for n in bar.notes
        if n.midi is not None and not n.grace
    ]


@pytest.mark.parametrize(
    ("line", "under"),
    [
        ("syll-a-ble", ["syll-", "a-", "ble", "."]),
        ("syll-a--ble", ["syll-", "a-", ".", "ble"]),
        ("syll-a -ble", ["syll-", "a-", ".", "ble"]),
        ("time__ flies", ["time", ".", ".", "flies"]),
        ("of~the~day gone", ["of the day", "gone", ".", "."]),
        (r"x\-ray it", ["x-ray", "it", ".", "."]),
        ("ban-_ner", ["ban-", ".", "ner", "."]),
        ("* two ** ", [".", "two", ".", "."]),
        ("1.~Three blind mice", ["1. Three", "blind", "mice", "."]),
        (r"M\'a-ire", ["Má-", "ire", ".", "."]),
        ("", [".", ".", ".", "."]),
    ],
)
def test_signs_in_a_line(line: str, under: list[str]) -> None:
    assert sung(read(f"C2 D2 E2 F2|\nw:{line}")) == under


def test_a_bar_line_goes_on_to_the_next_bar() -> None:
    music = "C2D2E2F2|G4A4|B8|"
    assert sung(read(f"{music}\nw: one | two | three")) == [
        "one",
        ".",
        ".",
        ".",
        "two",
        ".",
        "three",
    ]
    assert sung(read(f"{music}\nw: a b c d | e f | g")) == list("abcdefg")  # enough: ignored
    assert sung(read(f"{music}\nw: a | | g")) == ["a", ".", ".", ".", ".", ".", "g"]


def test_rests_and_grace_notes_get_none_and_tied_notes_one_each() -> None:
    assert sung(read("C2 z2 {g}D2-D2|\nw: a b c")) == ["a", "b", "c"]


def test_adjacent_lines_are_verses() -> None:
    tune = read("CDEF FEDC|\nw: these are the lyr-ics\nw: * se-cond\n+: verse\nGGGG GGGG|\nw: on")
    assert sung(tune)[:5] == ["these", "are", "the", "lyr-", "ics"]
    assert sung(tune, 1)[:5] == [".", "se-", "cond", "verse", "."]
    assert sung(tune)[8:10] == ["on", "."]
    assert sung(tune, 1)[8:] == ["."] * 8
    assert tune.bars[0].notes[0].lyrics == ("these",)
    assert tune.bars[0].notes[1].lyrics == ("are", "se-")


def test_a_line_reaches_back_to_the_line_before_it() -> None:
    """§5.1: both of the standard's two ways give the same; an empty line blanks its notes."""
    together = read("C2D2E2F2|\nG2A2B2c2|\nw: doh re mi fa sol la ti doh")
    apart = read("C2D2E2F2|\nw: doh re mi fa\nG2A2B2c2|\nw: sol la ti doh")
    assert sung(together) == sung(apart) == ["doh", "re", "mi", "fa", "sol", "la", "ti", "doh"]
    blanked = read("C2D2E2F2|\nw: doh re mi fa\nG2G2G2G2|\nw:\nF2E2F2C2|\nw: fa mi re doh")
    assert sung(blanked)[4:] == [".", ".", ".", ".", "fa", "mi", "re", "doh"]


def test_too_many_syllables_are_told_with_the_first_of_them_and_its_line() -> None:
    assert read("C8|\nw: one two three").notices == (
        "bar 1: 2 syllables too many in verse 1, which has no note left for 'two' (line 7)",
    )
    assert read("C8|\nw: one lan-tern").notices == (
        "bar 1: 2 syllables too many in verse 1, which has no note left for 'lan-' (line 7)",
    )
    assert read("C8|\nw: one two").notices == (
        "bar 1: 1 syllable too many in verse 1, which has no note left for 'two' (line 7)",
    )


@given(st.lists(st.text("abcdefgh", min_size=1, max_size=5), min_size=1, max_size=8))
def test_plain_words_fall_one_a_note(words: list[str]) -> None:
    music = "".join("A" for _ in words)
    assert sung(read(f"{music}|\nw: {' '.join(words)}")) == words
