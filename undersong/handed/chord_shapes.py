"""Reader of shapes such as 3-1-0 over or under chord names.

A line of shapes has nothing in it but shapes and bar lines; the chord names stand in the next line
above or below, one a shape (``undersong.handed.names_beside``), or each right before its shape in
the same line (``G 3-1-0``, ``G = 3-1-0``, ``3. G 3-1-0``). Without bar lines the shapes are one
after another (``undersong.handed.placing`` gives them to the tune's chords).

Public: read_shapes, shape_lines, spoilt_shape, no_shape, Pair, pairs_in, for_strings,
FRET, ORDINAL.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from fretboard.errors import FretboardError
from tune.chord import ChordError, parse_chord
from tune.errors import Place
from undersong.handed.names_beside import Named, chord_names, names_for
from undersong.handed.numbers import Numbering, read_number
from undersong.handed.tab import SHAPES, Column, Sign, Tab, TabBar, TabError

FRET = r"(?:\d+(?:\+|½|\.5)?|[xX])"
_SHAPE = re.compile(rf"{FRET}(?:-{FRET})+")
_JOINED = re.compile(r"[0-9A-Za-z+½.?]{1,4}(?:-[0-9A-Za-z+½.?]{1,4})+")
_TOKEN = re.compile(r"\||[^\s|]+")
_PART = re.compile(r"\||[=:]|[^\s|=:]+")
"""A token of a line that may have a sign between name and shape."""
ORDINAL = re.compile(r"\(?\d{1,3}[.)]")
"""The number of a line, or of a pair, in a numbered list."""
_AROUND = ",;:.()"
_STRING = re.compile(rf"\s*[a-g][#b]?[:.]? +{_SHAPE.pattern}\s*$")
"""A line that is called by a small letter, as no chord is."""


@dataclass(frozen=True)
class Pair:
    """A chord name and the shape after it; bar: how many bar lines stand before them in the line;
    match: what is joined as shapes are, whether it is one or not."""

    symbol: str
    bar: int
    match: re.Match[str]


def pairs_in(line: str) -> tuple[Pair, ...]:
    """The pairs of a line that has nothing else in it but bar lines, a number such as ``1.`` before
    a pair, and ``=`` or ``:`` within one; none for any other line."""
    pairs: list[Pair] = []
    symbol, bar = "", 0
    for token in _PART.finditer(line):
        word = token.group().strip(_AROUND)
        if word == "|":
            bar += 1
        elif _passed(token.group(), symbol):
            continue
        elif not symbol:
            try:
                symbol = parse_chord(word).symbol
            except ChordError:
                return ()
        else:
            match = _JOINED.match(line, token.start() + token.group().index(word)) if word else None
            if match is None or match.group() != word:
                return ()
            pairs.append(Pair(symbol, bar, match))
            symbol = ""
    return () if symbol else tuple(pairs)


def _passed(part: str, symbol: str) -> bool:
    """Whether it says nothing where a shape, or a name (without a ``symbol``), is looked for."""
    if symbol:
        return part in ("=", ":")
    return part.strip(_AROUND) in ("", "]") or ORDINAL.fullmatch(part) is not None


def for_strings(lines: Sequence[str]) -> bool:
    """Whether a line is called by a small letter: the numbers after it are then a string's."""
    return any(_STRING.match(line) for line in lines)


def shape_lines(lines: list[str], courses: int) -> list[int]:
    """Indexes of the lines that have nothing in them but shapes of so many strings, or more or
    fewer, and bar lines; or such shapes after chord names, where one at least is of so many;
    courses: 0 where any number will do."""
    found, paired, sure = [], [], False
    strings = for_strings(lines)
    for at, line in enumerate(lines):
        tokens = [token for token in _TOKEN.findall(line) if token not in ("|", ":", "]")]
        if tokens and all(_SHAPE.fullmatch(token.strip(_AROUND)) for token in tokens):
            found.append(at)
            continue
        shapes = [pair.match.group() for pair in pairs_in(line)]
        paired += [at] * bool(shapes)
        full = [one for one in shapes if _SHAPE.fullmatch(one)]
        sure = sure or any(courses in (0, one.count("-") + 1) for one in full)
    return sorted(found + paired) if sure and not strings else found


def spoilt_shape(lines: list[str]) -> tuple[int, re.Match[str]] | None:
    """(index of the line, what stands there) of the first thing that is no shape, in a line that
    has shapes else, or is of signs joined as shapes are; None where there is none."""
    for at, line in enumerate(lines):
        tokens = [match for match in _TOKEN.finditer(line) if match.group() not in ("|", ":", "]")]
        bare = [match.group().strip(",;:.()") for match in tokens]
        good = [_SHAPE.fullmatch(token) is not None for token in bare]
        joined = [_JOINED.fullmatch(token) is not None for token in bare]
        if any(joined) and all(one or other for one, other in zip(good, joined, strict=True)):
            return at, tokens[good.index(False)] if False in good else tokens[0]
    return None


