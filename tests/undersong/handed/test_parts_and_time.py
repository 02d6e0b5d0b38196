"""Tab that is a part of its tune, or goes beyond it; shapes that can be played, but not in time."""

from dataclasses import replace
from functools import cache

import pytest

from scoring.difficulty import rate
from solver.moments import moments_of
from tests.undersong.arranged import chart
from tune.tune import Tune
from undersong import check_tab
from undersong.handed.checking import Checked
from undersong.handed.rated import in_time_at, too_fast
from undersong.handed.whole import bar_ranges
from undersong.handed.words import report

FOUR = chart("key: D\nmetre: 4/4\n| D | G | A7 | D |")
EIGHT = chart("key: D\nmetre: 4/4\n| D | D | D | D | G | A7 | G | A7 |")
BARS = {
    "D": ("-0---4---", "---0---0-", "---2---2-"),
    "End": ("-0---0---", "---0---0-", "---2---2-"),
    "G": ("-3---0---", "---1---1-", "---0---0-"),
    "A7": ("-4---1---", "---2---2-", "---3---3-"),
}


def tab(chords: str) -> str:
    return "\n".join(
        f"|{'|'.join(BARS[chord][row] for chord in chords.split())}|" for row in range(3)
    )


def told(found: Checked) -> str:
    """The report in one line."""
    return " ".join(report(found).split())


def test_the_first_bars_alone() -> None:
    found = check_tab(tab("D G A7"), FOUR)
    assert found.missing == (3,)
    assert [(one.kind, one.fault) for one in found.findings] == [("missing", False)]
    assert found.sound
    page = told(found)
    assert "taken for bars 1 to 3, and bar 4 is missing" in page
    assert "What is there is sound: it is a part of this tune, and this hand can play it" in page
    assert "Still missing: bar 4." in page
    assert "Difficulty of what is there: hardest " in page


def test_a_part_from_the_middle_is_put_where_it_fits() -> None:
    found = check_tab(tab("G A7"), EIGHT)
    assert found.missing == (0, 1, 2, 3, 6, 7)
    assert found.sound_as_far_as_it_goes
    assert "taken for bars 5 and 6, and bars 1 to 4 and bars 7 and 8 are missing" in told(found)


def test_bars_left_out_between_others_are_missing_there() -> None:
    whole = chart("key: D\nmetre: 4/4\n| D | D | G | A7 | A7 | G | D | D |")
    found = check_tab(tab("D D G G D D"), whole)
    assert found.missing == (3, 4)
    assert found.sound_as_far_as_it_goes
    page = told(found)
    assert "taken for bars 1 to 3 and bars 6 to 8, and bars 4 and 5 are missing" in page
    one_gap = check_tab(tab("D G A7 D"), whole)
    assert one_gap.missing == (0, 4, 5, 7)
    assert one_gap.sound_as_far_as_it_goes


def test_a_number_that_is_changed_otherwise_each_time_says_so() -> None:
    found = check_tab(tab("D G A7").replace("---0---0-|---3---3-|", "---1---0-|---3---3-|"), FOUR)
    (change,) = found.changes
    both = replace(change, turns=(1,)), replace(change, turns=(2, 3), new=5)
    page = told(replace(found, changes=both))
    assert "The smallest change that mends it (1 string)" in page
    assert "-> 0 (the 1st time)" in page
    assert "-> 3 (the 2nd and 3rd time)" in page  # five semitones


def test_what_was_not_solved_is_not_called_playable() -> None:
    found = check_tab(tab("D G A7"), FOUR)
    page = told(replace(found, nearest=None, best=None, changes=(), why="no time"))
    assert "whether this hand can play it through is not known" in page
    assert "this hand can play it as it stands" not in page


def test_what_is_there_is_judged() -> None:
    found = check_tab(tab("D G A7").replace("---0---0-|---3---3-|", "---1---0-|---3---3-|"), FOUR)
    assert [(fault.kind, fault.where) for fault in found.faults] == [
        ("pitch", "bar 2, beat 2"),
    ]
    assert [change.where for change in found.changes] == ["bar 2, beat 2"]
    assert "Not there, so not judged: bar 4." in told(found)


def test_a_part_that_fits_nowhere_better_is_the_beginning() -> None:
    found = check_tab(tab("D D"), EIGHT)
    assert found.missing == (2, 3, 4, 5, 6, 7)


def test_shapes_that_are_too_few() -> None:
    found = check_tab("0-0-2 3-1-0 4-2-3", FOUR)
    assert found.missing == (3,)
    assert "the tab has 3 shapes, and the tune 4 bars; they are taken in order for bars 1" in told(
        found
    )


