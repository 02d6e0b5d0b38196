"""The letter o for 0, names of rows in words, and signs that are no tab's."""

import pytest

from fretboard.presets import instrument
from tests.undersong.arranged import chart
from undersong import check_tab
from undersong.handed.odd_signs import with_zeros
from undersong.handed.reading import TabOrder, read_tab
from undersong.handed.tab import Tab, TabError

STANDARD = instrument()
ZEROS = "|-0---4-|-3-----|\n|---0---|---1---|\n|---2---|---0---|"


def read(text: str) -> Tab:
    return read_tab(text, STANDARD, TabOrder(), "nan.txt")


def frets(tab: Tab) -> list[list[tuple[int | None, ...]]]:
    return [
        [tuple(None if s is None else s.fret for s in column.strings) for column in bar.struck]
        for bar in tab.bars
    ]


@pytest.mark.parametrize("letter", ["o", "O"])
def test_the_letter_o_is_read_as_0_and_told(letter: str) -> None:
    tab = read(ZEROS.replace("0", letter))
    assert frets(tab) == frets(read(ZEROS))
    assert tab.notices == (
        "in line 1, column 3, line 2, column 5 and line 3, column 13 a letter o stands for the "
        "number 0, and is read so; type 0",
    )
    assert read(ZEROS).notices == ()


def test_in_shapes_and_in_10_too() -> None:
    tab = read("D     G\no-0-2 3-1-O")
    assert frets(tab) == frets(read("D     G\n0-0-2 3-1-0"))
    assert "line 2, column 1 and line 2, column 11" in tab.notices[0]
    ten = read(ZEROS.replace("-4-", "1o-"))
    assert frets(ten) == frets(read(ZEROS.replace("-4-", "10-")))


def test_many_are_counted() -> None:
    words = read("|-o-o-o-o-o-|\n|-0-0-0-0-0-|\n|-2-2-2-2-2-|").notices[0]
    assert "line 1, column 7 and 2 other places a letter o stands" in words


@pytest.mark.parametrize(
    "line",
    ["O come, let us sing", "| O | the | lane |", "o-o-o", "ho ho ho", "Do - re - mi", "D o"],
)
def test_words_are_left_alone(line: str) -> None:
    assert with_zeros([line]) == ([line], ())


def test_the_report_tells_it() -> None:
    tune = chart("key: D\nmetre: 4/4\n| D | D |")
    found = check_tab("|-o---4-|-0-----|\n|---0---|---0---|\n|---2---|---2---|", tune)
    assert found.warnings == (
        "in line 1, column 3 the letter o stands for the number 0, and is read so; type 0",
    )
    assert found.sound


@pytest.mark.parametrize(
    "names",
    [
        ("melody", "middle", "bass"),
        ("mel", "mid", "bass"),
        ("Mel:", "Mid:", "Bass:"),
        ("melody string", "middle string", "bass string"),
        ("d string", "A string", "D string"),
        ("d", "A", "D"),
    ],
)
def test_names_say_that_the_melody_string_is_on_top(names: tuple[str, ...]) -> None:
    rows = ("|---2---|---0---|", "|---0---|---1---|", "|-0---4-|-3-----|")
    text = "\n".join(f"{name:<14}{row}" for name, row in zip(names, rows, strict=True))
    tab = read(text)
    assert tab.turned
    assert frets(tab) == frets(read(ZEROS))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "top |-0-|\nmiddle |-0-|\nlow |-2-|",
            "nan.txt, line 1, column 1: this row is called 'top', which says nothing of its "
            "string; rows are called bass, middle (mid) and melody (mel), or by their notes such",
        ),
        ("|-0-3-|\n|-0-q-|\n|-2-0-|", "nan.txt, line 2, column 5: 'q' is no sign of a tab; write"),
        ("|-0-3-|\n|-0-1-|", "nan.txt, line 1: 2 lines of numbers stand together here, and the"),
    ],
)
def test_what_is_not_read_is_named(text: str, told: str) -> None:
    with pytest.raises(TabError) as raised:
        read(text)
    assert str(raised.value).startswith(told)
