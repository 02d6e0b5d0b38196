"""Shapes without bar lines, placed by the chord names that stand over them; worked by hand."""

from tests.undersong.arranged import chart
from tune.chord import parse_chord
from undersong import check_tab
from undersong.handed.by_chords import by_chord_names
from undersong.handed.words import report

EIGHT = chart("key: D\nmetre: 4/4\n| D | G | D | A7 | Em | D | G A7 | D |")
SHAPES = {"D": "0-0-2", "G": "3-1-0", "A7": "4-2-3", "Em": "1-4-3", "Bm": "5-3-0"}


def typed(chords: str) -> str:
    return f"{chords}\n{' '.join(SHAPES[chord] for chord in chords.split())}"


def places(names: str, changes: str) -> list[tuple[int, int]] | None:
    """(number of the name, number of the change), both from 0."""
    listed = [((number, 0), parse_chord(one)) for number, one in enumerate(changes.split())]
    found = by_chord_names(names.split(), [listed])
    return None if found is None else [(number, place[0]) for number, place in found]


def test_a_run_of_changes_is_found_where_it_is() -> None:
    assert places("Em D G", "D G D A7 Em D G A7 D") == [(0, 4), (1, 5), (2, 6)]


def test_the_run_that_fits_best_comes_before_the_first() -> None:
    """D G fits D/F# G as well as it must, and D G exactly."""
    assert places("D G", "A D/F# G Em D G") == [(0, 4), (1, 5)]


def test_gaps_are_passed_over_as_early_as_can_be() -> None:
    assert places("D A7 D", "D G A7 Em D G A7 D") == [(0, 0), (1, 2), (2, 4)]


def test_a_list_of_shapes_by_chord_is_put_into_the_tunes_order() -> None:
    assert places("Em A7 D", "D G A7 Em G") == [(2, 0), (1, 2), (0, 3)]


def test_a_name_that_the_tune_does_not_have_says_nothing() -> None:
    assert places("D Bm", "D G A7 D") is None
    assert places("D Dm", "D G A7 D") is None


def test_some_shapes_of_a_tune_are_held_against_their_own_chords() -> None:
    found = check_tab(typed("Em D G A7"), EIGHT)
    assert found.sound
    assert found.missing == (0, 1, 2, 3, 7)
    assert "they are taken by chord names for bars 5 to 7" in " ".join(report(found).split())


def test_a_wrong_shape_is_told_at_its_own_chord() -> None:
    found = check_tab(typed("Em D G A7").replace("0-0-2", "0-1-2"), EIGHT)
    assert [(fault.kind, fault.where) for fault in found.faults] == [("pitch", "bar 6, beat 1")]


def test_a_name_that_is_not_the_tunes_is_told() -> None:
    """As many shapes as the tune has changes, one of them under another chord's name."""
    tune = chart("key: D\nmetre: 4/4\n| D | G | A7 | D |")
    found = check_tab("D Bm A7 D\n0-0-2 3-1-0 4-2-3 0-0-2", tune)
    assert [(one.kind, one.where, one.words) for one in found.findings] == [
        ("chord name", "bar 2, beat 1", "Bm stands by this shape, and the tune has G here")
    ]
    assert found.sound


HALF = "key: D\nmetre: 6/8\n| D | D | G A7 | D |"
WHOLE = f"{HALF} D | G D | G A7 | D |"


def test_a_shape_for_each_chord_as_it_is_written() -> None:
    """Repeated symbols included: one more than there are changes."""
    found = check_tab(typed("D D G A7 D"), chart(HALF))
    assert found.findings == ()
    places = [(one.bar, one.offset) for one in found.subject.moments if one.change]
    assert len(places) == 4  # one fewer than there are symbols
    assert check_tab(typed("D D G A7 D D G D G A7 D"), chart(WHOLE)).findings == ()


def test_a_shape_for_each_change_is_read_so_still() -> None:
    assert check_tab(typed("D G A7 D"), chart(HALF)).findings == ()


def test_as_many_without_names_stand_at_the_chords_as_they_are_written() -> None:
    assert check_tab("0-0-2 0-0-2 3-1-0 4-2-3 0-0-2", chart(HALF)).findings == ()


def test_of_lists_that_are_as_long_the_one_is_taken_that_the_names_agree_with() -> None:
    """Four changes, and four bars; the names are those of the bars."""
    assert check_tab(typed("D D G D"), chart(HALF)).faults == ()


def test_a_wrong_shape_among_repeated_symbols_is_told_where_it_is() -> None:
    found = check_tab(typed("D D G A7 D").replace("4-2-3", "4-1-3"), chart(HALF))
    assert [(one.where, one.course) for one in found.faults] == [("bar 3, beat 2", 1)]


def test_repeats_do_not_scatter_a_list_from_which_one_shape_is_left_out() -> None:
    """As written but for the second ending, which the D before it would do for as well."""
    tune = chart(
        "key: D\nmetre: 4/4\nsection A, twice\n"
        "| D | D | G A7 | D | D | G D | G A7 | D |\n"
        "section B, twice\n| G | D Bm | Em A7 | D | G | D | A7 | D |"
    )
    right = typed("D D G A7 D D G D G A7 D G D Bm Em A7 D G A7 D")
    found = check_tab(right, tune)
    assert found.faults == ()
    assert found.missing == (13,)
    wrong = right.replace("4-2-3", "4-1-3")
    found = check_tab(wrong, tune)
    places = [one.where for fault in found.faults for one in (fault.again or (fault,))]
    assert [place.partition(",")[0] for place in places] == ["bar 3", "bar 7", "bar 11", "bar 15"]
    assert len({one.where for one in found.mends}) == len(found.mends) == 4


def test_bars_in_which_a_chord_goes_on_are_not_missing() -> None:
    """Three of the changes by their names, the first of which lasts two bars."""
    tune = chart("key: D\nmetre: 4/4\n| D | D | G | G | A7 | Em | Bm | D |")
    assert check_tab(typed("D G A7"), tune).missing == (5, 6, 7)


def test_a_list_as_it_is_played_names_the_time_through() -> None:
    tune = chart("key: D\nmetre: 4/4\nsection A, twice\n| D | G | A7 | G |")
    found = check_tab(typed("D G A7 G D G A7 G").replace("4-2-3", "4-1-3"), tune)
    assert [one.where for one in found.mends] == [
        "bar 3 (1st time), beat 1",
        "bar 3 (2nd time), beat 1",
    ]
