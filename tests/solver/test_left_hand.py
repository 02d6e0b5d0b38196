"""What the default hand prefers, where printed advice on the left hand agrees (TRADE "Left hand").

Where sources conflict (index–middle–ring laid across, or middle and ring, under the thumb of
3-3-5) nothing is asked but what they share.
"""

import pytest

from fretboard.presets import instrument
from solver.conditions import Conditions
from solver.conditions.bars import WHOLE
from solver.conditions.pin_text import read_pinned
from solver.conditions.pins import Pin
from solver.righthand import right_hand
from solver.style import Style
from tests.solver.laid_out import tune
from undersong.api import arrange

STRUM = Style(manner="roots", right_hand=right_hand("full-strum"))


def fingers(chord: str, shape: str) -> str:
    """The letters of the proven best fingering of a chord held for two bars."""
    pin = Pin(WHOLE, read_pinned(shape, instrument()))
    made = arrange(tune("4/4", chord, ""), style=STRUM, conditions=Conditions(pins=(pin,)))
    letters = {tuple(made.hand.letter(f) if f >= 0 else "-" for f in c.grip.fingers)
               for c in made.choices}  # fmt: skip
    assert len(letters) == 1, "nothing asks the hand to move"
    return "".join(letters.pop())


def test_the_thumb_takes_the_highest_fret_of_the_melody_string() -> None:
    # "This Thing Has 4 Strings!", Mountain Dulcimer Lessons 2 (3-3-5)
    assert fingers("G", "3-3-5")[2] == "T"


@pytest.mark.parametrize(("chord", "shape"), [("G/B", "5-3-3"), ("A", "4-2-1")])
def test_the_thumb_takes_the_bass_where_that_is_the_highest(chord: str, shape: str) -> None:
    # "Finger Positions" (5-3-3); 4-2-1: common practice, no source
    assert fingers(chord, shape)[0] == "T"


def test_a_lone_finger_is_one_that_its_string_is_used_to() -> None:
    # "This Thing Has 4 Strings!": melody = thumb or little finger, bass = middle; index on the
    # melody, thumb and ring on the bass: common practice, no source
    assert fingers("D", "0-0-2")[2] in "TIP"
    assert fingers("D/F#", "2-0-0")[0] in "TMR"
