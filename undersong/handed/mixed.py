"""Lines that hold a shape and something else, such as ``G 3-1-0 x2``: they are not read, and none
of them is passed over in silence.

Public: mixed_line, mixed_lines.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from fretboard.errors import FretboardError
from tune.chord import ChordError, parse_chord
from tune.errors import Place
from undersong.handed.chord_shapes import FRET, ORDINAL, for_strings, no_shape, spoilt_shape
from undersong.handed.numbers import Numbering, read_number
from undersong.handed.tab import TabError

_SHAPE = re.compile(rf"(?<![\w+½.\-]){FRET}(?:-{FRET})+(?![\w+½\-])")
_DRAWN = re.compile(r"--|(?<![^\s|])-|-(?![^\s|])")
"""Dashes that are a string, not those of a shape."""
_WORD = re.compile(r"[^\s|]+")
_PASSED = re.compile(r"[=:\],;.()]*")


def mixed_line(
    lines: Sequence[str], courses: int, numbering: Numbering, file: str
) -> TabError | None:
    """What to say of the first line that holds a shape and something else, where no line is read;
    None where there is none, or the lines are called by strings."""
    if for_strings(lines):
        return None
    for at, line in enumerate(lines):
        shape = None if _DRAWN.search(line) else _held(line, courses, numbering)
        if shape is not None and spoilt_shape([line]) is None:
            return _mixed(line, shape, Place(file, at + 1, shape.start() + 1))
    return None


def mixed_lines(
    lines: Sequence[str], read: Sequence[int], courses: int, numbering: Numbering, file: str
) -> tuple[str, ...]:
    """A sentence on each line that holds a shape and is not read; read: indexes of those that are.
    TabError for one that stands between them, or without a blank line by one of them."""
    told = []
    among = _among(lines, read)
    for at, line in enumerate(lines):
        if at in read:
            continue
        shape = _held(line, courses, numbering)
        spoilt = spoilt_shape([line])
        if at in among and spoilt is not None and (shape or _nearly(spoilt[1], courses)):
            match = spoilt[1]
            raise no_shape(match, courses, Place(file, at + 1, match.start() + 1))
        if shape is None:
            continue
        if at in among:
            raise _mixed(line, shape, Place(file, at + 1, shape.start() + 1))
        told.append(
            f"{shape.group()} in line {at + 1} is taken for words, and not read; write a chord "
            "name and a shape there and nothing else if it is meant"
        )
    return tuple(told)


def _held(line: str, courses: int, numbering: Numbering) -> re.Match[str] | None:
    """The first shape in the line that has a fret for each string; a date is none."""
    for match in _SHAPE.finditer(line):
        parts = re.findall(FRET, match.group())
        if len(parts) == courses and all(_is_fret(part, numbering) for part in parts):
            return match
    return None


def _nearly(match: re.Match[str], courses: int) -> bool:
    """Whether all but one of its parts are frets, as of 3-?-0 and not of Part-2."""
    parts = match.group().split("-")
    return sum(re.fullmatch(FRET, part) is not None for part in parts) >= max(2, courses - 1)


def _is_fret(text: str, numbering: Numbering) -> bool:
    if text in "xX":
        return True
    try:
        read_number(text, numbering)
    except FretboardError:
        return False
    return True


def _mixed(line: str, shape: re.Match[str], place: Place) -> TabError:
    odd = next((word for word in _WORD.finditer(line) if _is_odd(word.group())), None)
    own = shape.group()
    stands = f"the shape {own} stands in a line that cannot be read"
    if odd is not None:
        before = _SHAPE.findall(line[: odd.start()])
        own = before[-1] if before else own
        stands = f"{odd.group()} stands by the shape {own}, and the line cannot be read"
        place = replace(place, column=odd.start() + 1)
    return TabError(
        f"{stands}; write a chord name and a shape such as G {own}, or shapes alone, each as "
        "often as it is played, and other words apart",
        place,
    )


def _is_odd(word: str) -> bool:
    """Whether it is neither shape nor chord name nor a sign that may stand by them."""
    bare = word.strip(",;:.()=")
    if _PASSED.fullmatch(word) or ORDINAL.fullmatch(word) or _SHAPE.fullmatch(bare):
        return False
    try:
        parse_chord(bare)
    except ChordError:
        return True
    return False


def _among(lines: Sequence[str], read: Sequence[int]) -> range:
    """Indexes from the first line that is read to the last, and of what touches these."""
    start, end = read[0], read[-1] + 1
    while start and lines[start - 1].strip():
        start -= 1
    while end < len(lines) and lines[end].strip():
        end += 1
    return range(start, end)
