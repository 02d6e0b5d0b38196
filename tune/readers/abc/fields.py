"""ABC's fields that hold numbers: metre, unit length and tempo (ABC 2.1 §3.1.6–3.1.8).

Lengths are fractions of a quarter note, since ABC's own fractions of a whole note are turned
into quarters as soon as they are read.

Public: read_metre, read_unit, usual_unit, read_tempo, FREE_METRE.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from tune.errors import TuneError
from tune.time import Metre, Tempo, ticks

FREE_METRE = Metre(4, 4)
"""What free metre (``M:none``) is counted in; its bars keep whatever length they have."""

_FRACTION = re.compile(r"\s*([0-9]{1,4})\s*/\s*([0-9]{1,4})\s*")
_SUM = re.compile(r"\(?\s*([0-9]{1,2}(?:\s*\+\s*[0-9]{1,2})*)\s*\)?\s*/\s*([0-9]{1,3})")
_OLD_TEMPO = re.compile(r"(?:C([0-9]{0,2})\s*=\s*)?([0-9]{1,4})")
_TEMPO = re.compile(
    r"((?:[0-9]{1,3}\s*/\s*[0-9]{1,3}\s+)*[0-9]{1,3}\s*/\s*[0-9]{1,3})\s*="
    r"\s*([0-9]{1,4})(?:\.([0-9]{1,3}))?"
)


@dataclass(frozen=True)
class TempoField:
    """What a ``Q:`` says: a tempo, or words alone."""

    tempo: Tempo | None
    words: str = ""


def read_metre(text: str) -> Metre | None:
    """The metre of an ``M:`` field; None for free metre (``M:none``)."""
    plain = text.strip()
    if plain.lower() in ("none", ""):
        return None
    if plain in ("C", "c"):
        return Metre(4, 4)
    if plain in ("C|", "c|"):
        return Metre(2, 2)
    match = _SUM.fullmatch(plain)
    if match is None:
        raise TuneError(f"the metre M:{plain} cannot be read; write it like M:6/8, M:C or M:C|")
    return Metre(sum(int(part) for part in match.group(1).split("+")), int(match.group(2)))


def _quarters(text: str) -> Fraction | None:
    match = _FRACTION.fullmatch(text)
    if match is None or int(match.group(2)) == 0 or int(match.group(1)) == 0:
        return None
    return Fraction(int(match.group(1)), int(match.group(2))) * 4


def read_unit(text: str) -> Fraction:
    """The unit note length of an ``L:`` field, in quarters."""
    plain = text.strip()
    unit = Fraction(4) if plain == "1" else _quarters(plain)
    if unit is None or unit > 4 or unit.denominator & (unit.denominator - 1):
        raise TuneError(f"the unit length L:{plain} cannot be read; write it like L:1/8")
    if unit < Fraction(1, 32):
        raise TuneError(f"the unit length L:{plain} is too short; L:1/128 is the shortest")
    return unit


def usual_unit(metre: Metre | None) -> Fraction:
    """The unit where no ``L:`` stands, in quarters: a sixteenth in metres under 3/4, else an eighth

    (ABC 2.1 §3.1.7).
    """
    if metre is not None and Fraction(metre.beats, metre.unit) < Fraction(3, 4):
        return Fraction(1, 4)
    return Fraction(1, 2)


def read_tempo(text: str, unit: Fraction) -> TempoField:
    """The tempo of a ``Q:`` field; ``unit`` (quarters) is what the old form ``Q:100`` counts.

    ``Q:1/4 3/8=40`` counts beats of the sum, 5/8 long. A rate with decimals is rounded.
    """
    words = " ".join(re.findall(r'"([^"]*)"', text)).strip()
    rest = re.sub(r'"[^"]*"', " ", text).strip()
    if not rest:
        if not words:
            raise TuneError("the tempo Q: is empty; write it like Q:1/4=100")
        return TempoField(None, words)
    old = _OLD_TEMPO.fullmatch(rest)
    if old:
        count = int(old.group(1) or 1) or 1
        return TempoField(Tempo(ticks(unit * count), int(old.group(2))), words)
    match = _TEMPO.fullmatch(rest)
    if match is None:
        raise TuneError(f"the tempo Q:{text.strip()} cannot be read; write it like Q:1/4=100")
    parts = re.findall(r"[0-9]+\s*/\s*[0-9]+", match.group(1))
    beats = [_quarters(part) for part in parts]
    whole = sum((beat for beat in beats if beat is not None), Fraction(0))
    if None in beats:
        raise TuneError(f"the tempo Q:{text.strip()} cannot be read; write it like Q:1/4=100")
    rate = Fraction(f"{match.group(2)}.{match.group(3) or 0}")
    return TempoField(Tempo(ticks(whole), round(rate)), words)
