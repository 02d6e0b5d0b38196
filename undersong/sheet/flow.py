"""Pages of blocks: what is set one below the other until a page is full.

Lengths are mm. A block knows its height and draws itself where it is put; a block that is joined to
the next is never the last on its page.

Public: Block, Leaf, leaves, paragraph, heading, column, spread, snug, Foot.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from undersong.sheet.lettering import POINT, number, words, wrapped
from undersong.sheet.paper import Paper

LEADING = 1.3
"""From one base line to the next, in sizes of the type."""

_CLOSER = (1.0, 0.85, 0.7, 0.55, 0.4)
"""Shares of the room between blocks, to be tried in turn."""

Draw = Callable[[float, float], str]
"""(left, top) → SVG."""

Foot = Callable[[int, int], str]
"""(page from 1, pages) → what stands at its foot, at the left; the page's number stands at the
right."""


@dataclass(frozen=True)
class Block:
    """height, gap: its own, and the room above it where it is not the first of its page; joined:
    the next block stands on the same page; titles: bookmarks that lead here; fresh: begins a page;
    glyphs: definitions that its page must hold, each once however many blocks name it."""

    height: float
    draw: Draw
    gap: float = 0.0
    joined: bool = False
    titles: tuple[str, ...] = ()
    fresh: bool = False
    glyphs: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.height < 0 or self.gap < 0:
            raise ValueError("a block is no higher than nothing, nor is the room above it")


@dataclass(frozen=True)
class Leaf:
    """One page: its SVG and the titles that begin on it."""

    svg: str
    titles: tuple[str, ...]


def paragraph(
    text: str,
    room: float,
    size: float,
    *,
    bold: bool = False,
    gap: float = 0.0,
    joined: bool = False,
    title: str = "",
    indent: float = 0.0,
    fill: str = "#000",
) -> Block:
    """A text in lines no wider than the room; nothing where there is no text."""
    lines = wrapped(text, room - indent, size, bold)
    step = size * LEADING

    def draw(left: float, top: float) -> str:
        return "".join(
            words(left + indent, top + size + step * at, line, size, bold=bold, fill=fill)
            for at, line in enumerate(lines)
        )

    return Block(step * len(lines), draw, gap if lines else 0.0, joined, (title,) if title else ())


def heading(text: str, room: float, size: float, *, title: str = "", gap: float = 4.0) -> Block:
    """A heading that keeps to what follows it."""
    return paragraph(text, room, size, bold=True, gap=gap, joined=True, title=title)


def column(blocks: Sequence[Block]) -> Block:
    """Blocks one below the other as one, which is never parted."""
    tops: list[float] = []
    y = 0.0
    for at, block in enumerate(blocks):
        y += block.gap if at else 0.0
        tops.append(y)
        y += block.height

    def draw(left: float, top: float) -> str:
        return "".join(
            block.draw(left, top + below) for block, below in zip(blocks, tops, strict=True)
        )

    return Block(y, draw, titles=_titles(blocks), glyphs=_glyphs(blocks))


def spread(blocks: Sequence[Block], room: float, gap: float, many: int = 0) -> Block:
    """Blocks side by side in columns of one width, their tops level; many: how many columns, 0
    for as many as there are blocks."""
    wide = room / (many or len(blocks))

    def draw(left: float, top: float) -> str:
        return "".join(block.draw(left + wide * at, top) for at, block in enumerate(blocks))

    height = max(block.height for block in blocks)
    return Block(height, draw, gap, titles=_titles(blocks), glyphs=_glyphs(blocks))


def _titles(blocks: Sequence[Block]) -> tuple[str, ...]:
    return tuple(title for block in blocks for title in block.titles)


def _glyphs(blocks: Sequence[Block]) -> tuple[str, ...]:
    return tuple(glyph for block in blocks for glyph in block.glyphs)


def leaves(
    blocks: Sequence[Block], paper: Paper, foot: Foot, foot_size: float = 8 * POINT
) -> tuple[Leaf, ...]:
    """The blocks on as many pages as they need; at least one."""
    bottom = paper.height_mm - paper.margin_mm - 2.6 * foot_size
    pages: list[list[tuple[Block, float]]] = [[]]
    y = paper.margin_mm
    for first, last in _groups(blocks):
        group = blocks[first:last]
        tall = sum(block.height + block.gap for block in group) - group[0].gap
        gap = group[0].gap if pages[-1] else 0.0
        if pages[-1] and (group[0].fresh or y + gap + tall > bottom + 1e-6):
            pages.append([])
            y, gap = paper.margin_mm, 0.0
        for at, block in enumerate(group):
            y += gap if at == 0 else block.gap
            pages[-1].append((block, y))
            y += block.height
    return tuple(
        Leaf(
            _svg(paper, page, foot(at, len(pages)), f"{at} / {len(pages)}", foot_size),
            _titles([block for block, _ in page]),
        )
        for at, page in enumerate(pages, 1)
    )


def snug(
    blocks: Sequence[Block], paper: Paper, foot: Foot, foot_size: float = 8 * POINT
) -> tuple[Leaf, ...]:
    """The same, the blocks closer together where that saves a page."""
    ways = [
        leaves([replace(b, gap=b.gap * share) for b in blocks], paper, foot, foot_size)
        for share in _CLOSER
    ]
    return min(ways, key=len)


def _groups(blocks: Sequence[Block]) -> list[tuple[int, int]]:
    """(start, end) of blocks that stay together."""
    found: list[tuple[int, int]] = []
    start = 0
    for at, block in enumerate(blocks):
        if not block.joined or at == len(blocks) - 1:
            found.append((start, at + 1))
            start = at + 1
    return found


def _svg(
    paper: Paper, page: Sequence[tuple[Block, float]], left: str, right: str, size: float
) -> str:
    wide, high, margin = paper.width_mm, paper.height_mm, paper.margin_mm
    drawn = "\n".join(block.draw(margin, y) for block, y in page)
    base = high - margin
    glyphs = sorted({glyph for block, _ in page for glyph in block.glyphs})
    defined = f"<defs>{''.join(glyphs)}</defs>\n" if glyphs else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" '
        f'xmlns:xlink="http://www.w3.org/1999/xlink" width="{number(wide)}mm" '
        f'height="{number(high)}mm" viewBox="0 0 {number(wide)} {number(high)}" '
        f'color="#000">\n{defined}'
        f'<rect width="{number(wide)}" height="{number(high)}" fill="#fff"/>\n{drawn}\n'
        f"{words(margin, base, left, size)}\n"
        f"{words(wide - margin, base, right, size, anchor='end')}\n</svg>\n"
    )
