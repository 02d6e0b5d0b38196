"""Lines of numbers with few dashes and no bar lines, and shapes that follow their chord's name, as
they come in letters; worked by hand."""

import pytest

from fretboard.presets import instrument
from tests.undersong.arranged import chart
from undersong import check_tab
from undersong.handed.reading import TabOrder, read_tab
from undersong.handed.tab import LINES, SHAPES, Tab, TabError

SHORT = "D   6-----   3-----\nA   --4-4-   --1-1-\nd   --3-3-   --0-0-"
PAIRS = "D 0-0-2\nG 3-1-0\nA7 4-2-3\nD 0-0-2"
LANE = chart("key: D\nmetre: 4/4\n| D | G | A7 | D |")


def read(text: str) -> Tab:
    return read_tab(text, instrument(), TabOrder(), "ida.txt")


def frets(tab: Tab) -> list[tuple[int | None, ...]]:
    columns = [column for bar in tab.bars for column in bar.struck]
    return [tuple(None if s is None else s.fret for s in one.strings) for one in columns]


# rows


def test_rows_that_begin_with_dashes_are_one_bar() -> None:
    """Frets 6 4 3 and 3 1 0 are 10 7 5 and 5 2 0 semitones."""
    tab = read(SHORT)
    assert tab.form == LINES
    assert len(tab.bars) == 1
    strum, other = (None, 7, 5), (None, 2, 0)
    assert frets(tab) == [(10, None, None), strum, strum, (5, None, None), other, other]


@pytest.mark.parametrize(
    "text",
    [
        "D -0-4-\nA -0-0-\nd -2-2-",
        "0-4--\n0-0--\n2-2--",
        "--0-4\n--0-0\n--2-2",
        "Hello, -5 out here!\n\n-0-4-\n-0-0-\n-2-2-\n\n-2-\n\nyours, Ida\n--\nHarrow Lane",
    ],
)
def test_short_rows_of_every_make(text: str) -> None:
    assert frets(read(text)) == [(0, 0, 4), (7, 0, 4)]


def test_what_stands_by_longer_rows_is_no_row_where_there_are_too_many() -> None:
    rows = "|-0-4-|\n|-0---|\n|-2---|"
    assert frets(read(f"{rows}\n-2-\n")) == frets(read(rows))


def test_two_long_rows_are_still_refused() -> None:
    with pytest.raises(TabError, match="2 lines of numbers stand together here"):
        read("|-0-4-|\n|-0---|\n\nand\n\n|-0-|\n|-0-|\n|-2-|")


# pairs


def test_a_chord_name_and_its_shape_a_line() -> None:
    tab = read(PAIRS)
    assert tab.form == SHAPES
    assert not tab.barred
    assert [column.chord for column in tab.bars[0].columns] == ["D", "G", "A7", "D"]
    assert frets(tab) == frets(read("D G A7 D\n0-0-2 3-1-0 4-2-3 0-0-2"))
    assert check_tab(PAIRS, LANE).findings == ()


@pytest.mark.parametrize(
    "text",
    [
        "D 0-0-2 G 3-1-0\nA7 4-2-3 D 0-0-2",
        "D: 0-0-2, G: 3-1-0\nA7: 4-2-3\nD (0-0-2)",
        "> D   0-0-2\n> G   3-1-0\n> A7  4-2-3\n> D   0-0-2\n>\n> A 1-8, then B. Mavis",
        "D 0-0-2\n\nG 3-1-0\n\nA7 4-2-3\n\nD 0-0-2\n",
    ],
)
def test_pairs_of_every_make(text: str) -> None:
    tab = read(text)
    assert [column.chord for bar in tab.bars for column in bar.columns] == ["D", "G", "A7", "D"]
    assert frets(tab) == frets(read(PAIRS))


def test_pairs_between_bar_lines() -> None:
    tab = read("| D 0-0-2 | G 3-1-0 A7 4-2-3 | D 0-0-2 |")
    assert [[column.chord for column in bar.columns] for bar in tab.bars] == [
        ["D"], ["G", "A7"], ["D"],
    ]  # fmt: skip


def test_a_wrong_shape_of_a_pair_is_told_with_its_place() -> None:
    (fault,) = check_tab(PAIRS.replace("4-2-3", "4-1-3"), LANE).faults
    assert (fault.where, fault.line, fault.column) == ("bar 3, beat 1", 3, 4)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("3-1-0", "3-1-q", "ida.txt, line 2, column 3: 3-1-q is no shape"),
        ("3-1-0", "3-1", "ida.txt, line 2, column 3: 3-1 names 2 strings, and the instrument has"),
    ],
)
def test_a_spoilt_pair_is_refused(old: str, new: str, says: str) -> None:
    with pytest.raises(TabError) as error:
        read(PAIRS.replace(old, new))
    assert str(error.value).startswith(says)


def test_what_is_typed_for_other_signs_is_read_in_them_too() -> None:
    """The letter o, and a half in three signs."""
    assert frets(read(SHORT.replace("0", "o"))) == frets(read(SHORT))
    tab = read(PAIRS.replace("0-0-2", "o-o-2").replace("4-2-3", "4-2-6 1/2"))
    assert frets(tab) == frets(read(PAIRS.replace("4-2-3", "4-2-6+")))


def test_rows_called_by_their_strings_are_no_pairs() -> None:
    with pytest.raises(TabError, match="no tab stands here"):
        read("D 0-4-0\nA 0-0-0\nd 2-2-2")


def test_a_heading_such_as_a_1_8_is_no_shape() -> None:
    rows = "|-0-4-|\n|-0---|\n|-2---|"
    assert frets(read(f"A 1-8\n\n{rows}")) == frets(read(rows))
