"""Bars whose lines are not equally wide: a dash is missing, or one too many, or a number took more
room than the dashes that were left out for it.

Such a line is held against the others of its bar, and against its other bars, five ways: counted
from the bar line before it, or after it, or every number as one column, or its first numbers from
the one bar line and the others from the other, or with dashes missing, or too many, on both sides
of its numbers. The way in which most of its numbers stand together with others is taken, and told.

Public: Stands, Odd, stands, width_words, FROM_LEFT, FROM_RIGHT, ONE_COLUMN, FROM_BOTH, BETWEEN.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

from undersong.handed.numbers import NUMBER

FROM_LEFT, FROM_RIGHT, ONE_COLUMN = "from left", "from right", "one column"
FROM_BOTH, BETWEEN = "from both", "between"
"""How a line of another width is read; between: dashes are missing, or too many, before its
numbers as well as after them."""

_READ = {
    FROM_LEFT: "its numbers are counted from the bar line before them",
    FROM_RIGHT: "its numbers are counted from the bar line after them",
    FROM_BOTH: "its first numbers are counted from the bar line before them, and the others from "
    "the one after them",
    ONE_COLUMN: "each of its numbers is taken as one column wide",
}

_SIGN = re.compile(rf"{NUMBER.pattern}\*?|[xX]")


class Cell(Protocol):
    """One bar of one line: its first column, what stands there, and whether bar lines are there."""

    @property
    def start(self) -> int: ...
    @property
    def text(self) -> str: ...
    @property
    def right(self) -> bool: ...


@dataclass(frozen=True)
class Odd:
    """A line of another width than the others of its bar. row: from the top; wider: by so many
    columns, below 0 narrower; how: it is read."""

    row: int
    wider: int
    how: str


@dataclass(frozen=True)
class Stands:
    """How the lines of a bar stand to each other. like: the line whose columns count; moves: for
    each line, what is added to a column of it (a column in the line → the same in the line
    ``like``); odd: lines of another width."""

    like: int
    moves: tuple[Callable[[int], int], ...]
    odd: tuple[Odd, ...] = ()


def stands(cells: Sequence[Cell], elsewhere: Sequence[Sequence[Cell]]) -> Stands:
    """cells: of one bar, from the top; elsewhere: every bar of each of those lines."""
    if len({(cell.start, len(cell.text)) for cell in cells}) == 1:
        return Stands(0, (_by(0),) * len(cells))
    if not all(cell.right for cell in cells):  # what is left out at the end is nothing
        return Stands(0, tuple(_by(cells[0].start - cell.start) for cell in cells))
    usual = _usual([len(cell.text) for cell in cells], elsewhere)
    like = next(row for row, cell in enumerate(cells) if len(cell.text) == usual)
    first = cells[like].start
    square = [cell for cell in cells if len(cell.text) == usual]
    moves: list[Callable[[int], int]] = []
    odd: list[Odd] = []
    for row, cell in enumerate(cells):
        signs = cell.text.startswith(":"), cell.text.endswith(":")
        wider = len(cell.text) - usual
        if wider == sum(signs) > 0:  # a sign of repeat that the others leave out
            moves.append(_by(first - cell.start - signs[0]))
            continue
        if not wider:
            moves.append(_by(first - cell.start))
            continue
        rest = [one for one in elsewhere[row] if len(one.text) == usual]
        how, cut = _best(cell, wider, square, rest)
        moves.append(_move(cell, first, wider, how, cut))
        if _SIGN.search(cell.text):
            odd.append(Odd(row, wider, how))
    return Stands(like, tuple(moves), tuple(odd))


def _usual(widths: Sequence[int], elsewhere: Sequence[Sequence[Cell]]) -> int:
    """The width of most lines of the bar; of as many, that of most bars, then the wider."""
    counts, all_over = Counter(widths), Counter(len(one.text) for row in elsewhere for one in row)
    return max(counts, key=lambda width: (counts[width], all_over[width], width))


def _best(cell: Cell, wider: int, square: Sequence[Cell], rest: Sequence[Cell]) -> tuple[str, int]:
    """The way in which most of its numbers stand together with others of the bar, then with its
    own in other bars; and from which column on, where it is both, or how many columns of what is
    missing, or too much, are before its numbers."""
    room = sum(len(match.group()) - 1 for match in _SIGN.finditer(cell.text))
    starts = [cell.start + match.start() for match in _SIGN.finditer(cell.text)]
    ways = [(FROM_LEFT, 0), (FROM_RIGHT, 0), *((FROM_BOTH, start) for start in starts[1:])]
    ways += [(BETWEEN, before) for before in range(1, abs(wider))]
    ways = [way for way in ways if _apart(cell, _move(cell, 0, wider, *way))]
    if room == wider:
        ways.insert(0, (ONE_COLUMN, 0))
    here = [range(*span) for one in square for span in _spans(one, _by(-one.start))]
    own = {start for one in rest for start, _ in _spans(one, _by(-one.start))}

    def together(way: tuple[str, int]) -> tuple[int, int]:
        spans = list(_spans(cell, _move(cell, 0, wider, *way)))
        met = sum(any(start < one.stop and one.start < end for one in here) for start, end in spans)
        return met, sum(start in own for start, _ in spans)

    return max(ways, key=together)


def _apart(cell: Cell, move: Callable[[int], int]) -> bool:
    """Whether no number would stand on another, or before it."""
    return all(one[1] <= other[0] for one, other in pairwise(_spans(cell, move)))


def _spans(cell: Cell, move: Callable[[int], int]) -> Iterator[tuple[int, int]]:
    """(first column, one past the last) of every number, moved."""
    for match in _SIGN.finditer(cell.text):
        start = move(cell.start + match.start())
        yield start, start + len(match.group())


def _by(columns: int) -> Callable[[int], int]:
    return lambda at: at + columns


def _move(cell: Cell, first: int, wider: int, how: str, cut: int) -> Callable[[int], int]:
    """To a bar that begins at the column ``first``."""
    left = first - cell.start
    if how == FROM_LEFT:
        return _by(left)
    if how == FROM_RIGHT:
        return _by(left - wider)
    if how == BETWEEN:
        return _by(left - (cut if wider > 0 else -cut))
    if how == FROM_BOTH:
        return lambda at: at + left - (wider if at >= cut else 0)
    ends = [
        (cell.start + match.end(), len(match.group()) - 1) for match in _SIGN.finditer(cell.text)
    ]
    return lambda at: at + left - sum(more for end, more in ends if end <= at)


def width_words(row: str, wider: int, how: str) -> str:
    """What is said of a row that is not as wide as the others of its bar; row: its name."""
    columns = "a column" if abs(wider) == 1 else f"{abs(wider)} columns"
    dashes = "dashes are taken to be too many" if wider > 0 else "dashes are taken to be missing"
    read = f"{dashes} before its numbers as well as after them" if how == BETWEEN else _READ[how]
    return f"{row} is {columns} {'longer' if wider > 0 else 'shorter'} than the others; {read}"