def test_bars_beyond_the_end_are_left_out() -> None:
    found = check_tab(tab("D G A7 D D G"), FOUR)
    assert [fault.kind for fault in found.faults] == ["beyond"]
    assert not found.sound
    page = told(found)
    assert "the tab has 6 bars, and the tune 4 bars; the last 2 are beyond its end" in page
    assert "As far as the tune goes it is sound, and this hand can play it" in page


def test_a_bar_in_which_nothing_sounds_may_be_left_out() -> None:
    """Bar 3 has no chord: four bars of the tab are bars 1, 2, 4 and 5, not 1 to 4."""
    tune = chart("key: D\nmetre: 4/4\n| D | G | N.C. | A7 | D |")
    found = check_tab(tab("D G A7 End"), tune)
    assert found.sound
    assert found.missing == ()
    assert [(one.kind, one.fault, one.words) for one in found.findings] == [
        ("missing", False, "bar 3 is not in the tab, and nothing sounds there")
    ]
    assert "Sound: it is this tune, and this hand can play it as it stands" in told(found)


def test_a_pickup_and_a_bar_in_which_nothing_sounds_may_both_be_left_out() -> None:
    tune = chart("key: D\nmetre: 4/4\npickup: 1/4\n| D | G | N.C. | A7 | D |")
    found = check_tab(tab("D G A7 End"), tune)
    assert found.sound
    assert found.missing == ()
    assert [one.words for one in found.findings] == [
        "bar 3 is not in the tab, and nothing sounds there"
    ]


def test_bars_left_out_of_a_tune_with_rests_are_missing_all_the_same() -> None:
    tune = chart("key: D\nmetre: 4/4\n| D | G | N.C. | A7 | D |")
    assert check_tab(tab("D G"), tune).missing == (2, 3, 4)
    held = chart("key: D\nmetre: 4/4\n| D | . | A7 | D |")
    assert check_tab(tab("D A7 End"), held).missing != ()


def test_a_pickup_that_is_there_is_not_taken_for_a_whole_bar() -> None:
    """As many bars as the tune has without its pickup, but the last is missing, not the pickup."""
    tune = chart("key: D\nmetre: 4/4\npickup: 1/4\n| D | D | G | A7 | D |")
    text = (
        "|-0-|-0---4---|-0---4---|-3---0---|-4---1---|\n"
        "|---|---0---0-|---0---0-|---1---1-|---2---2-|\n"
        "|---|---2---2-|---2---2-|---0---0-|---3---3-|"
    )
    found = check_tab(text, tune)
    assert found.missing == (5,)
    assert found.faults == ()


def test_bars_in_words() -> None:
    tune = chart("key: D\nmetre: 4/4\npickup: 1/4\n| D | D | G | A7 | D | D |")
    assert tune.bars[0].length < tune.bars[1].length
    assert bar_ranges(tune, [0, 1]) == "the pickup and bar 1"
    assert bar_ranges(tune, [1, 2, 3, 5, 6]) == "bars 1 to 3 and bars 5 and 6"
    assert bar_ranges(tune, [1, 3, 5]) == "bar 1, bar 3 and bar 5"


# time


@cache
def fast() -> Tune:
    return FOUR.at_tempo(400)


def test_shapes_that_can_be_played_but_not_in_the_time() -> None:
    found = check_tab(tab("D G A7 End"), fast())
    assert found.sound
    assert not found.in_time
    assert found.rating is not None
    late = too_fast(found.rating)
    assert [bar.bar for bar in late] == [3]
    page = told(found)
    assert "as it stands" not in page
    assert "this hand can stop every shape, but not in the time that there is: bar 3 (" in page
    assert f"bar 3 ({late[0].rating} %): 0.17 s of movement, and 0.15 s to make it" in page


def test_the_tempo_told_is_the_fastest_that_has_the_time() -> None:
    """Rated anew at that tempo, and at the next faster one."""
    found = check_tab(tab("D G A7 End"), fast())
    tempo, nearest = in_time_at(found), found.nearest
    assert tempo is not None
    assert nearest is not None
    assert f"At --tempo {tempo} there would be time." in told(found)
    most = []
    for per_minute in (tempo, tempo + 1):
        moments = moments_of(FOUR.at_tempo(per_minute), nearest.style, 3)
        rating = rate(nearest.choices, moments, nearest.instrument, nearest.hand)
        most.append(max(bar.parts.hurry for bar in rating.bars))
    assert most[0] <= 100 < most[1]


