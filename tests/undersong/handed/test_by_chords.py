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
