"""The values of a chart's ``field: value`` lines.

Lengths are parts of a whole note, as notes are named: 1/4 is a quarter note.

Public: FIELDS, short, read_key, read_length, read_metre, read_tempo, read_times,
length_text, ORIGINS.
"""

import re
from fractions import Fraction

from tune.errors import TuneError
from tune.key import MODES, Key
from tune.time import QUARTER, Metre, Tempo, ticks
from tune.tune import DRONE, EDITED, GIVEN, PROPOSED

FIELDS = ("title", "composer", "source", "licence", "key", "metre", "tempo", "pickup", "chords")
"""The fields of a chart, in the order in which they are written."""

_LENGTH = re.compile(r"(\d{1,4})\s*/\s*(\d{1,5})", re.ASCII)
_TEMPO = re.compile(r"(?:(\d{1,4}\s*/\s*\d{1,5})\s*=\s*)?(\d{1,4})", re.ASCII)
_KEY = re.compile(r"([A-Ga-g][#b]?)\s*(.*)")
_TIMES = re.compile(
    r"(?:played\s+)?(?:(once|twice|thrice)|(\w+)\s+times)(?:\s+with\s+endings)?", re.IGNORECASE
)
_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_MODE_NAMES = (*MODES, "ionian", "aeolian")

ORIGINS = {
    PROPOSED: "proposed by Undersong",
    EDITED: "proposed by Undersong, then edited",
    DRONE: "a drone on the tonic",
    GIVEN: "given",
}
"""Where a tune's chords come from, in words."""


def short(words: str) -> str:
    """Words out of a chart, cut to fit into a sentence."""
    return words if len(words) <= 40 else words[:37] + "..."


def read_length(words: str) -> int:
    """Ticks of a length such as ``1/4``."""
    parts = _LENGTH.fullmatch(words.strip())
    if parts is None or int(parts[1]) == 0 or int(parts[2]) == 0:
        raise TuneError(f"a length is written as in 1/4 (a quarter note), not {short(words)!r}")
    return ticks(Fraction(4 * int(parts[1]), int(parts[2])))


def length_text(length: int) -> str:
    """A length in ticks as a part of a whole note: 10080 is ``1/4``."""
    part = Fraction(length, 4 * QUARTER)
    return f"{part.numerator}/{part.denominator}"


def read_metre(words: str) -> Metre:
    """A time signature such as ``3/4``."""
    parts = _LENGTH.fullmatch(words.strip())
    if parts is None:
        raise TuneError(f"a metre is written as in 3/4, not {short(words)!r}")
    return Metre(int(parts[1]), int(parts[2]))


def read_key(words: str) -> Key:
    """A key such as ``D``, ``Em``, ``D mixolydian`` or ``A dor``."""
    plain = words.strip().replace("♯", "#").replace("♭", "b")
    parts = _KEY.fullmatch(plain)
    if parts is not None:
        tonic, mode = parts[1][0].upper() + parts[1][1:], parts[2].strip()
        if mode in ("", "m", "M"):
            return Key(tonic, "minor" if mode == "m" else "major")
        for name in _MODE_NAMES:
            if len(mode) >= 3 and name.startswith(mode.lower()):
                return Key(tonic, {"ionian": "major", "aeolian": "minor"}.get(name, name))
    raise TuneError(
        f"a key is written as in D, E minor or D mixolydian, not {short(words)!r}; "
        f"the modes are {', '.join(MODES)}"
    )


def read_tempo(words: str, metre: Metre) -> Tempo:
    """``110`` felt beats a minute, or the beat said too: ``1/4 = 110``."""
    parts = _TEMPO.fullmatch(words.strip())
    if parts is None:
        raise TuneError(f"a tempo is written as in 110 or 1/4 = 110, not {short(words)!r}")
    return Tempo(read_length(parts[1]) if parts[1] else metre.beat, int(parts[2]))


def read_times(words: str) -> int | None:
    """How often ``twice``, ``three times`` or ``3 times`` is; None for other words."""
    parts = _TIMES.fullmatch(words.strip())
    if parts is None:
        return None
    if parts[1]:
        return ("once", "twice", "thrice").index(parts[1].lower()) + 1
    number = parts[2].lower()
    if number in _NUMBERS:
        return _NUMBERS.index(number) + 1
    return int(number) if re.fullmatch(r"[1-9]\d?", number, re.ASCII) else None
