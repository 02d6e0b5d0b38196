"""Melodies that stand beside their beats, and mends that would be wrong where they are typed.

Worked by hand: on a melody string tuned to D4 the frets 5 6 6+ 7 8 are B4 C5 C#5 D5 E5."""

import pytest

from solver.style import Style
from tune.readers.abc import read_abc
from undersong import check_tab
from undersong.handed.checking import Checked
from undersong.handed.unmended import hints, put_in
from undersong.handed.words import report

HEAD = "X:1\nT:Harrow Lane Exercise\nL:1/8\nQ:1/4=80\nK:D\n"
TURN = read_abc(f'{HEAD}M:2/4\n"G"Bcdc|"D"d4|]\n')
ARCH = read_abc(f'{HEAD}M:4/4\n"C"=c3 d e2 d=c|"G"B2 G2 D2 EF|"Am"A8|]\n')

BESIDE = """
D |-3---3----|-0---|
A |-1---1----|-0---|
d |-5-6½-7-6½-|-7---|
"""
"""The half takes a column more than the dash that was left out for it."""

FEWER = """
D |-6-----0-----|-3-------0-------|-4-----|
A |-4-----4-----|-1-------3-------|-0-----|
d |-6-----7-8---|-5---3---0---1-2-|-4-----|
"""
"""Three of the five notes of bar 1, E5 a sixteenth before beat 4."""


def check(text: str, tune: object = TURN) -> Checked:
    return check_tab(text, tune, style=Style(texture="solo"))  # type: ignore[arg-type]


def told(found: Checked) -> str:
    return " ".join(report(found).split())


def test_right_notes_beside_their_beats_are_told_in_one_sentence() -> None:
    found = check(BESIDE.replace("6½-|", "6½|"))
    assert [(fault.kind, fault.where) for fault in found.faults] == [("timing", "bar 1")]
    assert found.faults[0].words == (
        "the melody's notes are right and in order, but the columns do not put them on its beats; "
        "they are taken for beat 1, half a beat after beat 1, beat 2 and half a beat after beat 2 "
        "in turn: write each under its beat"
    )
    assert found.mends == put_in(found) == hints(found) == ()


def test_a_note_that_stands_alone_is_told_as_one() -> None:
    late = "D |-3-1-3-1-|---0---|\nA |-1-0-1-0-|---0---|\nd |-5-6½7-6½-|---7---|"
    found = check(late)
    assert [(one.kind, one.where) for one in found.faults][-1] == ("timing", "bar 2")
    assert found.faults[-1].words == (
        "the melody's note is right, but its column does not put it on its beat; it is taken for "
        "beat 1: write it there"
    )


def test_a_wrong_note_among_them_is_told_at_its_own_beat() -> None:
    found = check(BESIDE.replace("6½-|", "5-|"))
    half = "bar 1, half a beat after beat 2"
    assert [(fault.kind, fault.where) for fault in found.faults] == [
        ("timing", "bar 1"),
        ("melody", half),
    ]
    assert found.faults[0].words.startswith("there are as many notes as the melody has, but")
    assert found.faults[1].words == "the melody has C#5 here, and the tab strikes B4"
    assert [(one.where, one.course, one.old, one.new) for one in found.mends] == [(half, 2, 9, 11)]


EARLY = (
    "what stands before the melody's first note is taken to be struck with it: write them in one "
    "column"
)


@pytest.mark.parametrize(
    "bar",
    [
        "D |0--------|0-|\nA |---------|--|\nd |-5-6+7-6+|7-|",
        "D |0--------|0-|\nA |1--------|--|\nd |-5-6+7-6+|7-|",
        "D |-0--------|0-|\nA |0---------|--|\nd |--5-6+7-6+|7-|",
    ],
)
def test_a_bass_before_the_first_note_is_struck_with_it(bar: str) -> None:
    """In the other columns each note is where it belongs, counted from the first."""
    found = check(bar)
    assert [(one.kind, one.where, one.words) for one in found.faults if one.kind != "pitch"] == [
        ("timing", "bar 1", EARLY)
    ]
    assert put_in(found) == ()


def test_other_bars_that_begin_as_far_from_their_bar_lines_are_right() -> None:
    """The melody's notes are one column after every bar line, a bass note before one of them."""
    found = check("D |0--------|---------|\nA |---------|---------|\nd |-5-6+7-6+|-7-------|")
    assert [(one.where, one.words) for one in found.faults] == [("bar 1", EARLY)]
    late = check("D |0--------|---------|\nA |---------|---------|\nd |-5-6+7-6+|---7-----|")
    assert [(one.kind, one.where) for one in late.faults] == [
        ("timing", "bar 1"),
        ("timing", "bar 2"),
    ]


def test_a_bass_before_notes_that_are_beside_their_beats() -> None:
    found = check("D |-3-------------|0-|\nA |---------------|--|\nd |--5-6½-7-6½----|7-|")
    assert [(one.kind, one.where) for one in found.faults] == [("timing", "bar 1")]
    assert found.faults[0].words.startswith("the melody's notes are right and in order, but")
    assert found.faults[0].words.endswith(f"write each under its beat; {EARLY}")
    assert found.mends == put_in(found) == hints(found) == ()


def test_a_wrong_bass_before_the_first_note_is_mended_at_that_note() -> None:
    """G has no F#3, and G3 is on fret 3."""
    found = check("D |2--------|0-|\nA |---------|--|\nd |-5-6+7-6+|7-|")
    assert ("bar 1, beat 1", "pitch", 0) in [(f.where, f.kind, f.course) for f in found.faults]
    assert {(one.where, one.course) for one in found.mends} == {("bar 1, beat 1", 0)}


def test_a_string_is_not_struck_twice_at_once() -> None:
    """Two bass notes before the first note have no room, and are not made one."""
    found = check("D |0-3-------|0-|\nA |----------|--|\nd |---5-6+7-6+|7-|")
    assert EARLY not in told(found)
    assert "melody" in {fault.kind for fault in found.faults}


def test_notes_on_their_beats_are_not_moved() -> None:
    found = check("D |-3-------|-0---|\nA |-1-------|-0---|\nd |-5-6+7-6+|-7---|")
    assert found.faults == ()


def test_other_notes_than_the_melodys_are_told_one_by_one() -> None:
    """One of four is right: these are other notes, not the same in other places."""
    found = check("D |-3---3---|-0---|\nA |-1---1---|-0---|\nd |-5---3--0-3|-7---|")
    assert "timing" not in {fault.kind for fault in found.faults}


def test_no_mend_makes_a_fault_where_the_number_was_typed() -> None:
    """E5 is in C; D5, the next stroke's note, is not, and goes there as a note to put in."""
    found = check(FEWER, ARCH)
    where = "bar 1, three quarters of a beat after beat 3"
    assert where not in {one.where for one in found.mends}
    assert where not in {fault.where for fault in (*found.faults, *found.left)}
    assert [(one.where, one.old, one.new) for one in found.mends] == [("bar 1, beat 3", 12, 14)]
    assert ("bar 1, beat 4", 2, 12) in [(one.where, one.course, one.fret) for one in put_in(found)]
    assert "for you to change" not in told(found)


def test_what_is_asked_of_no_stroke_is_said_to_be_left_out() -> None:
    page = told(check(FEWER, ARCH))
    assert "has no stroke; it is looked at, and left out of the cost" in page
    assert "taken for its next one" not in page
