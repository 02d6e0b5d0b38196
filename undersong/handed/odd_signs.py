"""What people type instead of the signs of a tab: the letter o for the number 0, 6 1/2 for 6½, the
numbers of strings for their names, names of rows that are not read, numbers such as 6.7, and other
signs in lines of numbers.

Public: as_meant, with_zeros, odd_line, no_fret.
"""

import re
from collections.abc import Sequence

from tune.errors import Place
from undersong.handed.chord_shapes import shape_lines, spoilt_shape
from undersong.handed.row_names import NAMES_READ
from undersong.handed.rows import SIGN, named, row_of
from undersong.handed.tab import TabError
from undersong.wording import listed, many

_LETTER_O = re.compile(r"(?<![A-Za-z])[oO](?![A-Za-z])")
_HALF = re.compile(r"(?<![\d/])(\d{1,2})( ?1/2)(?!\d)")
_STRING_NUMBER = re.compile(r"\s*([1-9])\s*[.:)]?\s*(?=\|)")
_FILLED = re.compile(r"\||[-_=~.]{3}")
_FRETTED = re.compile(r"\d|-")
_ODD_NAME = re.compile(r"\s*([^\s|:\-\d][^|:\-]*?)\s*:?\s*(?=[|:\-])")
_PART = re.compile(r"(?<![\d.])\d+\.(?!5(?!\d))\d+(?![\d.])")
_DOT = re.compile(r"(?<!\d)\.|\.(?!\d)")
_TOLD = 3
_MOSTLY = 0.6
"""So large a share of the signs of a line that is meant as one of a tab are those of a tab."""


def as_meant(lines: Sequence[str], courses: int) -> tuple[list[str], tuple[str, ...]]:
    """The lines in the signs of a tab, every sign in its column, and a sentence on each thing that
    is read otherwise than it stands there."""
    told: list[str] = []
    out, zeros = with_zeros(lines)
    told += zeros
    for swap in (_with_halves, _without_string_numbers):
        out, words = swap(out, courses)
        told += words
    return out, tuple(told)


def _with_halves(lines: Sequence[str], courses: int) -> tuple[list[str], list[str]]:
    """6½ for 6 1/2, blanks after it in lines of numbers."""
    out, told = [], []
    for number, line in enumerate(lines, 1):
        match = _HALF.search(line)
        padded = _HALF.sub(lambda match: f"{match[1]}½".ljust(len(match[0])), line)
        ways = (padded, _HALF.sub(r"\1½", line))  # in columns, or in shapes
        swapped = next((way for way in ways if _is_tab(way, line, number)), None)
        if match is not None and swapped is not None:
            told.append(
                f"line {number}, column {match.start() + 1}: {match[0]} is read as {match[1]}½; "
                "type that, or + for it"
            )
            line = swapped
        out.append(line)
    return out, told


def _without_string_numbers(lines: Sequence[str], courses: int) -> tuple[list[str], list[str]]:
    """Blanks for the numbers of strings before the first bar line, where every row has one."""
    rows = [at for at, line in enumerate(lines) if row_of(line, at + 1) is not None]
    found = [_STRING_NUMBER.match(lines[at]) for at in rows]
    numbers = [int(match[1]) for match in found if match is not None]
    up = list(range(1, courses + 1))
    if courses < 2 or not rows or len(numbers) != len(rows) or len(rows) % courses:
        return list(lines), []
    if numbers not in (up * (len(rows) // courses), up[::-1] * (len(rows) // courses)):
        return list(lines), []
    out = list(lines)
    for at, match in zip(rows, found, strict=True):
        assert match is not None
        out[at] = " " * match.end() + lines[at][match.end() :]
    own = " ".join(map(str, numbers[:courses]))
    return out, [
        f"the numbers {own} before the first bar line are taken for the names of strings, not "
        "for frets; write a bar line before a fret"
    ]


def with_zeros(lines: Sequence[str]) -> tuple[list[str], tuple[str, ...]]:
    """The lines with 0 for every letter o that stands for a number, and a sentence that says where;
    none where there is none."""
    out: list[str] = []
    places: list[tuple[int, int]] = []
    for number, line in enumerate(lines, 1):
        start = named(line)
        swapped = line[:start] + _LETTER_O.sub("0", line[start:])
        if swapped != line and not _is_tab(swapped, line[start:], number, short=True):
            swapped = line
        pairs = enumerate(zip(line, swapped, strict=True), 1)
        places += [(number, at) for at, (one, other) in pairs if one != other]
        out.append(swapped)
    if not places:
        return out, ()
    told = [f"line {line}, column {column}" for line, column in places[:_TOLD]]
    more = len(places) - len(told)
    if more:
        told.append(many(more, "other place"))
    letter = "the letter" if len(places) == 1 else "a letter"
    return out, (f"in {listed(told)} {letter} o stands for the number 0, and is read so; type 0",)


def _is_tab(line: str, before: str, number: int, short: bool = False) -> bool:
    """Whether the line is one of numbers or shapes now; before: what it had, its name left out;
    short: as in ``row_of``."""
    if row_of(line, number, short) is not None:
        return _FRETTED.search(before) is not None
    return bool(shape_lines([line], 0)) and re.search(r"\d", before) is not None


def odd_line(lines: Sequence[str], file: str) -> TabError | None:
    """What to say of the first line that is meant as one of numbers and cannot be read as one; None
    where there is none."""
    for number, line in enumerate(lines, 1):
        if not _FILLED.search(line) or not _FRETTED.search(line) or row_of(line, number):
            continue
        name = _ODD_NAME.match(line)
        rest = line[name.end() :] if name else ""
        if name and row_of(rest, number):
            return TabError(
                f"this row is called {name[1]!r}, which says nothing of its string; {NAMES_READ}",
                Place(file, number, name.start(1) + 1),
            )
        start = named(line)
        signs = [(at, sign) for at, sign in enumerate(line) if at >= start and not sign.isspace()]
        odd = [(at, sign) for at, sign in signs if not re.fullmatch(SIGN, sign)]
        if odd and len(odd) <= (1 - _MOSTLY) * len(signs):
            at, sign = odd[0]
            return TabError(
                f"{sign!r} is no sign of a tab; write a fret's number there, x for a silent "
                "string, or a dash",
                Place(file, number, at + 1),
            )
    return None


def no_fret(lines: Sequence[str], file: str) -> TabError | None:
    """What to say of the first number such as 6.7, in shapes, or in a line of numbers that is drawn
    with dashes and has no other dots; None where there is none."""
    for number, line in enumerate(lines, 1):
        row = row_of(line, number)
        if row is None and spoilt_shape([line]) is None:
            continue
        match = _PART.search(line if row is None else row.text)
        if match is None or (row is not None and ("-" not in row.text or _DOT.search(row.text))):
            continue
        return TabError(
            f"{match.group()} is no fret; write a whole number, with + or .5 for the fret above "
            "it, or a dash between two numbers",
            Place(file, number, match.start() + 1),
        )
    return None