def test_a_tab_in_time_says_that_it_can_be_played() -> None:
    found = check_tab(tab("D G A7 End"), FOUR)
    assert found.in_time
    assert "this hand can play it as it stands." in told(found)
    assert found.rating is not None
    assert found.rating.hardest <= 100


def test_never_as_it_stands_beside_more_than_the_hand_can_do() -> None:
    """At every tempo the sentence agrees with the rating."""
    seen = set()
    for tempo in (80, 300, 400):
        found = check_tab(tab("D G A7 End"), FOUR.at_tempo(tempo), hand="small")
        page = told(found)
        assert found.rating is not None
        hurried = max(bar.parts.hurry for bar in found.rating.bars) > 100
        if hurried:
            kind = "but not in the time that there is"
        elif found.rating.hardest > 100:
            kind = "this hand can only just play it as it stands"
        else:
            kind = "this hand can play it as it stands"
        assert kind in page
        seen.add(kind)
    assert len(seen) == 3, seen


def test_a_repeat_of_the_tab_over_other_chords_is_judged_each_time() -> None:
    """Two bars repeated over D G A7 D: the second time is judged as bars 3 and 4, in order."""
    first, second = BARS["D"], BARS["G"]
    text = "\n".join(f"|:{one}|{other}:|" for one, other in zip(first, second, strict=True))
    found = check_tab(text, FOUR)
    assert found.missing == ()
    where = [fault.where for fault in found.faults]
    assert "bar 3, beat 1" in where, where
    assert "bar 4, beat 1" in where, where
    assert where == sorted(where)
    assert not [place for place in where if "after" in place], "signs of repeat take no time"


def test_signs_of_repeat_take_no_time() -> None:
    """Two columns a bar, which are not the right hand's four: they stand at beats 1 and 3."""
    tune = chart("key: D\nmetre: 4/4\n|: D | G :|")
    found = check_tab("|:-0-1-|-3-1-:|\n|:-----|-----:|\n|:-----|-----:|", tune)
    assert [fault.where for fault in found.faults] == ["bar 1, beat 3", "bar 2, beat 3"]


def test_a_part_of_our_own_page_is_sound_each_time_through() -> None:
    """What rings at its end does not ring on into its beginning the next time."""
    from undersong.api import read_tune
    from undersong.session import Session
    from undersong.sheet.text import text_tab

    session = Session(read_tune("kettle-on-at-nine"))
    lines = text_tab(session.arrange()).splitlines()
    at = next(n for n, line in enumerate(lines) if line.split()[:4] == ["5", "6", "7", "8"])
    found = check_tab("\n".join(lines[at : at + 10]), session.tune)
    assert found.missing == (*range(4), *range(8, 18))
    assert found.sound_as_far_as_it_goes
    assert found.changes == ()


# too many bars


@pytest.mark.parametrize(
    ("chords", "says"),
    [
        ("D G A7 D D G", "the last 2 are beyond its end and left out"),
        ("A7 A7 D G A7 D", "bars 1 and 2 of the tab (line 1) fit no bar of the tune and are left"),
        ("D G G A7 D", "bar 3 of the tab (line 1) fits no bar of the tune and is left out"),
    ],
)
def test_bars_too_many_are_found_where_they_are(chords: str, says: str) -> None:
    found = check_tab(tab(chords), FOUR)
    assert [fault.kind for fault in found.faults] == ["beyond"]
    assert says in told(found)
    assert found.sound_as_far_as_it_goes


def test_bars_too_many_of_a_tab_that_is_written_out() -> None:
    tune = chart("key: D\nmetre: 4/4\n|: D | G | A7 | D :|")
    for chords, says in (
        ("D G A7 D D G A7 D D", "the last is beyond its end"),
        ("D G A7 D D G G A7 D", "bar 7 of the tab (line 1) fits no bar of the tune"),
    ):
        found = check_tab(tab(chords), tune)
        assert [fault.kind for fault in found.faults] == ["beyond"], chords
        assert says in told(found)


@pytest.mark.parametrize("more", ["D", "D D"])
def test_a_missing_pickup_beside_bars_too_many(more: str) -> None:
    """Taken as it stands the first bar would be the pickup, and all others a bar too late."""
    tune = chart("key: D\nmetre: 4/4\npickup: 1/4\n| D | D | G | A7 | G | A7 |")
    found = check_tab(tab(f"D D G A7 G A7 {more}"), tune)
    assert [fault.kind for fault in found.faults] == ["beyond"]
    assert found.missing == (0,)
    assert "and the tune 7 bars with its pickup; the last " in told(found)
    assert "they are taken for bars 1 to 6, and the pickup is missing" in told(found)
