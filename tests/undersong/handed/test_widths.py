"""Bars whose rows are not equally wide: told with bar and row, and read as they are meant."""

import json
import re

import pytest
from jsonschema import Draft202012Validator

from fretboard.presets import instrument
from tests.undersong.arranged import chart
from tests.undersong.handed.test_judging import GOOD, PAGE_GOOD, changed
from undersong import check_tab
from undersong.handed.checking import Checked
from undersong.handed.document import report_json, report_schema
from undersong.handed.reading import TabOrder, read_tab
from undersong.handed.tab import Tab
from undersong.handed.words import report

FOUR = chart("key: D\nmetre: 4/4\n| D | G | A7 | D |")
SHORT, LONG = "is a column shorter than the others; ", "is a column longer than the others; "
BEFORE = "its numbers are counted from the bar line before them"
AFTER = "its numbers are counted from the bar line after them"
BOTH = (
    "its first numbers are counted from the bar line before them, and the others from the one "
    "after them"
)
BETWEEN = "dashes are taken to be missing before its numbers as well as after them"
AROUND = "dashes are taken to be too many before its numbers as well as after them"
ONE = "each of its numbers is taken as one column wide"


def check(text: str) -> Checked:
    return check_tab(text, FOUR)


def frets(tab: Tab) -> list[list[tuple[int, ...]]]:
    """(string, fret) of what is struck together, column by column, bar by bar."""
    return [
        [
            tuple(sign.fret for sign in column.strings if sign is not None)
            for column in bar.struck
        ]
        for bar in tab.bars
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "bar", "words"),
    [
        ("|---1---1-", "|---1---1", 2, f"row A {SHORT}{BEFORE}"),
        ("|---1---1-", "|--1---1-", 2, f"row A {SHORT}{AFTER}"),
        ("|---1---1-", "|---1--1-", 2, f"row A {SHORT}{BOTH}"),
        ("|---1---1-", "|---1---1--", 2, f"row A {LONG}{BEFORE}"),
        ("|---1---1-", "|----1---1-", 2, f"row A {LONG}{AFTER}"),
        ("|---3---3-", "|--3---3-", 3, f"row d {SHORT}{AFTER}"),
        ("D  |-0---4---", "D  |-0---4--", 1, f"row D {SHORT}{BEFORE}"),
        ("D  |-0---4---", "D  |0---4---", 1, f"row D {SHORT}{AFTER}"),
    ],
)
def test_a_dash_too_few_or_too_many(old: str, new: str, bar: int, words: str) -> None:
    found = check(changed(old, new))
    assert [(f.where, f.kind, f.fault, f.words) for f in found.findings] == [
        (f"bar {bar}", "width", False, words)
    ]
    assert frets(found.tab) == frets(check(GOOD).tab)
    assert found.sound
    assert f"Bar {bar}\n  remark   {words[:20]}" in report(found)


def test_a_number_of_two_signs_without_room_made_for_it() -> None:
    """6+ for a one-column 1: what follows is moved by one, and is meant where it was."""
    found = check(changed("|---1---1-|", "|---6+---1-|"))
    assert f"row A {LONG}{ONE}" in [f.words for f in found.remarks]
    assert [f.where for f in found.faults] == ["bar 2, beat 2"]
    assert [len(columns) for columns in frets(found.tab)] == [4, 4, 4, 4]


def test_the_line_is_that_of_the_row_and_rows_without_names_are_called_by_their_string() -> None:
    text = "\n".join(row[3:] for row in changed("|---1---1-", "|---1---1").strip().split("\n"))
    found = check(text)
    (remark,) = found.remarks
    assert (remark.line, remark.column) == (2, 12)
    assert remark.words == f"the row of the middle string {SHORT}{BEFORE}"
    made = json.loads(report_json(found))
    Draft202012Validator(report_schema()).validate(made)


@pytest.mark.parametrize("row", ["|-0-------4------|", "|0-------4-------|", "|-0------4-------|"])
def test_a_page_stays_under_its_beats(row: str) -> None:
    """The top row is the odd one, and the beats are those of the others."""
    found = check(PAGE_GOOD.replace("|-0-------4-------|", row, 1))
    assert [f.kind for f in found.findings] == ["width"]
    assert frets(found.tab) == frets(check(PAGE_GOOD).tab)
    assert found.sound


@pytest.mark.parametrize(
    "text",
    [
        GOOD,
        GOOD.replace("D  |-0---4---", "D  |:-0---4---").replace("-0---0---|\nA", "-0---0---:|\nA"),
        GOOD.replace("---0---0-|\nd", "---0---0\nd").replace("---2---2-|\n", "---2---2\n"),
        GOOD.replace("-|-", "|-"),
    ],
)
def test_signs_of_repeat_and_open_ends_are_no_difference(text: str) -> None:
    found = check(text)
    assert found.findings == ()
    assert found.sound


@pytest.mark.parametrize(
    ("new", "words"),
    [
        ("--1---1", f"row A is 2 columns shorter than the others; {BETWEEN}"),
        ("----1---1--", f"row A is 2 columns longer than the others; {AROUND}"),
    ],
)
def test_dashes_too_few_or_too_many_on_both_sides(new: str, words: str) -> None:
    """Counted from neither bar line do the strums stand between the bass notes' columns."""
    found = check(changed("|---1---1-", f"|{new}"))
    assert [f.words for f in found.findings] == [words]
    assert frets(found.tab) == frets(check(GOOD).tab)
    assert found.sound


def test_two_rows_may_be_odd() -> None:
    text = changed("D  |-0---4---", "D  |-0---4--").replace("|---0---0-|---1", "|---0---0--|---1")
    assert [f.words for f in check(text).remarks] == [
        f"row D {SHORT}{BEFORE}",
        f"row A {LONG}{BEFORE}",
    ]


def test_no_number_is_put_on_another_of_its_row() -> None:
    """Counted from the bar line after it, the number behind the last strum would stand on that."""
    bars = "|-3-------0---|", "|-1-------2---|", "|-5---3---4-1-2-|"
    tab = read_tab("\n".join(bars), instrument(), TabOrder())
    texts = [sign.text for one in tab.bars[0].columns for sign in one.strings if sign is not None]
    assert sorted(texts) == sorted(re.findall(r"\d", "".join(bars)))
