"""Whole pages: the head, as many lines as fit, the legend, and a foot on each.

Lines are shared out evenly over as few pages as hold them, a little smaller where that saves a
page, and stand further apart, then lower, where there is room. Where the head leaves room for no
more than one line, a shorter one is tried.

Public: engraved_pages, systems_of, glyphs_in, Page.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from solver.result import Arrangement
from undersong.sheet.engraved.engine import engraved_lines
from undersong.sheet.engraved.facts import HEADS
from undersong.sheet.engraved.heading import Panel, head
from undersong.sheet.engraved.legend import legend
from undersong.sheet.engraved.lines import last_width, line_breaks
from undersong.sheet.engraved.look import Look, look_of
from undersong.sheet.engraved.mei import figure_id, mei_of
from undersong.sheet.engraved.picture import Glyphs, Picture, picture_of
from undersong.sheet.engraved.score import Score, score_of
from undersong.sheet.engraved.signs import symbol_width
from undersong.sheet.engraved.staff import staff_bars
from undersong.sheet.engraved.system import System, system_of
from undersong.sheet.errors import SheetError
from undersong.sheet.lettering import POINT, number, shortened, words
from undersong.sheet.page_options import PageOptions
from undersong.sheet.text_signs import plain

_CLOSEST = (5.0, 3.5, 2.2)
"""mm between two lines at the least, before anything is enlarged: as wide as saves no page."""

_SMALLER = 0.94
"""Of its size the music may be printed, but for large print, where that saves a page."""

_WIDEST = 20.0
"""mm between two lines at the most, likewise."""

_LOWEST = 8.0
"""mm that a page's lines are set lower at the most, likewise, where they leave room for more: the
page is fuller at its middle than at its top."""


_AIR = (1.0, 1.1, 1.25, 2.0)
"""How wide bars count when lines are broken, in their natural widths, to be tried in turn: what
fills a line to the brim the library breaks once more by itself."""


@dataclass(frozen=True)
class Page:
    """svg: width and height in mm; sections: that begin on it."""

    svg: str
    sections: tuple[str, ...]


@dataclass(frozen=True)
class _Fit:
    """scale: how much lines are enlarged; room: mm from the top margin to the foot; closest: mm
    between two lines at the least; foot: height of its type."""

    scale: float
    room: float
    closest: float
    foot: float


def engraved_pages(arrangement: Arrangement, options: PageOptions) -> tuple[Page, ...]:
    """Every page of the arrangement."""
    score, look = score_of(arrangement, options), look_of(options)
    glyphs: Glyphs = {}
    wide, high = options.paper.room_mm
    systems, scale = systems_of(score, look, glyphs, wide)
    furniture = min(scale, 1.35)
    foot = 8 * POINT * furniture
    room = high - 2.2 * foot
    top, last = _around(score, wide, furniture, look)

    def sharing(systems: Sequence[System], scale: float) -> tuple[list[int], float]:
        heights = [system.height * scale for system in systems]
        return _shared(heights, top.height, last.height, room, scale)

    shared, closest = sharing(systems, scale)
    if not options.large and len(sharing(systems, scale * _SMALLER)[0]) < len(shared):
        smaller, less = systems_of(score, look, glyphs, wide, _SMALLER)
        again, nearer = sharing(smaller, less)
        if len(again) < len(shared):
            systems, scale, shared, closest = smaller, less, again, nearer
    if shared[0] == 1 < len(systems):  # a head that leaves room for one line alone
        kept, best = (top, last), _emptiness(shared)
        for way in HEADS[1:]:
            top, last = _around(score, wide, furniture, look, way)
            again, nearer = sharing(systems, scale)
            if _emptiness(again) < best:
                kept, best = (top, last), _emptiness(again)
                shared, closest = again, nearer
        top, last = kept
    pages: list[Page] = []
    begin = 0
    for at, count in enumerate(shared):
        chosen = systems[begin : begin + count]
        begin += count
        first, final = at == 0, at + 1 == len(shared)
        pages.append(
            _page(
                score,
                chosen,
                glyphs,
                top if first else None,
                last if final else None,
                f"Page {at + 1} of {len(shared)}",
                _Fit(scale, room, closest, foot),
                look,
            )
        )
    return tuple(pages)


def _around(
    score: Score, wide: float, scale: float, look: Look, way: str = HEADS[0]
) -> tuple[Panel, Panel]:
    """Head and legend."""
    return head(score, wide, scale, look, way), legend(score, wide, scale, look, way)


def _emptiness(shared: Sequence[int]) -> tuple[int, int]:
    """Pages, and how many of them have no more than one line."""
    return len(shared), sum(count < 2 for count in shared)


def systems_of(
    score: Score, look: Look, glyphs: Glyphs, wide: float, part: float = 1.0
) -> tuple[list[System], float]:
    """The lines, and how much they are enlarged: as asked, or less where a bar would not fit on a
    line of its own. wide: mm of a line as printed; part: of the size that is asked for."""
    staff = staff_bars(score)
    scale = score.options.enlarged * part
    room = wide / scale
    natural = picture_of(
        engraved_lines(mei_of(score, staff, look), None, look.lyric)[0], score.staff, {}
    )
    widths = [
        max(place.right - place.left, _chords_width(score, place.index, look))
        for place in natural.bars
    ]
    opening = 0.0
    if score.staff:
        opening = 9.0 + 2.0 * abs(score.bars[0].bar.key.fifths)
    widest = widths[0] if len(widths) == 1 else max(widths[0], *(w + opening for w in widths[1:]))
    if widest > room:
        scale, room = scale * room / widest, widest
    for air in _AIR:
        breaks = frozenset(line_breaks(score, [own * air for own in widths], opening, room))
        last = last_width(score, sorted(breaks), widths, opening, room)
        lines = engraved_lines(mei_of(score, staff, look, breaks), room, look.lyric, last)
        if all(line.count('class="system"') == 1 for line in lines):
            break
    if len(lines) != len(breaks) + 1:
        raise SheetError("the engraving library broke lines of its own (please report it)")
    pictures = [picture_of(line, score.staff, glyphs) for line in lines]
    _check_whole(score, pictures)
    return [system_of(score, picture, look) for picture in pictures], scale


def _check_whole(score: Score, pictures: Sequence[Picture]) -> None:
    """Refuses a page on which a bar, or the place of a figure, is missing."""
    bars = [place.index for picture in pictures for place in picture.bars]
    placed = {name for picture in pictures for name in picture.places}
    missing = score.tab and any(
        figure_id(index, hit.tick, figure.course) not in placed
        for index, bar in enumerate(score.bars)
        for hit in bar.hits
        for figure in hit.figures
    )
    if missing or bars != list(range(len(score.bars))):
        raise SheetError("the engraving library left something out of the page (please report it)")


def _chords_width(score: Score, index: int, look: Look) -> float:
    """mm that the bar's chord symbols take side by side."""
    return sum(symbol_width(chord, look.chord) + 1.5 for _, chord in score.chords(index))


