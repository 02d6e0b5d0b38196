"""What is called a mend mends a fault; what only the manner or the right hand would have otherwise
is told apart from it, and may stay. Worked by hand; mended tabs are judged anew.
"""

from dataclasses import replace
from random import Random

import pytest

from solver.righthand import right_hand
from solver.style import Style
from tests.undersong.arranged import chart
from tests.undersong.handed.test_judging import GOOD, PAGE_GOOD, changed
from undersong import check_tab
from undersong.handed.checking import Checked
from undersong.handed.unmended import hints, left_over
from undersong.handed.words import report

FOUR = chart("key: D\nmetre: 4/4\n| D | G | A7 | D |")
WALK = chart("key: D\nmetre: 4/4\n| Em | G | D | A7 |")
TWICE = chart("key: D\nmetre: 4/4\n|: D | G | A7 | D :|")
NOTHING = "this hand can play it as it stands (1 remark). Nothing has to be changed."


def check(text: str, tune: object = FOUR, **settings: object) -> Checked:
    return check_tab(text, tune, **settings)  # type: ignore[arg-type]


def told(found: Checked) -> str:
    return " ".join(report(found).split())


def with_changes(text: str, found: Checked) -> str:
    """The text with the mends typed in: every number is one sign wide here."""
    lines = [list(line) for line in text.split("\n")]
    for one in found.mends:
        line = lines[one.line - 1 + one.course]
        line[one.column - 1] = found.subject.label(one.new) if one.new >= 0 else "x"
    return "\n".join("".join(line) for line in lines)


# only remarks: nothing has to be changed


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("|---2---2-|---0---0-|---3", "|---0---0-|---0---0-|---3"),  # no third
        ("D  |-0---4---|", "D  |-0---2---|"),  # the third in the bass
        ("|---1---1-", "|---1---1"),  # a dash too few
    ],
)
def test_where_there_are_only_remarks_nothing_has_to_be_changed(old: str, new: str) -> None:
    found = check(changed(old, new))
    assert found.faults == ()
    assert found.mends == ()
    assert NOTHING in told(found)
    assert "mends" not in told(found)


def test_a_string_that_is_silent_is_a_wish_of_the_right_hand() -> None:
    """bass-then-strum has no stroke without the middle string; a player may leave it out."""
    found = check(changed("A  |---0---0-", "A  |---x---x-"))
    assert (found.faults, found.mends, found.sound) == ((), (), True)
    assert {(one.why, one.course, one.old) for one in found.wishes} == {("right hand", 1, -1)}
    page = told(found)
    assert "as it stands. Nothing has to be changed." in page
    assert "'bass-then-strum' strikes 2 strings that the tab leaves silent: bar 1, beat 2" in page
    assert "with 2 strings as the right hand has them, it costs" in page


def test_a_shape_with_a_silent_string_may_stay_too() -> None:
    found = check("D G A7 D\n0-x-2 3-1-0 4-2-3 0-0-2")
    assert found.sound
    assert {one.why for one in found.changes} <= {"right hand"}


# both: only what mends is counted


def test_a_mixed_tab_is_told_what_mends_its_fault_alone() -> None:
    text = changed("D  |-0---4---|", "D  |-0---2---|").replace("---3---3-|", "---3---2-|")
    found = check(text)
    assert [(one.where, one.course) for one in found.mends] == [("bar 3, beat 4", 2)]
    page = told(found)
    assert "The smallest change that mends it (1 string, the bass left free):" in page
    assert "The manner alternating alone would change 1 more." in page
    assert check(with_changes(text, found)).faults == ()


