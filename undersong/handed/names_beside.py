"""Which chord name stands by which shape: bar by bar where both lines have the same bars, else one
a shape in order, or by their columns where every shape has a name right over or under it.

Public: names_for, Named, chord_tokens, chord_names.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from tune.chord import ChordError, parse_chord
from undersong.wording import listed, many

_TOKEN = re.compile(r"\||[^\s|]+")
_PASSED = (":", "]", ".")
_BESIDE = 1
"""Columns that a name may begin before its shape."""

MOST_TOLD = 4

Match = re.Match[str]
Cell = TypeVar("Cell", bound=Sequence[object])


@dataclass(frozen=True)
class Named:
    """names: a symbol for every shape of a line, empty where it has none; told: sentences on names
    without a shape and shapes without a name."""

    names: tuple[str, ...]
    told: tuple[str, ...] = ()


def chord_tokens(line: str) -> list[list[tuple[int, str]]]:
    """(column from 0, symbol) of the chord symbols of a line that has nothing else in it, those of
    a bar together, empty bars too; none for any other line."""
    cells: list[list[tuple[int, str]]] = [[]]
    for match in _TOKEN.finditer(line):
        if match.group() == "|":
            cells.append([])
        elif match.group() not in _PASSED:
            try:
                symbol = parse_chord(match.group().strip(",;()")).symbol
            except ChordError:
                return []
            cells[-1].append((match.start(), symbol))
    return cells if any(cells) else []


def chord_names(line: str) -> list[str]:
    """The chord symbols of a line that has nothing else in it; none for any other line."""
    return [symbol for cell in chord_tokens(line) for _, symbol in cell]


def names_for(line: str, number: int, shapes: Sequence[Sequence[Match]], own: int) -> Named:
    """line, number: of the chord names, from 1; shapes: those of each bar of the line by it, empty
    bars too; own: the number of that line."""
    cells = chord_tokens(line)
    if not cells:
        return Named(("",) * sum(map(len, shapes)))
    by_bar = len(cells) > 1 and len(_trimmed(cells)) == len(_trimmed(shapes))
    pairs = list(zip(_trimmed(cells), _trimmed(shapes), strict=True)) if by_bar else []
    if any(names and not group for names, group in pairs):  # a name over an empty bar
        by_bar = False
    if not by_bar:
        pairs = [([one for cell in cells for one in cell], [m for bar in shapes for m in bar])]
    names: list[str] = []
    told: list[str] = []
    for bar, (group, matches) in enumerate(pairs, 1):
        found, columns = _taken(group, matches)
        names += [group[at][1] if at is not None else "" for at in found]
        left = [one for at, one in enumerate(group) if at not in found]
        bare = [match for match, at in zip(matches, found, strict=True) if at is None]
        how = "by their columns" if columns else "in order"
        where = f" in its bar {bar}" if by_bar else ""
        has = (
            f"line {number} has {many(len(group), 'chord name')} for "
            f"{many(len(matches), 'shape')}{where}; they are taken {how}, and "
        )
        if left:
            which = _some([f"{symbol} in column {at + 1}" for at, symbol in left])
            are = "is" if len(left) == 1 else "are"
            told.append(f"{has}{which} {are} left out; write one name for each shape")
        elif bare and not by_bar:
            which = _some([f"{match.group()} in column {match.start() + 1}" for match in bare])
            told.append(
                f"{has}{which} of line {own} {'has' if len(bare) == 1 else 'have'} no name; write "
                "one for each shape"
            )
    return Named(tuple(names), tuple(told))


def _trimmed(cells: Sequence[Cell]) -> Sequence[Cell]:
    """The bars without what is before the first bar line and after the last, where that is
    empty."""
    start = 0 if cells[0] else 1
    end = len(cells) if cells[-1] else -1
    return cells[start:end] if len(cells) > 1 else cells


def _taken(
    names: Sequence[tuple[int, str]], shapes: Sequence[Match]
) -> tuple[list[int | None], bool]:
    """(for each shape the number of its name, whether by columns)."""
    in_order = [at if at < len(names) else None for at in range(len(shapes))]
    if len(names) == len(shapes):
        return in_order, False
    found: list[int | None] = []
    start = 0
    for match in shapes:
        over = [
            at
            for at in range(start, len(names))
            if match.start() - _BESIDE <= names[at][0] < match.end()
        ]
        found.append(over[0] if over else None)
        start = over[0] + 1 if over else start
    used = sum(at is not None for at in found)
    if used == min(len(names), len(shapes)):
        return found, True
    return in_order, False


def _some(words: Sequence[str]) -> str:
    """The first few, and how many others."""
    told = list(words[:MOST_TOLD])
    if words[MOST_TOLD:]:
        told.append(many(len(words) - MOST_TOLD, "other"))
    return listed(told)
