"""Shapes and strings as a player types them: ``3-1-0``, ``3-1-0 TI``, ``bass``, ``M``.

Frets are the trade's numbers, counted from the nut or, where asked, from the capo; ``x`` is a
silent string, ``*`` any. Fingers are T I M R P, one for each string that is stopped, bass first;
``*`` is any finger. Everything else is a ConditionError that says what to write.

Public: SILENT, Frets, Fingers, read_shape, read_fret, read_finger, looks_like_shape, shown_shape,
shown_fret, Written.
"""

import re
from collections.abc import Callable

from fretboard.errors import FretboardError
from fretboard.frets import fret_label
from fretboard.hand import FINGERS
from fretboard.instrument import Instrument
from solver.errors import ConditionError

SILENT = -1

Written = Callable[[int], str]
"""A fret in semitones above the nut as it is written: ``fret_label``, or ``Instrument.told``."""

Frets = tuple[int | None, ...]
"""Semitones above the nut a course, ``SILENT`` for a string that does not sound, None for any."""

Fingers = tuple[int | None, ...]
"""Finger numbers a course, -1 for a string that no finger stops, None for any."""

_HYPHEN = re.compile(r"\s*[-–]\s*")
_SHAPE = re.compile(r"[0-9xX*][0-9+½.]*(?:\s*[-–]\s*[0-9xX*][0-9+½.]*)+(?:\s+\S.*)?")


def looks_like_shape(text: str) -> bool:
    """Whether a text is meant as frets across the strings."""
    return _SHAPE.fullmatch(text.strip()) is not None


def read_shape(
    text: str, instrument: Instrument, from_capo: bool = False
) -> tuple[Frets, Fingers | None]:
    """The frets and fingers of ``3-1-0 TI``; fingers None where none are written."""
    if not looks_like_shape(text):
        raise ConditionError(f"{text!r} is no shape; write its frets, bass first, such as 3-1-0")
    head, *tail = re.split(r"(?<=[0-9+½xX*])\s+(?![-–])", text.strip(), maxsplit=1)
    parts = _HYPHEN.split(head)
    courses = len(instrument.courses)
    if len(parts) != courses:
        raise ConditionError(
            f"{text!r} has {counted(len(parts), 'fret')}, but the instrument has {courses} strings"
        )
    frets = tuple(read_fret(part, instrument, from_capo) for part in parts)
    if not tail:
        return frets, None
    return frets, _fingers(tail[0], frets, instrument.capo, text)


def read_fret(text: str, instrument: Instrument, from_capo: bool = False) -> int | None:
    """A fret in semitones above the nut; ``SILENT`` for x, None for ``*``."""
    text = text.strip().lower()
    if text in ("x", "*"):
        return SILENT if text == "x" else None
    try:
        return instrument.fret_of(text, from_capo)
    except FretboardError as error:
        raise ConditionError(str(error)) from None


def read_finger(text: str) -> int:
    """A finger's number."""
    letter = text.strip().upper()
    if len(letter) != 1 or letter not in FINGERS:
        raise ConditionError(f"{text.strip()!r} is no finger; the fingers are T I M R P")
    return FINGERS.index(letter)


def _fingers(text: str, frets: Frets, capo: int, whole: str) -> Fingers:
    letters = re.sub(r"[\s,]", "", text)
    stopped = [fret is not None and fret > capo for fret in frets]
    if len(letters) != sum(stopped):
        raise ConditionError(
            f"{whole!r} names {counted(len(letters), 'finger')} for "
            f"{counted(sum(stopped), 'stopped string')}; "
            "write one for each, bass first, such as 3-1-0 TI"
        )
    given = iter(None if letter == "*" else read_finger(letter) for letter in letters)
    return tuple(
        next(given) if down else (None if fret is None else -1)
        for fret, down in zip(frets, stopped, strict=True)
    )


def counted(count: int, what: str) -> str:
    """``1 shape``, ``2 shapes``."""
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def shown_shape(frets: Frets, fingers: Fingers | None = None, written: Written = fret_label) -> str:
    """The shape as it is typed."""
    text = "-".join(shown_fret(fret, written) for fret in frets)
    if fingers is None or all(finger in (None, -1) for finger in fingers):
        return text
    letters = "".join(
        "*" if finger is None else FINGERS[finger]
        for fret, finger in zip(frets, fingers, strict=True)
        if fret is not None and finger != -1
    )
    return f"{text} {letters}"


def shown_fret(fret: int | None, written: Written = fret_label) -> str:
    """A fret as it is typed."""
    if fret is None:
        return "*"
    return "x" if fret == SILENT else written(fret)
