"""Bars that are played several times: told once, with the times through or the bars that it is."""

import json

import pytest
from jsonschema import Draft202012Validator

from tests.undersong.arranged import chart
from tune.bar_names import beat_name
from undersong import check_tab
from undersong.handed.document import report_json, report_schema
from undersong.handed.times import all_names, bar_name, beats_of, times_through
from undersong.handed.words import report

TWICE = chart("key: D\nmetre: 4/4\n|: D | G :|")
OUT = chart("key: D\nmetre: 4/4\n| D | G | D | G |")
D, G = ("-0---4---", "---0---0-", "---2---2-"), ("-3---0---", "---1---1-", "---0---0-")
WRONG = (G[0], "---2---1-", G[2])
"""The middle string at 2 on beat 2: C#, which the chord G does not have."""


def tab(*bars: tuple[str, str, str], repeat: bool = False) -> str:
    sign = ":" * repeat
    return "\n".join(f"|{sign}{'|'.join(bar[row] for bar in bars)}{sign}|" for row in range(3))


@pytest.mark.parametrize(
    ("text", "where", "again"),
    [
        (tab(D, WRONG), "bar 2, beat 2", 0),
        (tab(D, WRONG, repeat=True), "bar 2, beat 2", 0),
        (tab(D, WRONG, D, WRONG), "bar 2 (1st and 2nd time), beat 2", 1),
        (tab(D, WRONG, D, G), "bar 2 (1st time), beat 2", 0),
        (tab(D, G, D, WRONG), "bar 2 (2nd time), beat 2", 0),
    ],
)
def test_one_wrong_note_is_one_fault(text: str, where: str, again: int) -> None:
    found = check_tab(text, TWICE)
    assert [(fault.kind, fault.where) for fault in found.faults] == [("pitch", where)]
    assert [one.kind for one in found.faults[0].again[1:]] == ["pitch"] * again
    page = report(found)
    assert page.count(f"\n{where.partition(',')[0].capitalize()}\n") == 1
    assert "\n1 fault" in page
    assert "For you to mend" not in page


def test_one_repeated_bar_of_the_tab_for_two_of_the_tune() -> None:
    found = check_tab(tab(D, WRONG, repeat=True), OUT)
    assert [fault.where for fault in found.faults] == ["bar 2 and bar 4, beat 2"]
    mends = [(change.where, change.times) for change in found.changes if not change.wish]
    assert mends == [("bar 2, beat 2", 2)]


def test_programs_are_told_every_place() -> None:
    made = json.loads(report_json(check_tab(tab(D, WRONG, D, WRONG), TWICE)))
    Draft202012Validator(report_schema()).validate(made)
    (fault,) = (one for one in made["findings"] if one["fault"])
    assert (fault["bar_of_tab"], fault["line"], fault["column"]) == (2, 1, 15)
    assert fault["again"] == [{"bar_of_tab": 4, "line": 1, "column": 35}]


def test_times_of_a_tab_that_writes_out_some_of_them() -> None:
    """Three times in all: the tab's first bar is played twice, its second once."""
    tune = chart("key: D\nmetre: 4/4\n|: D :| 3 times")
    assert [bar.number for bar in tune.played] == [1, 2, 3]
    assert times_through(tune, {0: (1, 2), 1: (3,)}) == {1: (1, 2), 2: (1, 2), 3: (3,)}
    assert times_through(tune, {0: (1, 2, 3)}) == {}
    assert bar_name(tune, 0, (2, 1)) == "bar 1 (1st and 2nd time)"
    assert all_names(OUT, [(0, ()), (2, (1,)), (2, (2,))]) == "bar 1 and bar 3 (1st and 2nd time)"


# moments in a bar


def test_every_tick_of_a_beat_has_another_name() -> None:
    names = [beat_name(tick, 10080) for tick in range(0, 30240, 210)]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("tick", "name"),
    [
        (0, "beat 1"),
        (12, "beat 2"),
        (6, "half a beat after beat 1"),
        (15, "a quarter of a beat after beat 2"),
        (21, "three quarters of a beat after beat 2"),
        (4, "a third of a beat after beat 1"),
        (20, "two thirds of a beat after beat 2"),
        (5, "5/12 of a beat after beat 1"),
    ],
)
def test_the_name_of_a_moment(tick: int, name: str) -> None:
    """Beats of twelve ticks, counted by hand."""
    assert beat_name(tick, 12) == name


def test_places_that_are_told_together() -> None:
    assert beats_of(["bar 1, beat 2", "bar 1, beat 4"]) == "beats 2 and 4"
    half = "half a beat after beat"
    assert beats_of([f"bar 1, {half} 1", f"bar 1, {half} 2"]) == "half a beat after beats 1 and 2"
    together = [f"bar 1, {half} 2", "bar 1, beat 4"]
    assert beats_of(together) == "beat 4 and half a beat after beat 2"
    assert beats_of(["bar 1", "bar 1"]) == ""


def test_a_place_is_never_called_as_another_is() -> None:
    """Two notes within a beat, the first of them wrong: only that is told, and mended."""
    beats = "   1 . . . 2 . . . 3 . . . 4 . . . "
    rows = [
        "D |-0---------------0---------------|",
        "A |---------0---------------0-------|",
        "d |---2-4---------------2-----------|",
    ]
    wrong = rows[2].replace("---2-4-", "---1-4-")
    found = check_tab("\n".join([beats, *rows[:2], wrong]), chart("key: D\nmetre: 4/4\n| D |"))
    assert [one.where for one in found.faults] == ["bar 1, a quarter of a beat after beat 1"]
