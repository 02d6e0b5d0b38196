"""A pickup without a chord before a repeat: the first time nothing sounds yet, and the other times
nothing is asked for there either; so hands that are alike fold on paper.

Common practice, no source: without a chord over it, an upbeat is left to the melody.
"""

from pathlib import Path

import pytest

from solver.conditions import Alike, Conditions
from solver.style import Style
from tune.tune import Tune
from undersong import arrange, read_tune
from undersong.check import check
from undersong.sheet.folding import fold
from undersong.sheet.text import text_tab

DOOR = """X:1
T:Shed Door
M:4/4
L:1/4
Q:1/4=90
K:D
|: d | "D"f a f d | "G" g b g d | "A" e c A c | "D" d2 d :|
"""
MANNER = {"song": "alternating", "solo": "alternating", "bass": "alternating", "drone": "held"}


@pytest.fixture(scope="module")
def door(tmp_path_factory: pytest.TempPathFactory) -> Tune:
    file: Path = tmp_path_factory.mktemp("door") / "door.abc"
    file.write_text(DOOR, encoding="utf-8")
    return read_tune(str(file))


@pytest.mark.parametrize("texture", ["song", "solo", "bass", "drone"])
def test_hands_alike_fold_whatever_the_pickup(door: Tune, texture: str) -> None:
    made = arrange(
        door,
        style=Style(texture=texture, manner=MANNER[texture]),
        conditions=Conditions(alike=Alike("repeats")),
    )
    folded = fold(made)
    assert folded.written_out == ()
    assert [bar.passes for bar in folded.bars] == [(1, 6), (2, 7), (3, 8), (4, 9), (5, 10)]
    assert check(made) == ()


def test_nothing_is_struck_over_a_pickup_without_a_chord(door: Tune) -> None:
    made = arrange(door)
    struck = {m.bar for m, c in zip(made.moments, made.choices, strict=True) if any(c.struck)}
    assert struck == {2, 3, 4, 5, 7, 8, 9, 10}, "as played, the pickups are bars 1 and 6"


def test_a_section_that_closes_in_a_short_bar_has_no_fill_before_it(door: Tune) -> None:
    """Worked by hand: both times end A D, so both close on the root; nothing leads on."""
    made = arrange(door, style=Style(texture="bass"))
    assert not any(moment.run for moment in made.moments)


def test_a_pickup_is_called_so_where_the_hands_differ(door: Tune) -> None:
    page = " ".join(text_tab(arrange(door)).split())
    assert "the hands differ: the pickup to bar 4 (first in bar 3)" in page
    assert "bar 0" not in page
