"""Chord shapes of the trade, handed in as they are printed: each is sound over its chord.

The shapes and where they are printed stand in TRADE.md, "Chord shapes in D3 A3 D4" (pitch contents
computed there with music21 and pychord).
"""

import pytest

from fretboard.presets import instrument
from tests.undersong.arranged import chart
from undersong import Style, TabOrder, check_tab

LESSONS = "Mountain Dulcimer Lessons 2"
CAPO = "Capo positions, tunings, chords"
MEMORY = "from memory (TRADE.md: M)"

SHAPES = {
    "D": [("0-0-2 2-0-0 7-7-9", LESSONS), ("2-3-4 4-3-2 7-5-4", LESSONS)],
    "G": [("3-3-5 5-3-3 0-1-3 3-1-0", LESSONS)],
    "A": [("4-4-6+ 4-2-1 1-2-4", LESSONS)],
    "Bm": [("5-5-7 2-1-0 0-1-2", LESSONS)],
    "Em": [("1-1-3 3-1-1", LESSONS)],
    "F#m": [("2-2-4 4-2-2", LESSONS)],
    "Am": [("4-4-6", LESSONS)],
    "C": [("6-6-8 3-4-6", LESSONS), ("1-1+-3", CAPO)],
    "C#m": [("6+-6+-8", LESSONS)],
    "Dm": [("0-0-1+ 1+-0-0", MEMORY)],
}
EVERY = [
    (chord, shape) for chord, rows in SHAPES.items() for row, _ in rows for shape in row.split()
]


def tab_of(chord: str, shape: str) -> str:
    return f"From the class's wall chart\n\n| {chord} | {chord} |\n| {shape} | {shape} |\n"


@pytest.mark.parametrize(("chord", "shape"), EVERY)
def test_a_printed_shape_is_sound(chord: str, shape: str) -> None:
    tune = chart(f"key: D\nmetre: 4/4\n| {chord} | {chord} |")
    found = check_tab(
        tab_of(chord, shape), tune, instrument=instrument("chromatic"), hand="large",
        style=Style(manner="free"),
    )  # fmt: skip
    assert found.faults == (), shape
    assert found.changes == (), shape
    assert found.sound
    assert not found.warnings
    melody_first = "-".join(reversed(shape.split("-")))
    turned = check_tab(
        tab_of(chord, melody_first), tune, instrument=instrument("chromatic"), hand="large",
        style=Style(manner="free"), order=TabOrder(melody_first=True),
    )  # fmt: skip
    assert turned.sound
    assert turned.nearest is not None
    assert found.nearest is not None
    assert turned.nearest.cost == found.nearest.cost


@pytest.mark.parametrize(("chord", "shape", "lacks"), [("G", "3-3-3", "B"), ("D", "0-0-0", "F#")])
def test_open_fifths_lack_their_third(chord: str, shape: str, lacks: str) -> None:
    """TRADE.md, "Not full triads": 3-3-3 is G5, 0-0-0 D5. A wish, no fault."""
    tune = chart(f"key: D\nmetre: 4/4\n| {chord} | {chord} |")
    found = check_tab(tab_of(chord, shape), tune)
    assert [finding.kind for finding in found.findings] == ["third"] * 2  # in each bar
    assert found.findings[0].words == f"the third of {chord} ({lacks}) is not heard"
    assert not found.faults


@pytest.mark.parametrize(
    ("chord", "shape", "names"),
    [("A", "3-2-1", ["G3"]), ("A", "1-0-3", ["G4"]), ("D", "4-2-1", ["C#4", "E4"])],
)
def test_a_shape_over_another_chord_has_wrong_notes(
    chord: str, shape: str, names: list[str]
) -> None:
    """3-2-1 is C#dim, 1-0-3 A7 without its third, 4-2-1 A (TRADE.md)."""
    tune = chart(f"key: D\nmetre: 4/4\n| {chord} | {chord} |")
    found = check_tab(tab_of(chord, shape), tune)
    wrong = [finding.words for finding in found.faults if finding.kind == "pitch"]
    for name in names:
        assert any(
            f"sounds {name}, which the chord {chord} does not have" in words for words in wrong
        )
