"""When bars begin in a recording, against times worked out by hand."""

import pytest

import undersong
from tests.undersong.desk.works import CHART
from tune.readers import read_data
from undersong.sheet.errors import SheetError
from undersong.sound.sound_options import SoundOptions
from undersong.sound.starts import bar_starts

TUNE = read_data(CHART.encode(), "stove.chart", None, "chart")
"""Four bars of four beats, 100 a minute: a beat lasts 0.6 s, a bar 2.4 s."""


def test_bars_begin_where_the_beats_say() -> None:
    found = bar_starts(undersong.arrange(TUNE), SoundOptions())
    assert found.begins == 0
    assert found.bars == ((1, 0.0), (2, 2.4), (3, pytest.approx(4.8)), (4, pytest.approx(7.2)))


def test_slower_and_counted_in() -> None:
    found = bar_starts(undersong.arrange(TUNE), SoundOptions(percent=50, count_in=1))
    assert found.begins == pytest.approx(4.8)
    assert [seconds for _, seconds in found.bars] == pytest.approx([4.8, 9.6, 14.4, 19.2])


def test_a_passage_begins_at_once() -> None:
    found = bar_starts(undersong.arrange(TUNE), SoundOptions(bars=(2, 3)))
    assert found.bars == ((2, 0.0), (3, pytest.approx(2.4)))


def test_a_passage_that_is_not_there() -> None:
    with pytest.raises(SheetError):
        bar_starts(undersong.arrange(TUNE), SoundOptions(bars=(2, 9)))
