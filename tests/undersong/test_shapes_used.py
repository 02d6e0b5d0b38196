"""The boxes of shapes on the text page: which, how often, drawn by hand, mirrored, in the width."""

import re
from dataclasses import replace
from itertools import groupby
from random import Random

import pytest

from fretboard.presets import hand, instrument
from solver.conditions.few_shapes import learned
from solver.result import Arrangement
from solver.style import Style
from tests.undersong.arranged import bundled, by_chance, chart, found
from tests.undersong.running import run
from undersong.sheet.errors import SheetError
from undersong.sheet.options import SheetOptions
from undersong.sheet.text import text_tab

BOXES = SheetOptions(shapes_used=True)
MIRRORED = SheetOptions(shapes_used=True, left_handed=True)


def section(made: Arrangement, options: SheetOptions) -> str:
    page = text_tab(made, options)
    return page[page.index("Shapes: ") : page.index("Proven best" if "Proven" in page else "Best")]


def one_shape(frets: tuple[int, ...], fingers: tuple[int, ...]) -> Arrangement:
    """Every moment of a short tune with one grip, whatever it sounds."""
    made = found(chart("key: D\nmetre: 4/4\n| G | G |"))
    choices = tuple(
        replace(choice, grip=replace(choice.grip, frets=frets, fingers=fingers))
        for choice in made.choices
    )
    return replace(made, choices=choices)


def test_a_box_drawn_by_hand() -> None:
    # G 3-1-0: bass fret 3 (5 semitones) with the thumb, middle fret 1 (2) with the index; the
    # pitches from the handbook's table: G3 B3 D4
    made = one_shape((5, 2, 0), (0, 1, -1))
    assert section(made, BOXES).rstrip() == (
        "Shapes: 1 shape in order of first use, with the notes that sound.\n"
        "\n"
        "1. 3-1-0, once\n"
        "         1   2   3\n"
        "D3  ||---|---|--T| G3\n"
        "A3  ||--I|---|---| B3\n"
        "D4 0||---|---|---| D4"
    )


def test_the_same_for_a_left_handed_player() -> None:
    made = one_shape((5, 2, 0), (0, 1, -1))
    assert section(made, MIRRORED).rstrip() == (
        "Shapes: 1 shape in order of first use, with the notes that sound; the nut at the\n"
        "right, for the left-handed.\n"
        "\n"
        "1. 3-1-0, once\n"
        "   3   2   1\n"
        "D3 |T--|---|---||  G3\n"
        "A3 |---|---|I--||  B3\n"
        "D4 |---|---|---||0 D4"
    )


def test_high_up_the_box_begins_a_fret_before_and_a_silent_string_is_marked() -> None:
    # 5-5-x, B3 and F#4 by the table (9 semitones); the fret before is 4
    made = one_shape((9, 9, -1), (2, 1, -1))
    assert section(made, BOXES).splitlines()[2:6] == [
        "1. 5-5-x, once",
        "         4   5",
        "D3   |---|--M| B3",
        "A3   |---|--I| F#4",
    ]


@pytest.mark.parametrize("name", ["kettle-on-at-nine", "harrow-lane", "lantern-path"])
def test_every_shape_is_listed_in_order_with_its_times(name: str) -> None:
    made = bundled(name)
    taken = [shape for shape, _ in groupby(learned(c.grip) for c in made.choices) if shape]
    order = list(dict.fromkeys(taken))
    said = re.findall(r"(\d+)\. \S+, (once|\d+ times)", section(made, replace(BOXES, width=60)))
    assert [int(number) for number, _ in said] == list(range(1, len(order) + 1))
    counts = [1 if times == "once" else int(times.split()[0]) for _, times in said]
    assert counts == [taken.count(shape) for shape in order]


@pytest.mark.parametrize("strung", ["chromatic", "four-equidistant", "partial-1+8+", "bass"])
@pytest.mark.parametrize("options", [BOXES, MIRRORED])
def test_no_line_is_wider_than_the_page(strung: str, options: SheetOptions) -> None:
    made = by_chance(
        chart("key: D\nmetre: 4/4\n| D | A | D | G |"), Style(), instrument(strung), Random(5)
    )
    for width in (40, 80, 133):
        page = text_tab(made, replace(options, width=width))
        assert max(map(len, page.splitlines())) <= width
        assert "Shapes: " in page


def test_open_strings_alone_are_no_shape() -> None:
    made = one_shape((0, 0, 0), (-1, -1, -1))
    assert section(made, BOXES).startswith("Shapes: none, every string is open.")


def test_pages_have_no_boxes_unless_asked() -> None:
    assert "Shapes: " not in text_tab(bundled("harrow-lane"))
    with pytest.raises(SheetError, match="ask for those as well"):
        SheetOptions(left_handed=True)


def test_from_the_command_line() -> None:
    ended = run("arrange", "lantern-path", "--shapes-used", "--left-handed", "--width", "70")
    assert ended.code == 0
    assert "the nut at the right" in " ".join(ended.out.split())


def test_a_finger_left_out_is_neither_used_nor_explained() -> None:
    ended = run("arrange", "lantern-path", "--without-finger", "P", "--without-finger", "r")
    assert ended.code == 0
    fingers = [line for line in ended.out.splitlines() if re.match(r"[DA]\d  [ TIMRP]+$", line)]
    assert fingers
    assert not [line for line in fingers if "P" in line or "R" in line]
    flat = " ".join(ended.out.split())
    assert "T thumb, I index, M middle" in flat
    assert "P little finger" not in flat
    without = hand("medium").without("P").without("R")
    assert without.not_used == "RP"


def test_a_bass_part_shows_its_one_string() -> None:
    made = found(chart("key: D\nmetre: 4/4\n| G | A |"), Style(texture="bass"))
    page = section(made, BOXES)
    assert re.findall(r"^(\d+)\. (\S+), ", page, re.MULTILINE)
    assert not re.search(r"^[AD]4 |^A3 ", page, re.MULTILINE)
