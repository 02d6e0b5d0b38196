"""Pages of rows in columns, under headings that are told again where they go on.

Lengths are mm. A row knows its height and draws itself where it is put. Rows that are joined stay
together; a column that begins within a group has the group's heading again. The last page of a
section has columns of one height; a section that fits below another one stands there.

Public: Row, Section, Sheet, Area, set_pages, page_svg.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from undersong.book.look import BETWEEN, Look
from undersong.book.paged import Link
from undersong.sheet.lettering import POINT, number, rule, words, wrapped
from undersong.sheet.paper import SANS, SERIF, Paper

_STEP = 0.5
"""mm by which columns of one height are tried."""

_ENOUGH = 0.35
"""Of a page that is left below one section, so that the next begins there though it goes on."""

_LEAST = 0.22
"""Of a page that the last page of a section is filled at the least, where it has others."""

Area = tuple[float, float, float, float, int]
"""Left, top, right, bottom in mm from where its row stands, and the page that it leads to."""


@dataclass(frozen=True)
class Row:
    """height, gap: its own, and the room above it where it does not begin its column; draw: (left,
    top) → SVG; areas: that lead somewhere; joined: the next row stands in the same column; again:
    what is set above it where it begins a column."""

    height: float
    draw: Callable[[float, float], str]
    gap: float = 0.0
    areas: tuple[Area, ...] = ()
    joined: bool = False
    again: "Row | None" = None


@dataclass(frozen=True)
class Section:
    """title: its heading; note: a sentence below; rows; columns: how many beside one another; top:
    heads the columns of a table, on every page; fresh: begins a page."""

    title: str
    rows: tuple[Row, ...]
    columns: int = 1
    note: str = ""
    top: Row | None = None
    fresh: bool = False


@dataclass(frozen=True)
class Sheet:
    """One page: its SVG, what leads somewhere, the sections on it, those that begin on it."""

    svg: str
    links: tuple[Link, ...]
    titles: tuple[str, ...]
    begun: tuple[str, ...] = ()


def set_pages(sections: Sequence[Section], look: Look) -> tuple[Sheet, ...]:
    """The sections on as many pages as they need, none where there are none."""
    book = _Pages(look)
    for section in sections:
        book.add(section)
    return book.sheets()


@dataclass
class _Page:
    drawn: list[str] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    titles: list[str] = field(default_factory=list)
    begun: list[str] = field(default_factory=list)


Placed = list[tuple[Row, float]]
"""Rows of a column, and how far below its top each stands."""


class _Pages:
    """The pages so far, and how far down the last is full."""

    def __init__(self, look: Look) -> None:
        self.look, self.pages = look, list[_Page]()
        self.y = look.bottom

    def sheets(self) -> tuple[Sheet, ...]:
        return tuple(
            Sheet(
                page_svg(self.look.paper, page.drawn),
                tuple(page.links),
                tuple(page.titles),
                tuple(page.begun),
            )
            for page in self.pages
        )

    def add(self, section: Section) -> None:
        look = self.look
        chunks = _chunks(section.rows)
        head = _head(section, look, look.title, section.title, section.note)
        if self.pages and not section.fresh and self.y > look.paper.margin_mm:
            above = 11 * look.k
            left = look.bottom - self.y - above - _height(head)
            whole = left > 0 and not _filled(chunks, left, section.columns)[1]
            if whole or left > _ENOUGH * look.whole:
                self.y += above
                self._put(section, head, chunks)
                return
        self._turn()
        self._put(section, head, chunks)

    def _turn(self) -> None:
        self.pages.append(_Page())
        self.y = self.look.paper.margin_mm

    def _put(self, section: Section, head: Placed, chunks: list[list[Row]]) -> None:
        """The section from here on, over as many pages as it needs."""
        look = self.look
        self.pages[-1].begun.append(section.title)
        more = f"{section.title}, continued"
        while True:
            self.pages[-1].titles.append(section.title)
            self._draw([head], look.room)
            self.y += _height(head)
            height = look.bottom - self.y
            columns, rest = _filled(chunks, height, section.columns)
            if rest:
                columns, rest = self._shared(chunks, height, section.columns)
            else:
                height, columns = _level(chunks, height, section.columns)
            self._draw(columns, look.column(section.columns))
            self.y += height
            if not rest:
                return
            chunks = rest
            head = _head(section, look, 12 * POINT * look.k, more, "")
            self._turn()

    def _shared(
        self, chunks: list[list[Row]], height: float, many: int
    ) -> tuple[list[Placed], list[list[Row]]]:
        """The columns of this page, less full where next to nothing would be left for the last."""
        whole, full = self.look.whole, height
        columns, rest = _filled(chunks, height, many)
        if _filled(rest, whole, many)[1]:
            return columns, rest
        while _level(rest, whole, many)[0] < _LEAST * whole and height > 0.6 * full:
            height -= 4 * _STEP
            columns, rest = _filled(chunks, height, many)
            if _filled(rest, 0.9 * whole, many)[1]:
                break
        return columns, rest

    def _draw(self, columns: Sequence[Placed], wide: float) -> None:
        page, look = self.pages[-1], self.look
        for at, column in enumerate(columns):
            left = look.paper.margin_mm + at * (wide + BETWEEN * look.k)
            for row, below in column:
                top = self.y + below
                page.drawn.append(row.draw(left, top))
                page.links += [_link(area, left, top, look.paper) for area in row.areas]


def _link(area: Area, left: float, top: float, paper: Paper) -> Link:
    x1, y1, x2, y2, page = area
    high = paper.height_mm
    corners = (left + x1, high - top - y2, left + x2, high - top - y1)
    return Link((*(mm / POINT for mm in corners),), page)  # type: ignore[arg-type]


def _chunks(rows: Sequence[Row]) -> list[list[Row]]:
    """Rows that stay together."""
    found: list[list[Row]] = []
    joined = False
    for row in rows:
        if joined:
            found[-1].append(row)
        else:
            found.append([row])
        joined = row.joined
    return found


def _filled(
    chunks: Sequence[list[Row]], height: float, many: int
) -> tuple[list[Placed], list[list[Row]]]:
    """As much as so many columns of that height hold, and what is left. What is higher than a
    column has one for itself."""
    columns: list[Placed] = []
    column: Placed = []
    y = 0.0
    for at, chunk in enumerate(chunks):
        own = sum(row.height + row.gap for row in chunk) - chunk[0].gap
        if column and y + chunk[0].gap + own > height + 1e-6:
            columns.append(column)
            if len(columns) == many:
                return columns, list(chunks[at:])
            column, y = [], 0.0
        again = chunk[0].again
        if not column and again is not None:
            column.append((again, 0.0))
            y = again.height
        for row in chunk:
            y += row.gap if column else 0.0
            column.append((row, y))
            y += row.height
    return [*columns, column], []


def _level(chunks: Sequence[list[Row]], most: float, many: int) -> tuple[float, list[Placed]]:
    """The columns as low as they can be, and their height."""
    columns = _filled(chunks, most, many)[0]
    if many > 1:
        height = sum(row.height for chunk in chunks for row in chunk) / many
        while height < most:
            tried, rest = _filled(chunks, height, many)
            if not rest and max(map(_height, tried)) <= height + 1e-6:
                columns = tried
                break
            height += _STEP
    return max(map(_height, columns)), columns


def _height(column: Placed) -> float:
    if not column:
        return 0.0
    row, top = column[-1]
    return top + row.height


def _head(section: Section, look: Look, size: float, title: str, note: str) -> Placed:
    """A section's heading under which its rows stand: title, rule, note, the table's head."""
    lines = wrapped(title, look.room, size, bold=True)
    thick = 0.5 if note or size == look.title else 0.3
    deep = size * 1.1 * len(lines) + size * 0.35

    def draw(left: float, top: float) -> str:
        drawn = [
            words(left, top + size * (1.1 * at + 0.85), line, size, bold=True).replace(SANS, SERIF)
            for at, line in enumerate(lines)
        ]
        y = top + deep
        return "".join(drawn) + rule(left, y, left + look.room, y, thick, ink=look.accent)

    placed: Placed = [(Row(deep, draw), 0.0)]
    for line in wrapped(note, look.room, look.small):
        placed.append((_note(line, look), _height(placed) + 0.3 * look.small))
    if section.top is not None:
        placed.append((section.top, _height(placed) + 1.2 * look.k))
    placed.append((Row(2.4 * look.k, lambda left, top: ""), _height(placed)))
    return placed


def _note(line: str, look: Look) -> Row:
    size = look.small
    return Row(
        size * 1.25,
        lambda left, top: words(left, top + size, line, size, fill=look.soft),
    )


def page_svg(paper: Paper, drawn: Sequence[str]) -> str:
    """A page with that on it."""
    wide, high = number(paper.width_mm), number(paper.height_mm)
    body = "\n".join(part for part in drawn if part)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" '
        f'viewBox="0 0 {wide} {high}" color="#000">\n'
        f'<rect width="{wide}" height="{high}" fill="#fff"/>\n{body}\n</svg>\n'
    )