def test_wishes_of_the_manner_are_told_apart_from_wrong_notes() -> None:
    """A walking bass under the manner alternating; two notes are wrong where nothing is struck."""
    bass = "|-1-2-3-2-|-3-2-1-2-|-0-1-2-3-|-4-0-1-4-|"
    rest = "|---------|---------|---------|---------|"
    found = check(f"{bass}\n{rest}\n{rest}", WALK, style=Style(right_hand=right_hand("bass-only")))
    assert found.mends == ()
    assert [one.where for one in found.wishes] == [f"bar {bar}, beat 3" for bar in (1, 2, 3, 4)]
    page = told(found)
    assert "The smallest change" not in page
    assert "The manner alternating would change 4 strings: bar 1, beat 3: bass 3 -> 5" in page
    assert "For you to mend, as this right hand has no stroke there: bar 2, beat 4" in page
    assert "with 4 strings as the manner alternating has them, it costs" in page


def test_the_wrong_note_is_changed_not_its_neighbour() -> None:
    """G F# D under G: F# would pass if D were G, but it is F# that is wrong."""
    text = (
        "|-1-2-3-1-|-3-2-0-0-|-0-4-2-0-|-4-2-1-4-|\n"
        "|-1-1-1-1-|-1-1-1-1-|-0-0-0-0-|-2-2-2-2-|\n"
        "|-1-1-1-1-|-0-0-0-0-|-2-2-2-2-|-3-3-2-3-|"
    )
    found = check(text, WALK, style=Style(right_hand=right_hand("full-strum")))
    assert [(one.where, one.course) for one in found.mends] == [
        ("bar 2, beat 2", 0),
        ("bar 4, beat 2", 0),
        ("bar 4, beat 3", 2),
    ]
    assert hints(found) == ()
    assert check(with_changes(text, found), WALK).faults == ()


def test_mends_by_chance_mend_and_leave_what_is_no_fault() -> None:
    """Wrong frets by chance: with the mends, no fault is left but those that are told as left; and
    each mend is needed, or was at a fault."""
    chance = Random(4)
    mended = 0
    for _ in range(8):
        text = "".join(
            str(chance.randrange(5)) if sign.isdigit() and chance.random() < 0.3 else sign
            for sign in GOOD.strip()
        )
        found = check(text)
        places = {(place, one.course) for one in found.faults for place in one.places}
        anywhere = {place for place, course in places if course < 0}
        for one in found.mends:
            assert (one.where, one.course) in places or one.where in anywhere or not found.faults
        after = check(with_changes(text, found))
        left = {(one.where, one.course) for one in hints(found)}
        assert {(one.where, one.course) for one in after.faults} == left, text
        mended += bool(found.mends)
    assert mended >= 4


# faults that no fret mends


def test_crossed_fingers_are_mended_by_other_fingers() -> None:
    found = check(PAGE_GOOD.replace("M       M", "T       T", 1))
    assert [one.kind for one in found.faults] == ["order"] * len(found.faults)
    page = told(found)
    assert "No string has to be changed." in page
    assert "Other fingers that can lie there: bar 3, beat 2: " in page
    again = PAGE_GOOD  # as it was: thumb, index and middle in order
    assert check(again).faults == ()


def test_beats_that_do_not_add_up_are_no_strings() -> None:
    found = check(PAGE_GOOD.replace("    1 . 2 . 3 . 4 .   1", "    1 . 2 . 5 . 6 .   1", 1))
    assert {one.kind for one in found.faults} == {"timing"}
    assert "No string has to be changed for that." in told(found)


# the same each time through


def twice(text: str) -> str:
    return "\n".join(row + row.partition("|")[2] for row in text.strip().split("\n"))


def test_the_same_change_each_time_is_told_once() -> None:
    found = check(twice(changed("|---3---3-|", "|---3---2-|")), TWICE)
    page = report(found)
    assert "(2 strings):\n  bar 3 (1st and 2nd time), beat 4: melody 2 -> 3\n" in page
    assert page.count("beat 4") == 2  # the fault, and its mend


