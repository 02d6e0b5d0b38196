"""Melodies moved by octaves, and the phrases that they are moved by."""

import pytest

from tests.tune.abc_tune import read
from tune.errors import TuneError
from tune.octaves import by_octaves, phrases
from tune.tune import Tune


def midis(tune: Tune) -> list[list[int | None]]:
    return [[note.midi for note in bar.notes] for bar in tune.bars]


def test_some_bars_move_and_chords_stay() -> None:
    tune = read('"D"DFAd|"G"G2zB|"A"A4|]', unit="1/4", key="D")
    moved = by_octaves(tune, {1}, -1)
    assert midis(moved) == [[62, 66, 69, 74], [55, None, 59], [69]]
    assert [bar.chords for bar in moved.bars] == [bar.chords for bar in tune.bars]
    assert by_octaves(by_octaves(tune, {0, 2}, 2), {0, 2}, -2) == tune


def test_a_note_that_would_leave_the_page_is_told() -> None:
    with pytest.raises(TuneError, match="bar 1: moved so far, a melody note can no longer be"):
        by_octaves(read("D4|]", unit="1/4"), {0}, -6)


def test_phrases_are_four_full_bars_from_where_the_music_begins() -> None:
    # four-bar phrases, the pickup with the first: common practice, no source
    pickup = read("A|" + "D4|" * 10 + "]", unit="1/4")
    assert phrases(pickup) == (range(5), range(5, 9), range(9, 11))
    repeated = read("|:" + "D4|" * 5 + "D4:|" + "|:" + "E4|" * 3 + "E4:|", unit="1/4")
    assert phrases(repeated) == (range(4), range(4, 6), range(6, 10))
