"""In a drone the chords are named that the page prints, not the open fifth that is held; what is
printed where is worked out by hand from the tune below."""

import csv
import io

import pytest

from solver.conditions.few_shapes import learned
from solver.result import Arrangement
from solver.style import Style
from tests.undersong.arranged import chart, found
from tune.readers.abc import read_abc
from undersong.desk.views.reading import reading_view
from undersong.sheet.document import from_json, to_json
from undersong.sheet.printed_chords import printed_chords
from undersong.sheet.table import to_csv
from undersong.sheet.used import used_shapes
from undersong.why import explain_bar
from undersong.why.text import explanation_text

TUNE = """X:1
T:Gate Left Open
M:4/4
L:1/4
Q:1/4=96
K:D
A|:"D"d f a f|"G"b2- "A7"b2|a g f e|"N.C."d4:|
"""
PRINTED = ["", *("D " * 4).split(), "G", *("A7 " * 4).split(), ""]
"""By moment: the pickup, four notes, a tied note (A7 begins within it), four notes, silence; the
second time through the same but for the pickup."""


def drone(text: str = TUNE) -> Arrangement:
    return found(read_abc(text), Style(texture="drone", manner="held"))


@pytest.fixture(scope="module")
def made() -> Arrangement:
    return drone()


def names(made: Arrangement) -> list[str]:
    return [
        "/".join("-" if chord is None else chord.symbol for chord in chords)
        for chords in printed_chords(made)
    ]


def test_each_moment_has_what_is_printed_over_it(made: Arrangement) -> None:
    once = [*["D"] * 4, "G/A7", *["A7"] * 4, "-"]
    assert names(made) == ["-", *once, *once]
    assert {str(moment.chord) for moment in made.moments} == {"D5"}, "what the strings are held to"


def test_the_table_names_it_and_the_document_is_still_read_back(made: Arrangement) -> None:
    rows = list(csv.DictReader(io.StringIO(to_csv(made), newline="")))
    assert [row["chord"] for row in rows] == [*PRINTED, *PRINTED[1:]]
    assert from_json(to_json(made)) == made


def test_shapes_are_labelled_with_it(made: Arrangement) -> None:
    labels = {chord.symbol for used in used_shapes(made) for chord in used.chords}
    assert labels == {"D", "G", "A7"}
    for used in used_shapes(made):
        over = [
            chord.symbol
            for choice, chords in zip(made.choices, printed_chords(made), strict=True)
            for chord in chords
            if chord is not None and learned(choice.grip) == used.shape
        ]
        assert list(dict.fromkeys(over)) == [chord.symbol for chord in used.chords]


@pytest.mark.parametrize(
    ("bar", "head"), [(0, "N.C."), (1, "D"), (2, "G A7"), (3, "A7"), (4, "N.C.")]
)
def test_a_bar_is_headed_with_it(made: Arrangement, bar: int, head: str) -> None:
    first = explanation_text(explain_bar(made, bar), 200).splitlines()[0]
    assert f": {head}; " in first


def test_it_is_read_out(made: Arrangement) -> None:
    said = " ".join(row["words"] for row in reading_view(made))
    assert "Chord G. Chord A7. Beat 1" in said
    assert "D5" not in said


def test_a_tune_without_chords_has_none_named() -> None:
    bare = drone(
        TUNE.replace('"D"', "").replace('"G"', "").replace('"A7"', "").replace('"N.C."', "")
    )
    assert set(names(bare)) == {""}
    assert not any(used.chords for used in used_shapes(bare))
    first = explanation_text(explain_bar(bare, 2), 200).splitlines()[0]
    assert first.partition(": ")[2][0].isdigit()


def test_elsewhere_it_is_the_chord_that_is_played() -> None:
    song = found(chart("key: D\nmetre: 4/4\n| D | G A7 | D |"))
    assert printed_chords(song) == tuple((moment.chord,) for moment in song.moments)
