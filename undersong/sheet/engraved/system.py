"""One line of the page: what stands above it, its staff, its tab.

Public: System, system_of.
"""

from dataclasses import dataclass

from undersong.sheet.engraved.above import rows_above
from undersong.sheet.engraved.look import Look
from undersong.sheet.engraved.picture import Picture
from undersong.sheet.engraved.score import Score
from undersong.sheet.engraved.tab import bar_lines, room_below, tab_height, tab_rows
from undersong.sheet.lettering import number, rule


@dataclass(frozen=True)
class System:
    """drawn: SVG in mm before anything is enlarged, from y = 0 down; height: mm; sections: that
    begin on it; edges: (index among the printed bars, left, right) of each of its bars, mm."""

    drawn: str
    height: float
    sections: tuple[str, ...]
    edges: tuple[tuple[int, float, float], ...]

    @property
    def bars(self) -> int:
        """How many it has."""
        return len(self.edges)


def system_of(score: Score, picture: Picture, look: Look) -> System:
    above = rows_above(score, picture, look)
    drawn = list(above.drawn)
    y = above.height
    heights: list[float] = []
    if picture.staff is not None:
        down = y + 0.8 - picture.top
        drawn.append(
            f'<g transform="translate(0 {number(down)}) scale(0.01)">{"".join(picture.marks)}</g>'
        )
        top, bottom = (down + edge for edge in picture.staff)
        middle = (top + bottom) / 2
        step = (bottom - top) / 8
        drawn += bar_lines(picture.bars, top, bottom, (middle - step, middle + step))
        heights += [top, bottom]
        y = down + picture.bottom
    if score.tab:
        damped = score.courses[0] == 0 and any(
            figure.damped for place in picture.bars for hit in score.bars[place.index].hits
            for figure in hit.figures
        )  # fmt: skip
        top = y + look.figure * 0.5 + (1.8 if picture.staff else 0.6) + (1.2 if damped else 0.0)
        tall = tab_height(score, look)
        bottom = top + tall
        over = look.gap * 0.5 if not tall else 0.0
        drawn += tab_rows(score, picture, top, look)
        middle = top + tall / 2
        drawn += bar_lines(
            picture.bars, top - over, bottom + over, (middle - look.gap / 2, middle + look.gap / 2)
        )
        heights += [top - over, bottom + over]
        y = bottom + room_below(score, look)
    left = picture.bars[0].left
    drawn.append(rule(left, min(heights), left, max(heights), 0.2))
    titles = (score.bars[place.index].bar.section for place in picture.bars)
    bars = tuple((place.index, place.left, place.right) for place in picture.bars)
    return System("".join(drawn), y, tuple(title for title in titles if title), bars)
