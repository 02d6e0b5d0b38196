"""One line of ABC music cut into tokens, each with its column (ABC 2.1 §4).

Bar lines are recognised liberally, as the standard asks: any run of ``|``, ``:``, ``[`` and ``]``
that holds a ``|`` or two dots.

Public: Token, tokens, length_of, NOTE, BAR_LINE, BarLine, read_bar_line.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from tune.errors import Place, TuneError

_LENGTH = r"[0-9]{0,4}/*[0-9]{0,4}"
_PITCH = rf"(?:\^\^|\^|__|_|=)?[A-Ga-g][,']*{_LENGTH}"
NOTE = re.compile(rf"(\^\^|\^|__|_|=)?([A-Ga-g])([,']*)({_LENGTH})")
BAR_LINE = r"\.?(?:\[(?=\|)|[|:])(?:[|:]|\[(?=[|:])|(?<=[|:\[])\])*"

_KINDS = (
    ("space", r"[ \t\u00a0]+|`+"),
    ("quoted", r'"[^"]*"'),
    ("field", r"\[[A-Za-z]:[^\]]*\]"),
    ("ending", r"\[[0-9][0-9,.\-]*"),
    ("bar", BAR_LINE),
    ("chord", r"\["),
    ("chord_end", rf"\]{_LENGTH}"),
    ("grace", r"\{[^}]*\}"),
    ("tuplet", r"\([0-9]{1,2}(?::[0-9]{0,2}){0,2}"),
    ("slur", r"\.?\(&?|&?\)"),
    ("broken", r">+|<+"),
    ("tie", r"\.?-"),
    ("note", _PITCH),
    ("rest", rf"[zx]{_LENGTH}"),
    ("bars_rest", r"[ZX][0-9]{0,4}"),
    ("spacer", rf"y{_LENGTH}"),
    ("mark", r"![^!\s\[\]|]{1,40}!|\+[A-Za-z0-9.<>()]{1,40}\+"),
    ("letter", r"[~.H-Wh-w]"),
    ("overlay", r"&"),
    ("reserved", r"[#*;?@$!]"),
    ("continue", r"\\\s*$"),
    ("number", r"[0-9][0-9,.\-]*"),
)
_TOKEN = re.compile("|".join(f"(?P<{kind}>{pattern})" for kind, pattern in _KINDS))

_UNREADABLE = {
    '"': 'this quotation mark has no second one; write "G" for a chord, "^text" for words',
    "{": "these grace notes have no closing brace }",
    "^": "the sign ^ needs a note after it, as in ^F (quarter tones are not read)",
    "_": "the sign _ needs a note after it, as in _B (quarter tones are not read)",
    "=": "the sign = needs a note after it, as in =F",
}


@dataclass(frozen=True)
class Token:
    """A piece of music text: what kind it is of, its text, and its column from 1."""

    kind: str
    text: str
    column: int


def tokens(text: str) -> Iterator[Token]:
    """The tokens of a line; TuneError with the column where nothing fits."""
    position = 0
    while position < len(text):
        match = _TOKEN.match(text, position)
        if match is None:
            sign = text[position]
            message = _UNREADABLE.get(
                sign, f"{sign!r} means nothing in ABC music; remove it or write a note A to G"
            )
            raise TuneError(message, Place(column=position + 1))
        yield Token(str(match.lastgroup), match.group(), position + 1)
        position = match.end()


def length_of(text: str) -> Fraction:
    """The factor that a length such as ``3/2``, ``/``, ``//`` or ``2`` stands for."""
    match = re.fullmatch(r"([0-9]*)(/*)([0-9]*)", text)
    if match is None or (len(match.group(2)) > 1 and match.group(3)):
        raise TuneError(f"the note length {text!r} cannot be read; write it like 2, 3/2 or /")
    above, slashes, below = match.groups()
    if len(slashes) > 8 or 0 in (int(above or 1), int(below or 1)):
        raise TuneError(f"the note length {text!r} is no length; write it like 2, 3/2 or /")
    under = int(below) if below else 2 ** len(slashes)
    return Fraction(int(above or 1), under)


@dataclass(frozen=True)
class BarLine:
    """What a bar line means.

    ends: how often in all the passage before it is played, 1 for no repeat sign; starts: a
    repeat begins after it; double: a double bar, which ends an ending and a section.
    """

    ends: int
    starts: bool
    double: bool

    @property
    def sign(self) -> bool:
        """Whether it is more than a plain bar line."""
        return self.ends > 1 or self.starts or self.double


def read_bar_line(text: str) -> BarLine:
    """The meaning of a bar line token such as ``|``, ``:|``, ``::`` or ``|]``."""
    plain = text.lstrip(".")
    if set(plain) == {":"}:
        half = len(plain) // 2
        return BarLine(half + 1, half > 0, False)
    left = len(plain) - len(plain.lstrip(":"))
    right = len(plain) - len(plain.rstrip(":"))
    middle = plain.strip(":")
    thick = middle.count("[") + middle.count("]")
    double = middle.count("|") + thick > 1 and middle != "[|]"
    if ":" in middle:  # such as :|:|: – the inner dots belong to both sides
        left, right = max(left, 1), max(right, 1)
    return BarLine(left + 1, right > 0, double)
