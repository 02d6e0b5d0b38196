"""Frets as people write them: ``6+``, ``6½``, ``6.5``, and two numberings of the extra fret.

Where the fret between 6 and 7 is called 7, every higher number is one more than the trade's (one
published page, *Frets and Notes*, does so): 7 is 6+, 8 is 7, 8+ is 7+.

Public: NUMBER, Numbering, PLAIN, read_number, written_number.
"""

import re
from dataclasses import dataclass

from fretboard.errors import FretboardError
from fretboard.frets import fret_label, fret_semitones
from fretboard.past_capo import label_past, number_past, nut_number, semitones_past

NUMBER = re.compile(r"\d+(?:\+|½|\.5(?!\d))?")


@dataclass(frozen=True)
class Numbering:
    """seven_is_six_plus: the fret between 6 and 7 is called 7; capo: semitones of the capo that
    frets are counted from, 0 for the nut; chromatic: the fretboard has a fret at every semitone,
    where a capo is counted from otherwise (``fretboard.past_capo``)."""

    seven_is_six_plus: bool = False
    capo: int = 0
    chromatic: bool = False


PLAIN = Numbering()
"""The trade's, from the nut."""


def read_number(text: str, numbering: Numbering) -> int:
    """Semitones above the nut; FretboardError for what is no fret."""
    capo = numbering.capo
    if not numbering.seven_is_six_plus:
        return semitones_past(text, capo, numbering.chromatic)
    if numbering.chromatic or not capo:
        return _read_seven(text) + capo
    return _read_seven(nut_number(text, _seven(capo)))


def _read_seven(text: str) -> int:
    """Semitones of a number from the nut where 6+ is called 7."""
    digits = re.match(r"\d+", text)
    assert digits is not None, "only what NUMBER found is read"
    plus = len(digits.group()) < len(text)
    number = int(digits.group()[:4])
    if number < 7:
        return fret_semitones(text)
    if number == 7:
        if plus:
            raise FretboardError(f"there is no fret {text} where 6+ is called 7")
        return fret_semitones("6+")
    try:
        return fret_semitones(f"{number - 1}{'+' * plus}")
    except FretboardError:
        raise FretboardError(f"there is no fret {text} where 6+ is called 7") from None


def written_number(fret: int, numbering: Numbering) -> str:
    """The number of a fret (semitones above the nut), in the numbering of the tab; what lies behind
    the capo is counted from the nut."""
    capo = numbering.capo if fret >= numbering.capo else 0
    if not numbering.seven_is_six_plus:
        return label_past(fret, capo, numbering.chromatic)
    if numbering.chromatic or not capo:
        return _seven(fret - capo)
    return number_past(_seven(fret), _seven(capo))


def _seven(fret: int) -> str:
    """The number from the nut where 6+ is called 7."""
    label = fret_label(fret)
    number, plus = int(label.rstrip("+")), label.endswith("+")
    if number < 6 or label == "6":
        return label
    return "7" if label == "6+" else f"{number + 1}{'+' * plus}"
