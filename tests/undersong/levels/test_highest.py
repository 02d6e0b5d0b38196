"""The highest fret of a level, counted past the capo as pages count."""

import pytest

from fretboard.frets import fret_semitones
from fretboard.presets import instrument
from solver.style import Style
from undersong.levels import Level


@pytest.mark.parametrize(
    ("highest", "capo", "real"),
    [  # common practice, no source: the frets past the capo are counted
        ("2", "0", "2"),
        ("2", "4", "6"),
        ("3", "3", "6"),
        ("6+", "0", "6+"),
        ("7", "1", "8"),
        ("1+", "4", "5"),  # there is no half fret past fret 5
        ("21", "3", "21"),
    ],
)
def test_the_highest_fret_of_a_level_is_counted_from_the_capo(
    highest: str, capo: str, real: str
) -> None:
    level = Level(1, "The bass walks.", "walking", highest=fret_semitones(highest))
    on = instrument(capo=capo)
    limits = level.limits(on)
    assert limits is not None
    assert limits.fret == fret_semitones(real)
    assert level.style(Style(highest=36, bass_ceiling=36), on).highest == limits.fret - on.capo
    assert level.caps == f"no fret above {highest}"
