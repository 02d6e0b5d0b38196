"""Bars, pickup, repeats and endings of MusicXML, worked by hand."""

from fractions import Fraction

from tests.tune.musicxml_score import measure, note, tune_of
from tune.time import QUARTER

# --- bars ---


def test_a_pickup_is_bar_0_and_its_complement_is_expected() -> None:
    tune = tune_of(
        measure(note("A3", 12), "0", ' implicit="yes"'),
        measure(note("D4", 48), "1"),
        measure(note("D4", 36), "2"),
    )
    assert [(bar.number, bar.length // QUARTER) for bar in tune.bars] == [(0, 1), (1, 4), (2, 3)]
    assert tune.pickup
    assert tune.notices == ()


def test_a_bar_of_another_length_is_told() -> None:
    tune = tune_of(
        measure(note("D4", 48)), measure(note("D4", 30), "2"), measure(note("D4", 48), "3"),
        measure(note("D4", 48) + note("D4", 12), "4"), measure(note("D4", 48), "5"),
    )  # fmt: skip
    assert tune.bars[1].length == Fraction(5, 2) * QUARTER
    assert tune.notices == (
        "bar 2: the bar is 3/2 quarters shorter than its metre; taken as it is",
        "bar 4: the bar is 1 quarter longer than its metre; taken as it is",
    )


def test_bars_that_are_numbered_with_letters_keep_the_number_before() -> None:
    tune = tune_of(
        measure(note("D4", 48), "7"), measure(note("D4", 48), "X1", ' implicit="yes"'),
        measure(note("D4", 48), "8"),
    )  # fmt: skip
    assert [bar.number for bar in tune.bars] == [7, 7, 8]


# --- repeats ---


def line(where: str, *, ending: tuple[str, str] | None = None, repeat: str = "") -> str:
    inside = f'<ending number="{ending[0]}" type="{ending[1]}"/>' if ending else ""
    return f'<barline location="{where}">{inside}{repeat}</barline>'


FORWARD = '<repeat direction="forward"/>'
BACKWARD = '<repeat direction="backward"/>'


def bar(number: int, left: str = "", right: str = "") -> str:
    return measure(left + note("D4", 48) + right, str(number))


def played(*measures: str) -> list[int]:
    tune = tune_of(*measures)
    return [tune.bars[one.written].number for one in tune.played]


def test_a_repeat_goes_back_to_its_sign() -> None:
    assert played(
        bar(1), bar(2, line("left", repeat=FORWARD)), bar(3, "", line("right", repeat=BACKWARD)),
        bar(4),
    ) == [1, 2, 3, 2, 3, 4]  # fmt: skip


def test_a_repeat_may_be_played_three_times() -> None:
    three = '<repeat direction="backward" times="3"/>'
    assert played(bar(1), bar(2, "", line("right", repeat=three))) == [1, 2] * 3


def test_signs_on_the_far_side_of_a_bar_line_mean_the_same() -> None:
    assert played(
        bar(1, "", line("right", repeat=FORWARD)),
        bar(2),
        bar(3, line("left", repeat=BACKWARD)),
    ) == [1, 2, 2, 3]


def test_first_and_second_endings() -> None:
    assert played(
        bar(1, line("left", repeat=FORWARD)),
        bar(2, line("left", ending=("1", "start"))),
        bar(3, "", line("right", ending=("1", "stop"), repeat=BACKWARD)),
        bar(4, line("left", ending=("2", "start")), line("right", ending=("2", "discontinue"))),
        bar(5),
    ) == [1, 2, 3, 1, 4, 5]


def test_an_ending_for_two_times_and_one_for_the_third() -> None:
    assert played(
        bar(1, line("left", repeat=FORWARD)),
        bar(2, line("left", ending=("1, 2", "start")),
            line("right", ending=("1, 2", "stop"), repeat=BACKWARD)),
        bar(3, line("left", ending=("3", "start")), line("right", ending=("3", "stop"))),
    ) == [1, 2, 1, 2, 1, 3]  # fmt: skip


def test_an_ending_that_is_never_closed_ends_with_its_repeat() -> None:
    assert played(
        bar(1),
        bar(2, line("left", ending=("1", "start")), line("right", repeat=BACKWARD)),
        bar(3, line("left", ending=("2", "start")), line("right", ending=("2", "stop"))),
        bar(4),
    ) == [1, 2, 1, 3, 4]


def test_an_ending_may_be_numbered_by_its_printed_text() -> None:
    first = '<barline location="left"><ending number=" " type="start">1.</ending></barline>'
    assert played(
        bar(1),
        bar(2, first, line("right", ending=(" ", "stop"), repeat=BACKWARD).replace(
            'type="stop"/>', 'type="stop">1.</ending>')),
        bar(3, line("left", ending=("2", "start")), line("right", ending=("2", "stop"))),
    ) == [1, 2, 1, 3]  # fmt: skip


def test_jumps_are_told_not_followed() -> None:
    tune = tune_of(bar(1), measure('<sound dacapo="yes"/>' + note("D4", 48), "2"))
    assert len(tune.played) == 2
    assert tune.notices == ("bar 2: da capo ignored; the bars are played as they stand",)
