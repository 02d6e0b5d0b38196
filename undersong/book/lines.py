"""Rows of a book's lists: a line with dots that lead to its page, a line of a table, plain text.

Lengths are mm.

Public: leading_row, table_row, table_top, text_rows, group_row, kept_together, Columns.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from undersong.book.columns import Area, Row
from undersong.book.indexes import Line
from undersong.book.look import LINE, Look
from undersong.sheet.engraved.signs import signed, signed_width
from undersong.sheet.lettering import number, rule, shortened, wrapped

_MOST_LINES = 4
"""That a title may take in a list; what is longer ends in dots there."""


@dataclass(frozen=True)
class Columns:
    """Of the contents. key, tuning, page: mm that each is wide, the room before it included."""

    key: float
    tuning: float
    page: float

    @classmethod
    def holding(cls, look: Look, keys: Sequence[str], tunings: Sequence[str]) -> "Columns":
        """As wide as what stands in them, the tuning no wider than a third of the page."""
        gap = 5.0 * look.k
        spare = 0.2  # so that what is as wide as its column is not taken for wider
        key = max((signed_width(text, look.text) for text in (*keys, "Key")), default=0.0)
        tuning = max((signed_width(text, look.text) for text in (*tunings, "Tuning")), default=0.0)
        page = max(signed_width("0000", look.text), signed_width("Page", look.small, bold=True))
        return cls(
            min(key + spare, look.room / 4) + gap,
            min(tuning + spare, look.room / 3) + gap,
            page + 0.6 * gap,
        )


def table_top(look: Look, columns: Columns) -> Row:
    """The heads of the contents' columns."""
    size = look.small
    wide = look.room

    def draw(left: float, top: float) -> str:
        y = top + size
        key = left + wide - columns.page - columns.tuning - columns.key
        gap = 5.0 * look.k
        drawn = [
            signed(left, y, "Title", size, bold=True, fill=look.accent),
            signed(key + gap, y, "Key", size, bold=True, fill=look.accent),
            signed(key + columns.key + gap, y, "Tuning", size, bold=True, fill=look.accent),
            signed(left + wide, y, "Page", size, bold=True, fill=look.accent, anchor="end"),
        ]
        return "".join(drawn)

    return Row(size * 1.2, draw)


def table_row(
    title: str, key: str, tuning: str, page: int, look: Look, columns: Columns, gap: float = 0.0
) -> Row:
    """A line of the contents: dots lead from the end of the title to its key."""
    size, wide = look.text, look.room
    space = 5.0 * look.k
    table = bool(key or tuning)
    key_at = wide - columns.page - columns.tuning - columns.key
    end = key_at + space if table else wide - columns.page + 0.4 * space
    titles = _lines(title, end - 2 * space, size)
    keys, tunings = (
        wrapped(key, columns.key - space, size),
        wrapped(tuning, columns.tuning - space, size),
    )
    many = max(len(titles), len(keys), len(tunings), 1)

    def draw(left: float, top: float) -> str:
        base = top + size * (LINE * (many - 1) + 1.06)
        drawn = [_stacked(left, base, titles, look, hanging=True)]
        drawn.append(_stacked(left + key_at + space, base, keys, look))
        drawn.append(_stacked(left + key_at + columns.key + space, base, tunings, look))
        begin = left + _width(titles, size, look)
        drawn.append(_dots(begin, left + end, base, look))
        drawn.append(signed(left + wide, base, str(page), size, anchor="end"))
        return "".join(drawn)

    height = size * LINE * many
    return Row(height, draw, gap, ((0.0, 0.0, wide, height, page),))


def leading_row(line: Line, room: float, look: Look) -> Row:
    """A line of an index: dots lead to its page or pages."""
    size = look.text * 0.95
    space = 1.6 * size
    figures = [str(page) for page in line.pages]
    comma = signed_width(", ", size)
    last = sum(signed_width(text, size) for text in figures) + comma * (len(figures) - 1)
    pages = max(last, signed_width("000", size))
    detail = pages + space * 0.8
    taken = detail + signed_width(line.detail, size) if line.detail else pages
    titles = _lines(line.words, room - taken - 2.5 * space, size)
    height = size * LINE * len(titles)

    def draw(left: float, top: float) -> str:
        base = top + size * (LINE * (len(titles) - 1) + 1.06)
        drawn = [_stacked(left, base, titles, look, hanging=True, size=size)]
        if line.detail:
            drawn.append(signed(left + room - detail, base, line.detail, size, anchor="end"))
        begin = left + _width(titles, size, look)
        drawn.append(_dots(begin, left + room - taken - 0.5 * space, base, look))
        drawn.append(signed(left + room, base, ", ".join(figures), size, anchor="end"))
        return "".join(drawn)

    areas: list[Area] = [(0.0, 0.0, room - last, height, line.pages[0])]
    right = room - last
    for at, (text, page) in enumerate(zip(figures, line.pages, strict=True)):
        wide = signed_width(text, size) + (comma if at + 1 < len(figures) else 0.0)
        areas.append((right, 0.0, right + wide, height, page))
        right += wide
    return Row(height, draw, areas=tuple(areas))


