"""Chord names and shapes that are not as many as each other; worked by hand."""

import pytest

from tests.undersong.arranged import chart
from undersong import check_tab
from undersong.handed.checking import Checked
from undersong.handed.words import report

FOUR = chart("key: D\nmetre: 4/4\n| D | G | A7 | D |")


def check(names: str, shapes: str = "0-0-2 3-1-0 4-2-3 0-0-2") -> Checked:
    return check_tab(f"{names}\n{shapes}", FOUR)


def by_shape(found: Checked) -> list[str]:
    return [column.chord for bar in found.tab.bars for column in bar.columns]


def test_a_name_too_many_is_told() -> None:
    found = check("D G A7 D Em")
    assert by_shape(found) == ["D", "G", "A7", "D"]
    assert found.warnings == (
        "line 1 has 5 chord names for 4 shapes; they are taken in order, and Em in column 10 is "
        "left out; write one name for each shape",
    )
    assert "warning  line 1 has 5 chord names for 4 shapes" in report(found)


def test_the_name_over_no_shape_is_the_one_left_out() -> None:
    found = check("D     G     Em    A7    D", "0-0-2 3-1-0       4-2-3 0-0-2")
    assert by_shape(found) == ["D", "G", "A7", "D"]
    assert "taken by their columns, and Em in column 13 is left out" in found.warnings[0]
    assert found.findings == ()


def test_a_name_too_few_is_told() -> None:
    found = check("D     G           D")
    assert by_shape(found) == ["D", "G", "", "D"]
    assert found.warnings == (
        "line 1 has 3 chord names for 4 shapes; they are taken by their columns, and 4-2-3 in "
        "column 13 of line 2 has no name; write one for each shape",
    )


def test_names_belong_to_the_shapes_of_their_bar() -> None:
    """A chord that lasts needs no second name; a second name over one shape is too many."""
    shapes = "| 0-0-2 | 3-1-0 | 4-2-3 | 0-0-2 |"
    found = check("| D | G | | D |", shapes)
    assert (by_shape(found), found.warnings) == (["D", "G", "", "D"], ())
    found = check("| D | G Em | A7 | D |", shapes)
    assert by_shape(found) == ["D", "G", "A7", "D"]
    assert found.findings == ()
    assert "line 1 has 2 chord names for 1 shape in its bar 2" in found.warnings[0]
    assert "Em in column 9 is left out" in found.warnings[0]


@pytest.mark.parametrize(
    "text",
    [
        "0-0-2 3-1-0\nD G\n4-2-3 0-0-2\nA7 D",
        "D G\n0-0-2 3-1-0\nA7 D\n4-2-3 0-0-2",
        "0-0-2 3-1-0\nD G\n\n4-2-3 0-0-2\nA7 D",
    ],
)
def test_names_stand_on_the_same_side_of_every_line(text: str) -> None:
    found = check_tab(text, FOUR)
    assert by_shape(found) == ["D", "G", "A7", "D"]
    assert (found.findings, found.warnings) == ((), ())
