"""Bars of a melody are found by its notes, where the chords around them are the same; worked by
hand: on a melody string tuned to D4 the frets 0 1 2 3 4 5 6+ 7 are D E F# G A B C# D."""

from solver.style import Style, usual_manner
from tune.readers.abc import read_abc
from undersong import check_tab
from undersong.handed.checking import Checked
from undersong.handed.sung import in_order

TUNE = read_abc(
    "X:1\nT:Harrow Lane Exercise\nM:4/4\nL:1/4\nQ:1/4=90\nK:D\n"
    '"D"DFAF|"D"dcBA|"G"GABG|"A"ABcA|"G"BGED|"D"D2D2|]\n'
)
BARS = ["0-2-4-2-", "7-6+5-4-", "3-4-5-3-", "4-5-6+4-", "5-3-1-0-", "0---0---"]


def drone(*bars: int) -> str:
    """A tab of those bars of the tune, from 1, every string struck with each note."""
    melody = [BARS[bar - 1] for bar in bars]
    under = ["0-0-0-0-" if bar != 6 else "0---0---" for bar in bars]
    return "\n".join("|-" + "|-".join(row) + "|" for row in (under, under, melody))


def check(text: str, texture: str = "drone") -> Checked:
    hand = "noter" if texture == "drone" else "medium"
    return check_tab(text, TUNE, style=Style(usual_manner(texture), texture=texture), hand=hand)


def test_a_bar_of_a_drone_that_is_left_out_is_found_though_the_chords_are_the_same() -> None:
    for left_out in range(1, 7):
        bars = [bar for bar in range(1, 7) if bar != left_out]
        found = check(drone(*bars))
        assert found.missing == (left_out - 1,)
        assert found.faults == ()


def test_a_part_that_begins_later_is_found_by_its_melody() -> None:
    assert check(drone(2, 3, 4)).missing == (0, 4, 5)


def test_a_wrong_note_is_no_sign_of_another_bar() -> None:
    found = check(drone(1, 3, 4, 5, 6).replace("4-5-6+4-", "4-5-4-4-"))
    assert found.missing == (1,)
    assert [fault.where for fault in found.faults] == ["bar 4, beat 3"]


def test_a_bar_of_a_solo_that_is_left_out_is_found_too() -> None:
    under = "0-------|-3-------|-1-------|-3-------|-0---0---|"
    middle = "--------|-1-------|---------|-1-------|---------|"
    melody = "|-".join(BARS[bar - 1] for bar in (1, 3, 4, 5, 6))
    found = check(f"D|-{under}\nA|{middle}\nd|-{melody}|", "solo")
    assert found.missing == (1,)


def test_a_bar_with_little_in_it_is_not_taken_for_one_with_few_notes() -> None:
    """One A4, with which no bar begins but the first; D4 alone is in the last."""
    tune = read_abc(
        'X:1\nT:Harrow Lane Exercise\nM:4/4\nL:1/4\nQ:1/4=90\nK:D\n"D"AFAF|"G"GABG|"D"D4|]\n'
    )
    found = check_tab("|-0-|\n|-0-|\n|-4-|", tune, style=Style(texture="solo"))
    assert found.missing == (1, 2)


def test_notes_in_their_order() -> None:
    """The longest run of notes in order, each as early as can be."""
    assert in_order([1, 2, 3], [{1}, {5}, {2, 7}, {3}]) == [(0, 0), (1, 2), (2, 3)]
    assert in_order([1, 2, 3], [{3}, {1}, {2}]) == [(0, 1), (1, 2)]
    assert in_order([1, 1], [{1}, {1}, {1}]) == [(0, 0), (1, 1)]
    assert in_order([], [{1}]) == in_order([1], []) == []
