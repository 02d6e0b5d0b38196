"""Frets counted from the capo: the printed number of each, and back again.

A player with a capo on counts the frets past it: the next whole-number fret is 1, the one after it
2, whatever lies between. A fret with a plus keeps it after the number of the whole fret below it:
with a capo at 3, the frets 4, 5, 6, 6+ and 7 are 1, 2, 3, 3+ and 4. A fret with a plus right past
the capo is 0+ (6+ with a capo at 6). A capo may sit at a fret with a plus itself: the next whole
fret is then 1 as well (7 with a capo at 6+). So the numbers are not those of a fretboard without a
capo: 2+ there may be, where the whole step lies elsewhere.

On a fretboard that has a fret at every semitone no fret stands out, and the string above the capo
is as the whole string was: there semitones past the capo have the names that they have from the
nut.

Common practice, no source.

Public: number_past, nut_number, label_past, semitones_past.
"""

from fretboard.errors import FretboardError
from fretboard.frets import fret_label, fret_semitones, parts


def number_past(label: str, capo: str) -> str:
    """A fret's number from the capo; both as they are called from the nut, the capo first."""
    if label == capo:
        return "0"
    number, plus = parts(label)
    return f"{number - parts(capo)[0]}{'+' * plus}"


def nut_number(text: str, capo: str) -> str:
    """What the fret with that number from the capo is called from the nut; for every such text
    ``number_past`` gives it back. FretboardError where the capo itself lies there."""
    number, plus = parts(text)
    if not number and not plus:
        return capo
    there = f"{number + parts(capo)[0]}{'+' * plus}"
    if there == capo:
        raise FretboardError(
            f"there is no fret {text.strip()} from the capo: the capo sits at fret {capo} itself; "
            "its open strings are 0"
        )
    return there


def label_past(fret: int, capo: int, chromatic: bool = False) -> str:
    """The number from the capo of a fret in semitones above the nut; chromatic: the fretboard has
    a fret at every semitone. FretboardError for what lies behind the capo."""
    if chromatic or not capo or fret < capo:
        return fret_label(fret - capo)
    return number_past(fret_label(fret), fret_label(capo))


def semitones_past(text: str, capo: int, chromatic: bool = False) -> int:
    """Semitones above the nut of a number counted from the capo; FretboardError for what is none.
    The inverse of ``label_past``."""
    if chromatic or not capo:
        return fret_semitones(text) + capo
    there = nut_number(text, fret_label(capo))
    try:
        return fret_semitones(there)
    except FretboardError as error:
        raise FretboardError(
            f"there is no fret {text.strip()} from the capo at {fret_label(capo)}; "
            f"from the nut: {error}"
        ) from None
