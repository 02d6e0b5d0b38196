"""The head of the first page: title, maker, and how the tune is played.

Public: head, Panel.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement, pairwise

from tune.time import QUARTER, Tempo
from undersong.sheet.engraved.facts import (
    BRIEF,
    FIRST,
    FULL,
    Fact,
    facts,
    named_only,
    written_out,
)
from undersong.sheet.engraved.look import Look
from undersong.sheet.engraved.score import Score
from undersong.sheet.engraved.signs import note_sign, signed, signed_width
from undersong.sheet.lettering import POINT, rule, width, words, wrapped
from undersong.sheet.paper import SANS, SERIF
from undersong.sheet.text_bar import tempo_words
from undersong.sheet.text_signs import plain

_LEADING = 1.32

_BETWEEN = 8.0
"""mm between two columns, or two facts in a row."""


@dataclass(frozen=True)
class Panel:
    """drawn: SVG from (0, 0), in mm; height: mm."""

    drawn: str
    height: float


def head(score: Score, room: float, scale: float, look: Look, way: str = FULL) -> Panel:
    """Title, who made it, and how it is played, in columns under a rule: two, or three across a
    broad page; way: one of ``HEADS``."""
    short = way != FULL
    title, small = 20 * POINT * scale, 9 * POINT * scale
    broad = score.options.paper.width_mm > score.options.paper.height_mm
    drawn, y = _titles(score, room, title, small * 1.1, look, beside=broad or short)
    y += small * (0.5 if short else 0.8)
    drawn.append(rule(0, y, room, y, 0.5, ink=look.accent))
    y += small * (0.3 if short else 0.5)
    told = list(facts(score))
    if short:
        chosen = [named_only(fact) for fact in told if way == BRIEF or fact[0] in FIRST]
        rows, y = _in_rows(score, chosen, y, room, small, look)
    else:
        rows, y = _in_columns(score, told, y, room, 3 if broad else 2, small, look)
    drawn += rows
    y += small * (0.1 if short else 0.6)
    for line in wrapped(written_out(score), room, small):
        y += small * _LEADING
        drawn.append(words(0, y, line, small))
    return Panel("".join(drawn), y + small * 0.9)


def _titles(
    score: Score, room: float, title: float, small: float, look: Look, beside: bool
) -> tuple[list[str], float]:
    """Title and maker, and how far down they reach; beside: on one line where they fit."""
    tune = score.arrangement.tune
    drawn: list[str] = []
    y = 0.0
    lines = wrapped(plain(tune.title, unicode=True), room, title, bold=True) or ["?"]
    for line in lines:
        y += title * 1.05
        drawn.append(signed(0, y, line, title, bold=True, kind="title").replace(SANS, SERIF))
    credit = plain(tune.composer or tune.source, unicode=True)
    taken = signed_width(lines[-1], title, bold=True) + title
    if beside and credit and taken + width(credit, small) <= room:
        drawn.append(words(room, y, credit, small, anchor="end", fill=look.soft))
        return drawn, y + title * 0.1
    y += title * 0.25
    for line in wrapped(credit, room, small):
        y += small * _LEADING
        drawn.append(words(0, y, line, small, fill=look.soft))
    return drawn, y


def _in_columns(
    score: Score, chosen: Sequence[Fact], y: float, room: float, many: int, small: float, look: Look
) -> tuple[list[str], float]:
    """Each fact's name with its words beside it, in columns as level as can be."""
    column = (room - _BETWEEN * (many - 1)) / many
    lines = [wrapped(told, column - _name(small), small) or [""] for _, told in chosen]
    drawn: list[str] = []
    bottom = y
    for at, (start, end) in enumerate(_level([len(some) for some in lines], many)):
        left, base = at * (column + _BETWEEN), y
        for (name, _), some in zip(chosen[start:end], lines[start:end], strict=True):
            drawn.append(
                words(left, base + small * _LEADING, name, small, bold=True, fill=look.accent)
            )
            for line in some:
                base += small * _LEADING
                drawn.append(_fact(score, name, left + _name(small), base, line, small))
        bottom = max(bottom, base)
    return drawn, bottom


def _level(heights: Sequence[int], many: int) -> list[tuple[int, int]]:
    """(start, end) of what each column holds, in order, the tallest as low as can be; of equals
    the one whose first columns are fuller."""
    count = len(heights)

    def cost(cuts: tuple[int, ...]) -> tuple[int, list[int]]:
        edges = (0, *cuts, count)
        tall = [sum(heights[start:end]) for start, end in pairwise(edges)]
        return max(tall), [-one for one in tall]

    best = min(combinations_with_replacement(range(count + 1), many - 1), key=cost)
    return list(pairwise((0, *best, count)))


def _in_rows(
    score: Score, chosen: Sequence[Fact], y: float, room: float, small: float, look: Look
) -> tuple[list[str], float]:
    """Facts one after the other, as many in a row as there is room for."""
    drawn: list[str] = []
    x = 0.0
    y += small * _LEADING
    for name, told in chosen:
        label = width(f"{name}  ", small, bold=True)
        wide = label + signed_width(told, small)
        if x > 0 and x + wide > room:
            x, y = 0.0, y + small * _LEADING
        for at, line in enumerate(wrapped(told, room - x - label, small) or [""]):
            y += small * _LEADING if at else 0.0
            if at == 0:
                drawn.append(words(x, y, name, small, bold=True, fill=look.accent))
            drawn.append(_fact(score, name, x + label, y, line, small))
        x += wide + _BETWEEN
    return drawn, y


def _fact(score: Score, name: str, x: float, y: float, line: str, size: float) -> str:
    if name == "Tempo":
        return _tempo(x, y, score.arrangement.tune.tempo, size)
    return signed(x, y, line, size, kind="fact")


def _name(size: float) -> float:
    """mm from a fact's name to its words."""
    return size * 6.2


def _tempo(x: float, y: float, tempo: Tempo, size: float) -> str:
    """A note of the beat's value, and how many of it in a minute; plain words where the beat is
    no note value."""
    for base in (1, 2, 4, 8, 16):
        whole = 4 * QUARTER // base
        for dots, length in ((0, whole), (1, whole * 3 // 2)):
            if tempo.beat == length:
                drawn, wide = note_sign(x, y, size * 1.15, base, dots, "#000")
                return drawn + words(x + wide + 0.8, y, f"= {tempo.per_minute}", size)
    return words(x, y, tempo_words(tempo), size)
