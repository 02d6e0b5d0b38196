"""Chord symbols: the grammar of the lead sheet, and what each symbol sounds.

A symbol is a root (A–G with ♯ or ♭), a quality and, after a slash, the note that the bass takes.
Every spelling of a quality that this project reads stands in ``SPELLINGS``; anything else is an
error that names the column, never a chord left out in silence.

Public: Chord, ChordError, parse_chord, pitch_class, LETTERS, QUALITIES, SPELLINGS.
"""

import re
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

from tune.errors import TuneError

LETTERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}

QUALITIES: MappingProxyType[str, tuple[tuple[str, int], ...]] = MappingProxyType(
    {
        "": (("root", 0), ("third", 4), ("fifth", 7)),
        "m": (("root", 0), ("third", 3), ("fifth", 7)),
        "5": (("root", 0), ("fifth", 7)),
        "6": (("root", 0), ("third", 4), ("fifth", 7), ("sixth", 9)),
        "m6": (("root", 0), ("third", 3), ("fifth", 7), ("sixth", 9)),
        "7": (("root", 0), ("third", 4), ("fifth", 7), ("seventh", 10)),
        "maj7": (("root", 0), ("third", 4), ("fifth", 7), ("seventh", 11)),
        "m7": (("root", 0), ("third", 3), ("fifth", 7), ("seventh", 10)),
        "m7b5": (("root", 0), ("third", 3), ("fifth", 6), ("seventh", 10)),
        "dim": (("root", 0), ("third", 3), ("fifth", 6)),
        "dim7": (("root", 0), ("third", 3), ("fifth", 6), ("seventh", 9)),
        "aug": (("root", 0), ("third", 4), ("fifth", 8)),
        "sus2": (("root", 0), ("second", 2), ("fifth", 7)),
        "sus4": (("root", 0), ("fourth", 5), ("fifth", 7)),
        "7sus4": (("root", 0), ("fourth", 5), ("fifth", 7), ("seventh", 10)),
        "add9": (("root", 0), ("third", 4), ("fifth", 7), ("ninth", 2)),
        "9": (("root", 0), ("third", 4), ("fifth", 7), ("seventh", 10), ("ninth", 2)),
    }
)
"""Each quality's degrees: (name, semitones above the root), as in any theory primer."""

SPELLINGS: MappingProxyType[str, str] = MappingProxyType(
    {
        **{name: name for name in QUALITIES},
        "M": "",
        "maj": "",
        "Maj": "",
        "major": "",
        "min": "m",
        "mi": "m",
        "-": "m",
        "minor": "m",
        "(no3)": "5",
        "maj6": "6",
        "M6": "6",
        "min6": "m6",
        "mi6": "m6",
        "-6": "m6",
        "dom7": "7",
        "M7": "maj7",
        "ma7": "maj7",
        "Maj7": "maj7",
        "Δ": "maj7",
        "Δ7": "maj7",
        "min7": "m7",
        "mi7": "m7",
        "-7": "m7",
        "ø": "m7b5",
        "ø7": "m7b5",
        "min7b5": "m7b5",
        "mi7b5": "m7b5",
        "-7b5": "m7b5",
        "m7(b5)": "m7b5",
        "min7(b5)": "m7b5",
        "°": "dim",
        "o": "dim",
        "°7": "dim7",
        "o7": "dim7",
        "+": "aug",
        "sus": "sus4",
        "7sus": "7sus4",
        "(add9)": "add9",
        "add2": "add9",
        "(add2)": "add9",
    }
)

_ROOT = re.compile(r"[A-G][#b]?")
_LONGEST_SHOWN = 30

_ALIKE = str.maketrans(
    {
        "♯": "#",
        "♭": "b",
        "−": "-",  # the minus sign
        "–": "-",  # the en dash
        "Ø": "ø",
        "º": "°",  # the ordinal sign, next to ° on some keyboards
        "∆": "Δ",  # the increment sign
        "△": "Δ",  # the triangle
    }
)
"""Signs that stand for another, one character for one, so that columns stay true."""