def test_another_change_the_second_time_is_told_by_itself() -> None:
    first = changed("|---3---3-|", "|---3---2-|")
    second = changed("|---3---3-|", "|---3---0-|")
    rows = zip(first.strip().split("\n"), second.strip().split("\n"), strict=True)
    page = report(check("\n".join(one + other.partition("|")[2] for one, other in rows), TWICE))
    assert (
        "  bar 3 (1st time), beat 4: melody 2 -> 3\n  bar 3 (2nd time), beat 4: melody 0 -> "
        in page
    )


def test_bars_without_time_are_told_once_for_all_times() -> None:
    found = check(twice(GOOD), TWICE.at_tempo(400))
    page = told(found)
    assert "but not in the time that there is: bar" in page
    late = page.partition("in the time that there is: ")[2].partition(". At")[0].split("; ")
    assert len({one.partition("): ")[2] for one in late}) == len(late), late


def test_a_number_that_is_played_twice_gets_one_mend_where_one_will_do() -> None:
    """Part A of Harrow Lane ends on C#5, which D does not have; part A or part B follows, and by
    itself each would have another fret there."""
    found = check_tab(
        "|-0---4---|-5---2---|-3---0---|-4---1---|-0---4---|-5---3---|-1---4---|-0---4---|\n"
        "|---0---0-|---3---3-|---1---1-|---2---2-|---0---0-|---3---1-|---x---2-|---0---0-|\n"
        "|---2---2-|---0---0-|---0---0-|---3---3-|---2---2-|---0---0-|---1---3-|---2---6½|",
        "harrow-lane",
    )
    assert [one.kind for one in found.faults] == ["pitch"]
    (mend,) = found.mends
    assert (mend.where, mend.times, mend.turns) == ("bar 8, beat 4", 2, ())
    assert "melody 6+ -> 2 (2 times)" in report(found)


def test_strings_that_this_right_hand_never_strikes_together_are_its_wish() -> None:
    """In a solo bass-then-strum strikes the bass with the melody, not all three strings at once."""
    found = check_tab("|-0-|\n|-0-|\n|-4-|", "harrow-lane", style=Style(texture="solo"))
    assert found.mends == ()
    assert {(one.why, one.course, one.new) for one in found.wishes} == {("right hand", 1, -1)}
    page = told(found)
    assert "Melody notes to put in: bar 1, beat 2: melody 2" in page
    assert "leaves out 1 string that the tab strikes with others: bar 1, beat 1: middle" in page


# one number, several strokes


def retyped(text: str, found: Checked) -> str:
    """The shapes with their mends typed in: every number is one sign wide here."""
    lines = [list(line) for line in text.split("\n")]
    for one in found.mends:
        at = one.column - 1 + 2 * one.course
        lines[one.line - 1][at] = found.subject.label(one.new) if one.new >= 0 else "x"
    return "\n".join("".join(line) for line in lines)


@pytest.mark.parametrize("tune", ["harrow-lane", chart("key: D\nmetre: 4/4\n| D | Bm | G | A7 |")])
def test_a_number_that_stands_for_several_strokes_gets_one_mend(tune: object) -> None:
    """The melody string's 4 of bar 3 is struck at beats 2 and 4: by itself each would have another
    fret."""
    text = "| D | Bm | G | A7 |\n| 0-0-2 | 5-3-0 | 3-1-4 | 4-2-3 |"
    found = check(text, tune)
    (mend,) = found.mends
    assert (mend.where, mend.course, mend.old) == ("bar 3, beat 1", 2, 7)
    assert found.split == ()
    assert report(found).count("melody 4 -> ") == 1
    assert check(retyped(text, found), tune).sound_as_far_as_it_goes


