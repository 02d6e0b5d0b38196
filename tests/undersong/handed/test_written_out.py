"""A page whose repeats are written out, with a line of it left out: read at its own times through.

Checked against our own pages, which say themselves which bars they have."""

import json
from functools import cache

import pytest
from jsonschema import Draft202012Validator

from tests.undersong.arranged import chart
from tests.undersong.handed.test_parts_and_time import tab, told
from undersong import Session, Style, check_tab, text_tab
from undersong.handed.checking import Checked, checked
from undersong.handed.document import report_json, report_schema

TWICE = chart("key: D\nmetre: 4/4\n|: D | G | A7 | D :| A7 | A7 | G | G |")


@cache
def page(tune: str, texture: str) -> tuple[Session, tuple[str, ...], tuple[int, ...]]:
    """The session, the page's paragraphs, and which of them are lines of music."""
    session = Session(tune, style=Style(texture=texture))
    blocks = tuple(text_tab(session.arrange()).split("\n\n"))
    music = tuple(
        number
        for number, block in enumerate(blocks)
        if any(line.endswith("|") for line in block.splitlines())
    )
    return session, blocks, music


def without(tune: str, texture: str, line: int) -> tuple[Checked, list[int]]:
    """The page read without that line of music, and the bar numbers that were printed over it."""
    session, blocks, music = page(tune, texture)
    at = music[line]
    rows = [row.split() for row in blocks[at].splitlines()]
    numbers = next(row for row in rows if all(word.isdigit() for word in row))
    text = "\n\n".join(blocks[:at] + blocks[at + 1 :])
    return checked(session, text), [int(word) for word in numbers]


@pytest.mark.parametrize("line", [0, 1, 3, 4, 6, 7])
@pytest.mark.parametrize(
    ("tune", "texture"),
    [
        ("harrow-lane", "song"),
        ("harrow-lane", "solo"),
        ("kettle-on-at-nine", "song"),
        ("kettle-on-at-nine", "solo"),
        ("three-odd-gloves", "song"),
        ("wet-boots-in-the-porch", "solo"),
    ],
)
def test_a_page_without_one_of_its_lines(tune: str, texture: str, line: int) -> None:
    found, numbers = without(tune, texture, line)
    assert len(page(tune, texture)[2]) == 8
    assert found.faults == ()
    assert found.changes == ()
    assert found.sound
    tunes = found.subject.tune
    printed = sorted(tunes.bars[tunes.played[bar - 1].written].number for bar in found.not_there)
    assert [number for number in printed if number] == numbers


def test_the_missing_times_are_told() -> None:
    found, _ = without("harrow-lane", "song", 7)
    page = told(found)
    assert "28 bars, and the tune 16 bars, 32 as played; they are taken for bars 1 to 16 as" in page
    assert "as they are played, and bars 13 to 16 (2nd time) are missing" in page
    assert "What is there is sound: it is a part of this tune" in page
    assert "Still missing: bars 13 to 16 (2nd time)." in page
    made = json.loads(report_json(found))
    Draft202012Validator(report_schema()).validate(made)
    assert made["missing_bars"] == []
    assert made["missing_times"] == [{"bar": bar, "time": 2} for bar in (13, 14, 15, 16)]


def test_a_wrong_note_stays_wrong() -> None:
    """The line that is left out does not hide a fault in what is there."""
    session, blocks, music = page("harrow-lane", "song")
    text = "\n\n".join(blocks[: music[7]]).replace("D4   |.....2-", "D4   |.....3-", 1)
    found = checked(session, text)
    assert found.times_missing == tuple(range(29, 33))
    assert {(one.kind, one.bar) for one in found.faults} == {("pitch", 0)}


def test_one_repeat_written_out_and_another_by_its_signs() -> None:
    """The solo page of this tune has its second part once, between signs of repeat."""
    for line in (0, 4, 7):
        found, numbers = without("three-odd-gloves", "solo", line)
        assert found.faults == ()
        assert found.missing == ()
        assert len(found.times_missing) == len(numbers) == 2


@pytest.mark.parametrize(
    ("chords", "missing", "times"),
    [
        ("D G A7 D D G A7 D A7 A7", (6, 7), ()),
        ("D G A7 D D G A7 A7 G G", (), (7, 8)),
        ("A7 D D G A7 D A7 A7 G G", (), (1, 2)),
        ("D G A7 D A7 A7 G G", (), ()),
        ("D G A7 D A7 A7", (6, 7), ()),
    ],
)
def test_bars_alone(chords: str, missing: tuple[int, ...], times: tuple[int, ...]) -> None:
    """Typed without numbers: only what the bars are says which they are."""
    found = check_tab(tab(chords), TWICE)
    assert found.missing == missing
    assert found.times_missing == times


def test_one_bar_too_many_is_a_slip() -> None:
    found = check_tab(tab("D G G A7 D"), chart("key: D\nmetre: 4/4\n|: D | G | A7 | D :|"))
    assert [fault.kind for fault in found.faults] == ["beyond"]


PLAYED = (
    "D 0-0-2|Bm 5-3-2|G 3-3-5|A7 4-2-3|D 0-3-2|Bm 5-3-2|G 3-3-5|Em 1-4-3|A7 4-2-3|D 0-0-2|"
    * 2
    + "G 3-1-0|D 0-0-2|Em 1-4-3|A7 4-2-3|D 0-0-2|G 3-1-0|D/F# 2-0-0|Em 1-4-3|Bm 5-3-2|G 3-3-5|"
    "A7 4-2-3|D 0-0-2|" * 2
).split("|")[:-1]
"""Harrow Lane's shapes as they are played, each time by itself."""


@pytest.mark.parametrize(
    ("left_out", "words"),
    [
        (slice(0, 0), ""),
        (slice(0, 3), "bars 1 to 3 (1st time) are"),
        (slice(7, 10), "bar 7 (1st time) is"),
        (slice(40, 44), "bars 15 and 16 (2nd time) are"),
    ],
)
def test_shapes_as_played_with_some_left_out(left_out: slice, words: str) -> None:
    """Without the three of bars 7 and 8 the next one, D as well, begins in bar 8 and goes on."""
    shapes = list(PLAYED)
    assert len(shapes) == 44
    del shapes[left_out]
    found = check_tab("\n".join(shapes) + "\n", "harrow-lane")
    assert found.sound
    assert found.missing == ()
    page = told(found)
    if words:
        assert f"as they are played, and {words} missing" in page
        assert f"Still missing: {words.rpartition(' ')[0]}." in page
    else:
        assert "missing" not in page
