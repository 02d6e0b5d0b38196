"""Lists of shapes as people type them, and lines with a shape and something else: read, refused or
told, and never passed over in silence. Worked by hand."""

import re

import pytest

from fretboard.presets import instrument
from tests.undersong.arranged import chart
from undersong import check_tab
from undersong.handed.reading import TabOrder, read_tab
from undersong.handed.tab import Tab, TabError

FOUR = chart("key: D\nmetre: 4/4\n| D | Bm | G | A7 |")
PLAIN = "D 0-0-2\nBm 5-3-0\nG 3-1-0\nA7 4-2-3"


def read(text: str) -> Tab:
    return read_tab(text, instrument(), TabOrder(), "list.txt")


def shapes(tab: Tab) -> list[tuple[str, str]]:
    """(chord, shape) as typed."""
    return [
        (column.chord, "-".join(sign.text for sign in column.strings if sign))
        for bar in tab.bars
        for column in bar.columns
    ]


def told(text: str) -> str:
    with pytest.raises(TabError) as caught:
        read(text)
    return str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        PLAIN,
        PLAIN.replace("G 3", "G = 3"),
        PLAIN.replace(" ", " = "),
        PLAIN.replace(" ", "="),
        PLAIN.replace(" ", ": "),
        PLAIN.replace(" ", " : "),
        PLAIN.replace(" ", ":"),
        "1. D 0-0-2\n2. Bm 5-3-0\n3. G 3-1-0\n4. A7 4-2-3",
        "1) D 0-0-2\n2) Bm 5-3-0\n3) G = 3-1-0\n4) A7: 4-2-3",
        "1. D 0-0-2  2. Bm 5-3-0\n3. G 3-1-0  4. A7 4-2-3",
        "| D = 0-0-2 | Bm = 5-3-0 |\n| G = 3-1-0 | A7 = 4-2-3 |",
        "|: D 0-0-2 | Bm 5-3-0 | G 3-1-0 | A7 4-2-3 :|",
    ],
)
def test_a_list_of_shapes_is_read(text: str) -> None:
    assert shapes(read(text)) == shapes(read(PLAIN))
    assert len(shapes(read(PLAIN))) == 4
    found = check_tab(text, FOUR)
    assert (found.findings, found.warnings, found.missing) == ((), (), ())


@pytest.mark.parametrize(
    ("line", "column", "odd"),
    [
        ("G 3-1-0 x2", 9, "x2"),
        ("G -> 3-1-0", 3, "->"),
        ("G 3-1-0 twice", 9, "twice"),
        ("then G 3-1-0", 1, "then"),
        ("| G 3-1-0 (2x) |", 11, "(2x)"),
    ],
)
@pytest.mark.parametrize("at", [0, 2, 3])
def test_a_line_with_something_else_is_refused(line: str, column: int, odd: str, at: int) -> None:
    lines = PLAIN.split("\n")
    lines[at] = line
    words = told("\n".join(lines))
    assert words.startswith(f"list.txt, line {at + 1}, column {column}: {odd} stands by the shape")
    assert "3-1-0, and the line cannot be read; write a chord name and a shape" in words


def test_two_shapes_for_one_name_among_pairs_are_refused() -> None:
    words = told(PLAIN.replace("G 3-1-0", "G 3-1-0 3-1-0"))
    assert "line 3, column 3: the shape 3-1-0 stands in a line that cannot be read; " in words


def test_a_row_of_bars_with_something_else_is_refused() -> None:
    words = told("| D | Bm | G | A7 |\n| 0-0-2 | 5-3-0 | 3-1-0 x2 | 4-2-3 |")
    assert words.startswith("list.txt, line 2, column 25: x2 stands by the shape 3-1-0")


def test_a_list_of_which_no_line_is_read_names_the_first() -> None:
    assert "line 1, column 9: x2 stands by" in told("D 0-0-2 x2\nG 3-1-0 x2")


def test_numbers_before_bare_shapes_are_told() -> None:
    assert "line 1, column 4: the shape 0-0-2 stands in a line" in told("1. 0-0-2\n2. 3-1-0")


def test_rows_that_are_called_by_strings_are_no_list_of_shapes() -> None:
    assert "no tab stands here" in told("D 0-0-2\nA 5-3-0\nd 3-1-0")


def test_what_is_nearly_a_shape_is_not_left_out() -> None:
    assert "line 2, column 7: 3-?-0 is no shape" in told("0-0-2 5-3-0\n3-1-0 3-?-0\n4-2-3 0-0-2")
    assert "line 2, column 1: 3-?-0 is no shape" in told("0-0-2 5-3-0\n3-?-0\n4-2-3 0-0-2")


@pytest.mark.parametrize(
    "title", ["Part-2", "Spring concert, 27-11-2026", "Harrow Lane, 4-bar loop"]
)
def test_titles_and_dates_are_no_shapes(title: str) -> None:
    tab = read(f"{title}\n{PLAIN}")
    assert (shapes(tab), tab.notices) == (shapes(read(PLAIN)), ())


def test_words_apart_are_told() -> None:
    tab = read(f"Bass first, so 3-1-0 is G.\n\n{PLAIN}\n\nHave fun")
    assert shapes(tab) == shapes(read(PLAIN))
    assert len(tab.notices) == 1
    assert re.match(r"3-1-0 in line 1 is taken for words, and not read; ", tab.notices[0])


def test_lines_of_numbers_are_not_taken_for_shapes_with_words() -> None:
    """A row too many by itself is told as one, whatever the words above it hold."""
    tab = "|-0-|\n|-0-|\n|-2-|"
    assert "1 line of numbers stands alone" in told(f"Such as 3-1-0\n\n{tab}\n\n|-0-|")
    assert len(read(f"Such as 3-1-0\n\n{tab}").bars) == 1
