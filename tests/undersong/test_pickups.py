"""A pickup without a chord before a repeat: the first time nothing sounds yet, and the other times
nothing is asked for there either; so hands that are alike fold on paper.

Common practice, no source: without a chord over it, an upbeat is left to the melody.
"""

import re
from pathlib import Path

import pytest

from fretboard.presets import hand
from solver.conditions import Alike, Conditions
from solver.style import Style
from tests.undersong.running import run
from tune.tune import Tune
from undersong import arrange, read_tune
from undersong.check import check
from undersong.compare import side_by_side
from undersong.compare.text import comparison_text
from undersong.desk.views.changes import changes_view
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


def test_a_silent_pickup_stands_in_a_comparison_only_where_it_is_charged(
    door: Tune, tmp_path: Path
) -> None:
    """Played once nothing comes before it; the second time fingers are lifted there."""
    (tmp_path / "once.abc").write_text(DOOR.replace("|: d", "d").replace(":|", "|]"), "utf-8")
    once = arrange(read_tune(str(tmp_path / "once.abc")))
    assert once.tune.bars[0].number == 0
    page = comparison_text(side_by_side((once, once)))
    assert re.search("^ *bar 1 ", page, re.MULTILINE)
    assert "pickup" not in page
    assert "bar 0" not in page
    twice = arrange(door)
    bill = {m.bar: twice.bill.at(n) for n, m in enumerate(twice.moments) if m.bar in (1, 6)}
    assert bill[1] == 0
    assert bill[6] > 0
    told = comparison_text(side_by_side((twice, twice))).partition("the pickup N.C.")[2]
    assert f"2nd time: {bill[6]} ms" in told.partition("bar 1")[0]


def test_a_played_pickup_stands_in_a_comparison_by_its_name(door: Tune) -> None:
    one, other = (
        arrange(door, style=Style(texture="drone", manner="held"), hand=hand(name))
        for name in ("medium", "noter")
    )
    page = comparison_text(side_by_side((one, other)))
    assert re.search("^[*+ ] the pickup", page, re.MULTILINE)
    assert "bar 0" not in page


def test_the_desk_calls_it_so_where_it_changes(door: Tune) -> None:
    one, other = (
        arrange(door, style=Style(texture="drone", manner="held"), hand=hand(name))
        for name in ("medium", "noter")
    )
    rows = changes_view(one, other) or changes_view(other, one)
    told = [row["bar"] for row in rows]
    assert any(name.startswith("the pickup") for name in told)
    assert not any(name.startswith("bar 0") for name in told)


def test_what_the_player_types_for_it_is_a_number(door: Tune, tmp_path: Path) -> None:
    file = tmp_path / "door.abc"
    file.write_text(DOOR, encoding="utf-8")
    asked = (str(file), "--texture", "drone", "--bar")
    assert "Shed Door, the pickup (1st time): " in run("why", *asked, "0").out.replace("\n", " ")
    ended = run("why", *asked, "9")
    assert (ended.code, ended.lines) == (
        2, ["undersong: the tune has no bar 9; it has bars 1 to 4 and a pickup (bar 0)"],
    )  # fmt: skip
    assert "0 for a pickup" in " ".join(run("why", "--help").out.split())