class ChordError(TuneError):
    """A chord symbol that cannot be read; ``column`` counts from 1 inside the symbol."""

    def __init__(self, message: str, column: int) -> None:
        super().__init__(message)
        self.column = column


def pitch_class(name: str) -> int:
    """The pitch class (C = 0) of a note name such as ``F#`` or ``Bb``."""
    return (LETTERS[name[0]] + name.count("#") - name.count("b")) % 12


@dataclass(frozen=True)
class Chord:
    """A chord as a lead sheet names it.

    root and bass are note names (``F#``, ``Bb``); quality is a key of ``QUALITIES``; bass is the
    note after the slash, or None.
    """

    root: str
    quality: str = ""
    bass: str | None = None

    def __post_init__(self) -> None:
        for name in (self.root, self.bass):
            if name is not None and not _ROOT.fullmatch(name):
                raise TuneError(f"{name!r} is no note name; write A to G, with # or b")
        if self.quality not in QUALITIES:
            raise TuneError(f"{self.quality!r} is no chord quality of this program")

    def __reduce__(self) -> tuple[type["Chord"], tuple[str, str, str | None]]:
        """For pickle, which knows no read-only mappings."""
        return Chord, (self.root, self.quality, self.bass)

    @cached_property
    def degrees(self) -> MappingProxyType[str, int]:
        """Degree name → pitch class, root first."""
        base = pitch_class(self.root)
        return MappingProxyType({name: (base + up) % 12 for name, up in QUALITIES[self.quality]})

    @cached_property
    def pitch_classes(self) -> frozenset[int]:
        """The chord's tones, without a slash bass that is foreign to it."""
        return frozenset(self.degrees.values())

    @property
    def bass_pitch_class(self) -> int:
        """What the bass plays first: the note after the slash, else the root."""
        return pitch_class(self.bass or self.root)

    @property
    def symbol(self) -> str:
        """The symbol in plain ASCII, such as ``F#m7b5`` or ``D/F#``."""
        slash = f"/{self.bass}" if self.bass else ""
        return f"{self.root}{self.quality}{slash}"

    @property
    def pretty(self) -> str:
        """The symbol with real sharp and flat signs."""
        sign = str.maketrans({"#": "♯", "b": "♭"})
        slash = f"/{self.bass.translate(sign)}" if self.bass else ""
        return f"{self.root.translate(sign)}{self.quality.translate(sign)}{slash}"

    def __str__(self) -> str:
        return self.symbol


def parse_chord(text: str) -> Chord:
    """The chord that ``text`` names.

    Raises ChordError with the column of the first character after what could be read (one past
    the end where a note name is missing after the slash).
    """
    shown = repr(text if len(text) <= _LONGEST_SHOWN else text[:_LONGEST_SHOWN] + "…")
    plain = text.translate(_ALIKE)
    head = _ROOT.match(plain)
    if head is None:
        raise ChordError(f"the chord {shown} does not begin with a note name A to G", 1)
    body, slash, bass = plain[head.end() :].partition("/")
    quality = SPELLINGS.get(body)
    if quality is None:
        column = head.end() + _readable(body) + 1
        raise ChordError(
            f"the chord {shown} cannot be read from column {column} on; after the root write "
            f"nothing for major, or one of {', '.join(name for name in QUALITIES if name)}",
            column,
        )
    if slash and not _ROOT.fullmatch(bass):
        good = _ROOT.match(bass)
        column = head.end() + len(body) + 2 + (good.end() if good else 0)
        raise ChordError(
            f"the chord {shown} needs one note name A to G after the slash (column {column})",
            column,
        )
    return Chord(head.group(), quality, bass or None)


def _readable(body: str) -> int:
    """How many characters at the start of an unknown quality are a known one."""
    return max(len(spelling) for spelling in SPELLINGS if body.startswith(spelling))
