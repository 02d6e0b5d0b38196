"""Fret numbers, semitones and millimetres.

Inside the program a fret is its number of semitones above the nut: 0 is the open string, 12 the
octave. On paper it has the trade's number: whole numbers are the diatonic frets (0, 2, 4, 5, 7, 9,
10, 12 … semitones), and ``n+`` lies a semitone above ``n``. ``6½`` and ``6.5`` are read as ``6+``.

Public: fret_label, fret_semitones, parts, position, is_extra, SCALE_STEPS, HIGHEST_SEMITONE,
EXTRA_FRETS.
"""

from fretboard.errors import FretboardError

SCALE_STEPS = (0, 2, 4, 5, 7, 9, 10)
"""Semitones of whole-number frets 0 to 6; fret 7 is the octave and the steps repeat."""

HIGHEST_SEMITONE = 36
"""The third octave: no fret lies higher."""

EXTRA_FRETS = ("1+", "6+", "8+", "13+")
"""The extra frets that makers put in by custom (common practice, no source)."""


def parts(label: str) -> tuple[int, bool]:
    """The whole number of a printed fret number, and whether a plus (``½``, ``.5``) follows it;
    FretboardError for what is written otherwise."""
    text = label.strip()
    for half in ("+", "½", ".5"):
        if text.endswith(half):
            number, plus = text[: -len(half)], True
            break
    else:
        number, plus = text, False
    if not (number.isascii() and number.isdigit()) or len(number) > 2:
        raise FretboardError(f"{label!r} is no fret number; write 0, 1, 1+, 2 … 6, 6+, 7 …")
    return int(number), plus


def fret_semitones(label: str) -> int:
    """Semitones above the nut of a printed fret number; FretboardError for what is none."""
    number, plus = parts(label)
    octave, step = divmod(number, 7)
    semitones = 12 * octave + SCALE_STEPS[step] + plus
    if plus and step in (2, 5):
        raise FretboardError(
            f"there is no fret {label.strip()}: frets {number} and {number + 1} "
            "are already a semitone apart"
        )
    if semitones > HIGHEST_SEMITONE:
        raise FretboardError(
            f"fret {label.strip()} lies beyond the third octave; fret 21 is the highest there is"
        )
    return semitones


def fret_label(semitones: int) -> str:
    """The printed number of the fret that many semitones above the nut."""
    if semitones < 0:
        raise FretboardError(f"a fret cannot lie {-semitones} semitones behind the nut")
    octave, rest = divmod(semitones, 12)
    for step in range(6, -1, -1):
        if SCALE_STEPS[step] == rest:
            return str(7 * octave + step)
        if SCALE_STEPS[step] == rest - 1:
            return f"{7 * octave + step}+"
    raise AssertionError("every semitone is a step or one above a step")


def is_extra(semitones: int) -> bool:
    """Whether the fret lies between whole-number ones: ``n+``."""
    return fret_label(semitones).endswith("+")


def position(scale_mm: float, semitones: int) -> float:
    """Distance from the nut in mm: L(1 − 2^(−s/12)), the equal-tempered fretting rule."""
    return scale_mm * (1.0 - float(2.0 ** (-semitones / 12.0)))