@pytest.mark.parametrize("seed", range(6))
def test_shapes_with_wrong_numbers_are_mended_by_typing_each_mend_once(seed: int) -> None:
    chance = Random(seed)
    shapes = ["0-0-2", "5-3-0", "3-1-0", "4-2-3"]
    for at in chance.sample(range(4), 2):
        numbers = shapes[at].split("-")
        numbers[chance.randrange(3)] = str(chance.randrange(7))
        shapes[at] = "-".join(numbers)
    text = f"| D | Bm | G | A7 |\n| {' | '.join(shapes)} |"
    tune = chart("key: D\nmetre: 4/4\n| D | Bm | G | A7 |")
    found = check(text, tune)
    assert found.split == ()
    assert len(found.mends) == len({(one.line, one.column, one.course) for one in found.mends})
    assert check(retyped(text, found), tune).sound


def test_where_no_one_fret_serves_all_strokes_that_is_said() -> None:
    text = "| D | G | A7 | D |\n| 0-0-2 | 3-1-4 | 4-2-3 | 0-0-2 |"
    found = check(text)
    (mend,) = found.mends
    split = ((mend.line, mend.column, mend.course),)
    other = replace(mend, new=0 if mend.new else 5)
    page = told(replace(found, changes=(mend, other), split=split))
    assert page.count("(for some of its strokes: no one fret was found that serves them all)") == 2


# shapes that cannot be fingered where nothing is struck

STRAY = """
    1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .
D  |-0-----2-4-------|-3-------0-------|-4-------1-------|-0-------0-------|
A  |-----0-0-----0---|-----1-------1---|-----2-------2---|-----0-------0---|
d  |-----2-9-----2---|-----0-------0---|-----3-------3---|-----2-------2---|
"""
THERE = "bar 1, half a beat after beat 2"
HINT = f"for you to mend, as this right hand has no stroke there: {THERE}: bass 2 -> 4"


def test_a_shape_out_of_reach_where_nothing_is_struck_has_its_mend_told() -> None:
    """The bass at 2, the melody string at 9: an octave of the neck apart."""
    found = check(STRAY)
    assert [(one.where, one.kind) for one in found.faults] == [(THERE, "hand")]
    (hint,) = hints(found)
    assert (hint.where, hint.course, hint.old) == (THERE, 0, 4)
    page = told(found)
    assert HINT.replace("for", "For", 1) in page
    assert "No string has to be changed" not in page
    for fret in hint.frets:
        assert check(STRAY.replace("--2-4-", f"--{found.subject.label(fret)}-4-")).faults == ()


def test_beside_a_fault_that_is_mended_it_is_told_as_left() -> None:
    found = check(STRAY.replace("-3-------3---|", "-3-------2---|"))
    assert [one.where for one in found.mends] == ["bar 3, beat 4"]
    page = told(found)
    assert "The smallest change that mends all but what is told below (1 string" in page
    assert f"Besides, {HINT}" in page


def test_what_no_one_string_mends_is_told_as_left() -> None:
    """The wrong middle string is told with its fret; with that the shape is still out of reach."""
    found = check(STRAY.replace("---2-4-", "---4-4-").replace("A  |-----0-0-", "A  |-----0-2-"))
    assert {(one.where, one.kind) for one in found.faults} == {
        (THERE, "pitch"),
        (THERE, "hand"),
    }
    assert [(one.course, one.old) for one in hints(found)] == [(1, 4)]
    (left,) = left_over(found)
    assert left.kind == "hand"
    assert f"you to change, as no one string mends it: {left.where}: {left.words}" in told(found)
    assert "No string has to be changed" not in told(found)


@pytest.mark.parametrize("melody", ["---", "-5-"])
def test_what_only_the_manner_asks_mends_no_melody_note(melody: str) -> None:
    """A4 is missing, which the melody string has at 4; the fifth in the bass has no part in it."""
    found = check(f"|-4-|\n|---|\n|{melody}|", "harrow-lane", style=Style(texture="solo"))
    assert [one.why for one in found.changes if one.course == 0] == ["manner"]
    assert [(one.course, one.new) for one in found.mends] == [(2, 7)] * (melody != "---")
    page = told(found)
    assert "The manner alternating would change 1 string" in page
    assert "Melody notes to put in:" in page
    assert "The smallest change that mends it" not in page