def _shared(
    heights: Sequence[float],
    head: float,
    legend: float,
    room: float,
    scale: float,
) -> tuple[list[int], float]:
    """How many lines each page holds, and mm between two of them at the least: closer together
    where that saves a page."""
    tries = [(_filled(heights, head, legend, room, gap * scale), gap * scale) for gap in _CLOSEST]
    fewest = min(len(counts) for counts, _ in tries)
    return next((counts, gap) for counts, gap in tries if len(counts) == fewest)


def _filled(
    heights: Sequence[float],
    head: float,
    legend: float,
    room: float,
    between: float,
) -> list[int]:
    """Lines a page: as few pages as hold them, filled as evenly as can be, none but the first with
    a single line where that can be helped. A legend that fits below no line has a page of its
    own."""
    count = len(heights)
    best: dict[int, tuple[int, float, list[int]]] = {0: (0, 0.0, [])}
    for end in range(1, count + 1):
        found: tuple[int, float, list[int]] | None = None
        for start in range(end - 1, -1, -1):
            need = sum(heights[start:end]) + between * (end - start - 1)
            need += head if start == 0 else 0.0
            need += legend + between if end == count else 0.0
            pages, empty, counts = best[start]
            alone = end - start == 1 and start > 0
            if need > room and end - start > 1:
                break
            if need > room and end == count:
                pages += 1  # the legend, or what is too high for a page
            cost = empty + max(0.0, room - need) ** 2 + (room * room if alone else 0.0)
            if found is None or (pages + 1, cost) < found[:2]:
                own = [end - start, 0] if need > room and end == count else [end - start]
                found = pages + 1, cost, [*counts, *own]
        assert found is not None, "one line always has a page"
        best[end] = found
    return best[count][2]


def _page(
    score: Score, systems: Sequence[System], glyphs: Glyphs, top: Panel | None,
    last: Panel | None, told: str, fit: _Fit, look: Look,
) -> Page:  # fmt: skip
    paper, scale, room, foot = score.options.paper, fit.scale, fit.room, fit.foot
    margin = paper.margin_mm
    used = sum(system.height for system in systems) * scale
    used += (top.height if top else 0.0) + (last.height if last else 0.0)
    gaps = max(1, len(systems) - 1 + (1 if last else 0))
    between = max(fit.closest, min(_WIDEST * scale, (room - used) / gaps))
    spare = 0.0 if last else room - used - between * (len(systems) - 1)
    lower = max(0.0, min(_LOWEST * scale, spare / 2))
    drawn: list[str] = []
    y = margin
    if top is not None:
        drawn.append(f'<g transform="translate({number(margin)} {number(y)})">{top.drawn}</g>')
        y += top.height
    y += lower
    for system in systems:
        drawn.append(
            f'<g class="line" transform="translate({number(margin)} {number(y)}) '
            f'scale({number(scale)})">{system.drawn}</g>'
        )
        y += system.height * scale + between
    if last is not None:
        at = margin + room - last.height
        drawn.append(f'<g transform="translate({number(margin)} {number(at)})">{last.drawn}</g>')
    wide, base = paper.width_mm, paper.height_mm - margin
    if not score.options.bound:
        title = shortened(plain(score.arrangement.tune.title, unicode=True), wide * 0.6, foot)
        drawn.append(words(margin, base, title, foot, fill=look.soft))
        drawn.append(words(wide - margin, base, told, foot, anchor="end", fill=look.soft))
    body = "\n".join(drawn)
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'width="{number(wide)}mm" height="{number(paper.height_mm)}mm" '
        f'viewBox="0 0 {number(wide)} {number(paper.height_mm)}" color="#000">\n'
        f"<defs>{''.join(glyphs_in(body, glyphs))}</defs>\n"
        f'<rect width="{number(wide)}" height="{number(paper.height_mm)}" fill="#fff"/>\n'
        f"{body}\n</svg>\n"
    )
    return Page(svg, tuple(title for system in systems for title in system.sections))


def glyphs_in(drawn: str, glyphs: Glyphs) -> tuple[str, ...]:
    """The definitions of the glyphs that a drawing uses, in order of their names."""
    return tuple(
        f'<path id="{name}" transform="scale(1,-1)" d="{path}"/>'
        for name, path in sorted(glyphs.items())
        if f'"#{name}"' in drawn
    )
