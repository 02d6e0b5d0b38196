"""Terms of the chord: which of its tones are missing where it is judged.

A tone that has sounded since the chord began is still in the ear (``fading``), so its absence
costs about a quarter of that of a tone not heard at all (``missing``). Third stands for the
suspended second or fourth too; seventh for the sixth and ninth. The fifth is the least missed: it
has one small price, heard before or not.

Public: TERMS.
"""

from collections.abc import Callable

import numpy as np

from scoring.choice import Ints, Stands, sounding_bits
from scoring.moment import Moment
from scoring.term import About, StandTerm

_PRACTICE = "common practice, no source"
_DEGREES = {
    "root": ("root",),
    "third": ("third", "second", "fourth"),
    "fifth": ("fifth",),
    "seventh": ("seventh", "sixth", "ninth"),
}


def _absent(degree: str, in_the_ear: bool | None) -> Callable[[Stands, Moment], Ints]:
    """Counts tones of one degree that do not sound: heard before, never heard, or either (None)."""

    def amount(stands: Stands, moment: Moment) -> Ints:
        total = np.zeros(len(stands.shapes), np.int32)
        if moment.chord is None or not moment.judged:
            return total
        sounding = sounding_bits(stands.shapes, moment.chord)
        for bit, name in enumerate(moment.chord.degrees):
            if name in _DEGREES[degree]:
                silent = (sounding >> bit & 1) == 0
                heard = (stands.heard >> bit & 1) == 1
                counted = silent if in_the_ear is None else silent & (heard == in_the_ear)
                total += counted.astype(np.int32)
        return total

    return amount


def _term(degree: str, in_the_ear: bool, default: int) -> StandTerm:
    word = "fading" if in_the_ear else "missing"
    meaning = (
        f"the chord's {degree} was heard earlier but does not sound with the strum"
        if in_the_ear
        else f"the chord's {degree} has not been heard"
    )
    about = About(f"{degree}-{word}", "strum", meaning, _PRACTICE, default)
    return StandTerm(about, _absent(degree, in_the_ear))


TERMS = (
    _term("root", False, 140),
    _term("root", True, 35),
    _term("third", False, 240),
    _term("third", True, 60),
    StandTerm(
        About("fifth-missing", "strum", "the chord's fifth does not sound", _PRACTICE, 15),
        _absent("fifth", None),
    ),
    _term("seventh", False, 180),
    _term("seventh", True, 45),
)