def read_shapes(
    lines: list[str],
    at: list[int],
    courses: int,
    numbering: Numbering,
    melody_first: bool,
    file: str,
) -> Tab:
    """The tab in those lines. Raises TabError."""
    bars: list[TabBar] = []
    barred = any("|" in lines[index] for index in at)
    beside = _beside(lines, at)
    notices: list[str] = []
    for index in at:
        pairs = pairs_in(lines[index])
        cells = _paired(pairs, file, index + 1, courses) if pairs else _cells(lines[index])
        named = Named(tuple(pair.symbol for pair in pairs))
        if index in beside:
            named = names_for(lines[beside[index]], beside[index] + 1, cells, index + 1)
        notices += named.told
        names = iter(named.names)
        for cell in cells:
            if not cell:
                continue
            columns = []
            for number, match in enumerate(cell):
                strings = _strings(match, index + 1, courses, numbering, melody_first, file)
                columns.append(
                    Column(
                        strings, index + 1, match.start() + 1, Fraction(number, len(cell)),
                        chord=next(names, ""),
                    )
                )  # fmt: skip
            bars.append(TabBar(len(bars), index + 1, tuple(columns)))
    if not barred:
        every = tuple(column for bar in bars for column in bar.columns)
        bars = [TabBar(0, at[0] + 1, every)]
    return Tab(
        SHAPES, tuple(bars), barred, file, numbering, melody_first, notices=tuple(notices)
    )  # fmt: skip


def _cells(line: str) -> list[list[re.Match[str]]]:
    """The shapes between bar lines, empty bars too."""
    cells: list[list[re.Match[str]]] = [[]]
    for match in re.finditer(rf"\||{_SHAPE.pattern}", line):
        if match.group() == "|":
            cells.append([])
        else:
            cells[-1].append(match)
    return cells


def _paired(pairs: Sequence[Pair], file: str, line: int, courses: int) -> list[list[re.Match[str]]]:
    """The shapes of a line that names each one's chord, as ``_cells``."""
    cells: list[list[re.Match[str]]] = [[] for _ in range(pairs[-1].bar + 1)]
    for pair in pairs:
        if not _SHAPE.fullmatch(pair.match.group()):
            raise no_shape(pair.match, courses, Place(file, line, pair.match.start() + 1))
        cells[pair.bar].append(pair.match)
    return cells


def no_shape(match: re.Match[str], courses: int, place: Place) -> TabError:
    """What to say of something that is joined as shapes are, and is none."""
    return TabError(
        f"{match.group()} is no shape; write a fret for each of the {courses} strings, such as "
        f"{'-'.join('3102'[:courses])}, x for a silent one",
        place,
    )


def _strings(
    match: re.Match[str],
    line: int,
    courses: int,
    numbering: Numbering,
    melody_first: bool,
    file: str,
) -> tuple[Sign | None, ...]:
    signs: list[Sign | None] = []
    for part in re.finditer(FRET, match.group()):
        column = match.start() + part.start() + 1
        text = part.group()
        if text in "xX":
            signs.append(Sign(-1, text, column))
            continue
        try:
            signs.append(Sign(read_number(text, numbering), text, column))
        except FretboardError as error:
            raise TabError(f"{error}; mend the number", Place(file, line, column)) from None
    if len(signs) != courses:
        raise TabError(
            f"{match.group()} names {len(signs)} strings, and the instrument has {courses}; write "
            "one fret for each, x for a silent one",
            Place(file, line, match.start() + 1),
        )
    return tuple(reversed(signs)) if melody_first else tuple(signs)


def _beside(lines: list[str], shapes: list[int]) -> dict[int, int]:
    """Index of each line of shapes → that of the chord names by it: all above, or all below, as by
    the first; the other side where that has names of no other line."""

    def next_to(index: int, step: int) -> int:
        at = index + step
        while 0 <= at < len(lines) and not lines[at].strip():
            at += step
        there = 0 <= at < len(lines) and at not in shapes and bool(chord_names(lines[at]))
        return at if there else -1

    first = -1 if next_to(shapes[0], -1) >= 0 else 1
    found: dict[int, int] = {}
    for step in (first, -first):
        for index in shapes:
            if pairs_in(lines[index]):
                continue  # it names its own
            at = next_to(index, step)
            if index not in found and at >= 0 and at not in found.values():
                found[index] = at
    return found
