"""A bass part in several lines of one name, each by itself; the frets are read off by hand."""

import pytest

from fretboard.presets import instrument
from solver.righthand import right_hand
from solver.style import Style
from tests.undersong.arranged import chart
from undersong import check_tab
from undersong.handed.reading import TabOrder, read_tab
from undersong.handed.tab import Tab

LINES = ("|0---|5---|3---|4---|", "|0---|5---|1---|0---|", "|3---|0---|1---|0---|")
FRETS = [[0], [9], [5], [7], [0], [9], [2], [0], [5], [0], [2], [0]]
"""Semitones of those numbers: frets 1, 3, 4 and 5 of a diatonic fretboard are 2, 5, 7 and 9."""


def read(text: str, alone: bool = True) -> Tab:
    return read_tab(text, instrument(), TabOrder(), "bass.txt", alone)


def bass(tab: Tab) -> list[list[int]]:
    """The bass string's frets bar by bar; no other string has any."""
    assert not any(any(column.strings[1:]) for bar in tab.bars for column in bar.columns)
    return [[c.strings[0].fret for c in bar.columns if c.strings[0]] for bar in tab.bars]


@pytest.mark.parametrize("name", ["bass", "Bass string", "D", "D3"])
@pytest.mark.parametrize("lines", [2, 3, 4, 6, 9])
def test_lines_of_one_name_apart_are_one_string(name: str, lines: int) -> None:
    rows = [f"{name} {LINES[at % 3]}" for at in range(lines)]
    tab = read("\n\n".join(rows))
    assert bass(tab) == (FRETS * 3)[: 4 * lines]
    assert tab.notices == ()


def test_lines_called_bass_may_stand_together() -> None:
    assert bass(read("\n".join(f"bass {row}" for row in LINES))) == FRETS


def test_chord_names_may_stand_over_each_line() -> None:
    text = "\n\n".join(f"     D    Bm   G    A7\nbass {row}" for row in LINES)
    assert bass(read(text)) == FRETS


def test_the_last_line_may_be_shorter() -> None:
    """21 bars, four a line."""
    rows = [f"bass {LINES[at % 3]}" for at in range(5)] + ["bass |0---|"]
    assert bass(read("\n\n".join(rows))) == [*(FRETS * 2)[:20], [0]]


@pytest.mark.parametrize("alone", [False, True])
@pytest.mark.parametrize("names", [("D", "A", "d"), ("bass", "middle", "melody"), ("", "", "")])
def test_strings_with_blank_lines_between_stay_strings(names: tuple[str, ...], alone: bool) -> None:
    tab = read("\n\n".join(f"{n} {row}" for n, row in zip(names, LINES, strict=True)), alone)
    assert len(tab.bars) == 4
    assert all(len([s for s in bar.columns[0].strings if s]) == 3 for bar in tab.bars)


def test_without_a_bass_part_asked_for_it_is_as_before() -> None:
    assert len(read("\n\n".join(f"D {row}" for row in LINES), alone=False).bars) == 4


def test_a_bass_part_of_three_lines_is_sound() -> None:
    """The roots of its chords: D is fret 0 of the bass, Em 1, G 3, A 4 and Bm 5."""
    tune = chart("key: D\nmetre: 4/4\n| D | Bm | G | A7 | D | Bm | Em | D | G | D | Em | D |")
    text = "\n\n".join(f"bass {row}" for row in LINES)
    style = Style(texture="bass", manner="roots", right_hand=right_hand("bass-only"))
    found = check_tab(text, tune, style=style)
    assert (found.findings, found.warnings, found.missing) == ((), (), ())
    assert found.sound
