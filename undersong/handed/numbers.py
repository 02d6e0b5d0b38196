"""Frets as people write them: ``6+``, ``6½``, ``6.5``, and two numberings of the extra fret.

Where the fret between 6 and 7 is called 7, every higher number is one more than the trade's (one
published page, *Frets and Notes*, does so): 7 is 6+, 8 is 7, 8+ is 7+.

Public: NUMBER, Numbering, PLAIN, read_number, written_number.
"""

import re
from dataclasses import dataclass

from fretboard.errors import FretboardError
from fretboard.frets import fret_label, fret_semitones

NUMBER = re.compile(r"\d+(?:\+|½|\.5(?!\d))?")


@dataclass(frozen=True)
class Numbering:
    """seven_is_six_plus: the fret between 6 and 7 is called 7; capo: semitones that are added, for
    frets counted from a capo."""

    seven_is_six_plus: bool = False
    capo: int = 0


PLAIN = Numbering()
"""The trade's, from the nut."""


def read_number(text: str, numbering: Numbering) -> int:
    """Semitones above the nut; FretboardError for what is no fret."""
    digits = re.match(r"\d+", text)
    assert digits is not None, "only what NUMBER found is read"
    plus = len(digits.group()) < len(text)
    number = int(digits.group()[:4])
    if not numbering.seven_is_six_plus or number < 7:
        return fret_semitones(text) + numbering.capo
    if number == 7:
        if plus:
            raise FretboardError(f"there is no fret {text} where 6+ is called 7")
        return fret_semitones("6+") + numbering.capo
    try:
        return fret_semitones(f"{number - 1}{'+' * plus}") + numbering.capo
    except FretboardError:
        raise FretboardError(f"there is no fret {text} where 6+ is called 7") from None


def written_number(fret: int, numbering: Numbering) -> str:
    """The number of a fret (semitones above the nut), in the numbering of the tab; what lies behind
    the capo is counted from the nut."""
    label = fret_label(fret - numbering.capo if fret >= numbering.capo else fret)
    number, plus = int(label.rstrip("+")), label.endswith("+")
    if not numbering.seven_is_six_plus or number < 6 or label == "6":
        return label
    return "7" if label == "6+" else f"{number + 1}{'+' * plus}"