def group_row(heading: str, room: float, look: Look, *, again: bool = False) -> Row:
    """The heading of lines in an index; again: at the top of a column that goes on with them."""
    size = look.text
    lines = _lines(f"{heading}, continued" if again else heading, room, size, bold=True)
    height = size * LINE * len(lines) + 0.35 * size

    def draw(left: float, top: float) -> str:
        base = top + size * 1.1
        drawn = [
            signed(left, base + size * LINE * at, line, size, bold=not again, fill=look.accent)
            for at, line in enumerate(lines)
        ]
        y = base + size * (LINE * (len(lines) - 1) + 0.34)
        return "".join(drawn) + rule(left, y, left + room, y, 0.15, ink=look.soft)

    return Row(height, draw, 0.9 * size, joined=not again)


def text_rows(
    text: str,
    look: Look,
    *,
    size: float = 0.0,
    bold: bool = False,
    soft: bool = False,
    indent: float = 0.0,
    dot: bool = False,
    gap: float = 0.0,
    joined: bool = False,
) -> list[Row]:
    """A text as lines that may be parted, but for the first and the last two; dot: a mark before
    it; joined: the last line stays with what follows."""
    size = size or look.text
    fill = look.soft if soft else "#000"
    lines = wrapped(text, look.room - indent, size, bold)
    many = len(lines)

    def row(at: int, line: str) -> Row:
        def draw(left: float, top: float) -> str:
            mark = ""
            if dot and at == 0:
                x, y = left + indent - 0.9 * size, top + 0.72 * size
                mark = (
                    f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(0.14 * size)}" '
                    f'fill="{fill}"/>'
                )
            return mark + signed(left + indent, top + size, line, size, bold=bold, fill=fill)

        together = at == 0 < many - 1 or at == many - 2 or (joined and at == many - 1)
        return Row(size * 1.34, draw, gap if at == 0 else 0.0, joined=together)

    return [row(at, line) for at, line in enumerate(lines)]


def _lines(text: str, room: float, size: float, bold: bool = False) -> list[str]:
    """No more than a few; the last ends in dots where there would be more."""
    lines = wrapped(text, room, size, bold) or ["?"]
    if len(lines) > _MOST_LINES:
        last = shortened(f"{lines[_MOST_LINES - 1]} {lines[_MOST_LINES]}", room, size, bold)
        lines = [*lines[: _MOST_LINES - 1], last]
    return lines


def _stacked(
    left: float,
    base: float,
    lines: Sequence[str],
    look: Look,
    *,
    hanging: bool = False,
    size: float = 0.0,
) -> str:
    """Lines the last of which stands on the base line; hanging: all but the first indented."""
    size = size or look.text
    many = len(lines)
    return "".join(
        signed(
            left + (_HANG * size if hanging and at else 0.0),
            base - size * LINE * (many - 1 - at),
            line,
            size,
        )
        for at, line in enumerate(lines)
    )


_HANG = 1.2


def _width(lines: Sequence[str], size: float, look: Look) -> float:
    """mm that the last of hanging lines reaches."""
    return signed_width(lines[-1], size) + (_HANG * size if len(lines) > 1 else 0.0)


def _dots(begin: float, end: float, base: float, look: Look) -> str:
    """Dots from words to figures, level with those of other lines; none where there is no room for
    a few."""
    step = 1.7 * look.k
    begin, end = begin + 1.2 * look.k, end - 1.6 * look.k
    many = int((end - begin) / step)
    if many < 2:
        return ""
    y = number(base - 0.1 * look.k)
    return (
        f'<line x1="{number(end)}" y1="{y}" x2="{number(end - many * step)}" y2="{y}" '
        f'stroke="{look.soft}" stroke-width="{number(0.35 * look.k)}" stroke-linecap="round" '
        f'stroke-dasharray="0 {number(step)}"/>'
    )


def kept_together(rows: Sequence[Row]) -> list[Row]:
    """Rows under a heading: it stays with the first, the first with the second, the last with the
    one before; a column that begins within them repeats nothing unless they say so."""
    many = len(rows)
    return [
        replace(row, joined=many > 1 and (at == 0 or at == many - 2)) for at, row in enumerate(rows)
    ]
