"""What a page says of the bass, beside what the bill counts of it."""

import pytest

from solver.style import Style
from tune.bar_names import bars_named
from undersong.api import read_tune
from undersong.session import Session
from undersong.sheet.bass_words import bass_words

BOTH = "the root stands in for the fifth and the octave"
SLASHED = "the root and the note after the slash stand in for the fifth and the octave"


@pytest.mark.parametrize(
    ("name", "manner", "texture", "answers"),
    [
        ("wet-boots-in-the-porch", "figure", "bass", BOTH),
        ("lantern-path", "figure", "bass", SLASHED),
        ("kettle-on-at-nine", "alternating-fourth", "song", "the root stands in for the fourth"),
        ("harrow-lane", "runs", "song", ""),
    ],
)
def test_bars_in_which_the_root_stands_in_are_those_of_the_bill(
    name: str, manner: str, texture: str, answers: str
) -> None:
    """The scoring room counts answers that are missed by itself (``missed-answer``)."""
    arrangement = Session(read_tune(name), style=Style(manner, texture=texture)).arrange()
    missed = {
        arrangement.tune.bars[moment.written].number
        for moment, amounts in zip(arrangement.moments, arrangement.bill.amounts, strict=True)
        if amounts.get("missed-answer")
    }
    told = bass_words(arrangement)
    assert told.startswith(f"{manner}: ")
    assert bool(missed) == bool(answers)
    assert told.endswith(f"; {answers} in {bars_named(missed)}" if missed else told[-1])


def test_a_solo_says_where_its_bass_string_rings_open() -> None:
    """Bars by the choices themselves; the roots that the melody leaves in reach are none of it."""
    made = Session(read_tune("harrow-lane"), style=Style(texture="solo")).arrange()
    rings = {
        made.tune.bars[moment.written].number
        for moment, choice in zip(made.moments, made.choices, strict=True)
        if choice.struck[0] and choice.role == "drone"
    }
    told = bass_words(made)
    assert rings
    assert f"the open string stands in, whatever the chord, in {bars_named(rings)}" in told
    assert "; stands in" not in told
