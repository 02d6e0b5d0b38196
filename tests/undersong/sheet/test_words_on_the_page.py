"""Words under the staff: each time has its own verse where times are written out, and a word that
is held over notes has a line after it. The tune is made up here."""

import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from solver.result import Arrangement
from solver.style import Style
from tests.undersong.arranged import bundled, found
from tests.undersong.sheet.drawn import boxes
from tune.readers.abc import read_abc
from undersong.sheet.engraved import engraved_pages, screen
from undersong.sheet.engraved.score import score_of
from undersong.sheet.engraved.staff import staff_bars
from undersong.sheet.musicxml import to_musicxml
from undersong.sheet.page_options import PageOptions

HEAD = "X:1\nT:Sluice Song\nM:3/4\nL:1/4\nQ:1/4=100\nK:D\n"
MUSIC = '|: "D"d2 f | "G"g3 | "A7"a2 e | "D"d3 :|\n'
FIRST = "w: The gate stood o-pen, love.\n"
SECOND = "w: My boots were full of mud.\n"


def sung(made: Arrangement) -> list[str]:
    pages = engraved_pages(made, PageOptions())
    words = [box.text for page in pages for box in boxes(page.svg) if box.kind == "word"]
    return [word for word in words if not word.isdigit()]


def song(words: str, music: str = MUSIC) -> Arrangement:
    return found(read_abc(HEAD + music + words))


def refingered(made: Arrangement) -> Arrangement:
    """Another finger in the last played bar but one, so that the times differ."""
    bar = len(made.tune.played) - 1
    choices = tuple(
        replace(
            c, grip=replace(c.grip, fingers=tuple(f if f < 0 else 4 - f for f in c.grip.fingers))
        )
        if m.bar == bar
        else c
        for m, c in zip(made.moments, made.choices, strict=True)
    )
    made = replace(made, choices=choices)
    assert score_of(made, PageOptions()).folding.written_out
    return made


def test_each_time_has_its_own_verse_where_the_times_are_written_out() -> None:
    made = refingered(song(FIRST + SECOND))
    assert " ".join(sung(made)) == "The gate stood o pen, love. My boots were full of mud."


@pytest.mark.parametrize(
    ("words", "each"),
    [(FIRST, 6), (FIRST + SECOND + FIRST, 18)],
    ids=["one verse, sung twice", "three verses for two times"],
)
def test_other_numbers_of_verses_stand_under_both_times(words: str, each: int) -> None:
    assert len(sung(refingered(song(words)))) == 2 * each


def test_verses_of_a_passage_that_folds_stand_together() -> None:
    part = found(read_abc(HEAD + MUSIC + FIRST + SECOND), Style("held"))
    folded = screen(part, width_mm=186, options=PageOptions())
    assert [place.played for place in folded.bars] == [(1, 5), (2, 6), (3, 7), (4, 8)]
    assert len([b for b in boxes(folded.svg) if b.kind == "word" and not b.text.isdigit()]) == 12


def test_an_ending_keeps_its_only_verse() -> None:
    music = '|: "D"d2 f | "G"g3 | "A7"a2 e |1 "D"d3 :|2 "D"d3 |]\n'
    words = FIRST.replace("love.", "love. mud.") + "w: My boots were full of * *\n"
    made = refingered(song(words, music))
    assert " ".join(sung(made)) == "The gate stood o pen, love. My boots were full of mud."


def in_the_file(made: Arrangement) -> list[tuple[str, str]]:
    """(line of words, syllable) of the file for other programs."""
    score = ET.fromstring(to_musicxml(made).split("\n", 2)[2])
    return [(one.get("number", ""), one.findtext("text", "")) for one in score.iter("lyric")]


def test_the_file_for_other_programs_has_each_verse_under_its_own_time() -> None:
    words = in_the_file(refingered(song(FIRST + SECOND)))
    assert " ".join(word for _, word in words) == (
        "The gate stood o pen, love. My boots were full of mud."
    )
    assert {number for number, _ in words} == {"1"}


def test_the_file_for_other_programs_keeps_verses_together_where_the_page_does() -> None:
    folded = found(read_abc(HEAD + MUSIC + FIRST + SECOND), Style("held"))
    assert len(in_the_file(folded)) == 12
    one = refingered(song(FIRST))
    assert len(in_the_file(one)) == 12
    assert [word for _, word in in_the_file(one)] == sung(one)


def held(words: str, music: str) -> list[tuple[str, bool]]:
    """Each syllable of the first verse, and whether a line goes on from it."""
    score = score_of(song(words, music), PageOptions())
    notes = [note for bar in staff_bars(score) for note in bar.notes]
    return [(note.words[0], 0 in note.held) for note in notes if note.words]


def test_a_word_is_held_over_notes_without_one_but_over_no_rest() -> None:
    music = '"D"d2 f | "G"g3- | "G"g2 e | "D"d z f |]\n'
    assert held("w: high_ tide _ now ho hey\n", music) == [
        ("high", True),
        ("tide", True),
        ("now", False),
        ("ho", False),
        ("hey", False),
    ]
    assert held("w: a b c d e-lm * * f\n", music)[:2] == [("a", False), ("b", False)]
    rest = '"D"d2 f | "G"g2 z | "D"d3 |]\n'
    assert held("w: one two three * \n", rest) == [("one", False), ("two", False), ("three", False)]


def test_no_line_goes_on_through_a_refrain_that_has_one_verse() -> None:
    score = score_of(bundled("lantern-path"), PageOptions())
    assert not [note for bar in staff_bars(score) for note in bar.notes if note.held]


def test_the_line_is_drawn_after_the_word() -> None:
    """Two songs that differ in the line alone."""
    music = '"D"d2 f | "G"g2 e | "D"d3 |]\n'
    with_line = screen(
        song("w: one _ two three four\n", music), width_mm=186, options=PageOptions()
    )
    without = screen(song("w: one o two three four\n", music), width_mm=186, options=PageOptions())
    marks = [drawing.svg.count("<rect ") + drawing.svg.count("<polygon ")
             + drawing.svg.count("<path ") for drawing in (with_line, without)]  # fmt: skip
    assert marks[0] == marks[1] + 1
