"""Bars by what a page calls them; a pickup has no number there (common practice, no source)."""

from tune.bar_names import bar_name, bars_named, bars_there
from tune.errors import Place


def test_a_bar_has_its_number_and_a_pickup_none() -> None:
    assert (bar_name(7), bar_name(0)) == ("bar 7", "the pickup")
    assert str(Place("gate.abc", bar=0)) == "gate.abc, the pickup"


def test_bars_are_told_in_ranges() -> None:
    told = [bars_named(bars) for bars in ((4,), (1, 2, 3, 5), (13, 9, 9), (0,), (0, 1), (2, 1, 0))]
    assert told == [
        "bar 4", "bars 1-3, 5", "bars 9, 13",
        "the pickup", "the pickup and bar 1", "the pickup and bars 1-2",
    ]  # fmt: skip


def test_what_a_tune_has_tells_how_a_pickup_is_typed() -> None:
    assert bars_there((1, 2, 2, 3)) == "bars 1 to 3"
    assert bars_there((0, 1, 2)) == "bars 1 to 2 and a pickup (bar 0)"
    assert bars_there((5,)) == "bar 5 alone"
