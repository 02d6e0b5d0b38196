"""The music as one drawing for a screen: no paper, no head, no legend, and where every bar is.

    made = screen(arrangement, width_mm=250, options=PageOptions())
    made.svg            # one <svg>, in mm; put it into a page as it is
    made.bars[4]        # BarPlace(bar=5, played=(5, 13), line=1, x=…, y=…, width=…, height=…)

In the drawing each bar has a rectangle without ink over it, last in its file, so that it takes
clicks and can be coloured (thinly) by a style sheet:

    <rect class="bar" data-bar="5" data-played="5 13" data-line="1" x=… y=… width=… height=…
     fill="none" pointer-events="all"/>

``data-played`` names the played bars that it stands for, counted from 1 as in ``Moment.bar`` and
``Heard.bar``: the bar that sounds is ``rect.bar[data-played~="13"]``. Each played bar is named by
one rectangle alone. To show the drawing as wide as its frame, give the svg element a width of
100 % by a style sheet; its viewBox is in mm, so that the rectangles go with it.

Public: screen, Screen, BarPlace.
"""

from dataclasses import dataclass

from solver.result import Arrangement
from undersong.sheet.engraved.look import look_of
from undersong.sheet.engraved.page import glyphs_in, systems_of
from undersong.sheet.engraved.picture import Glyphs
from undersong.sheet.engraved.score import score_of
from undersong.sheet.errors import SheetError
from undersong.sheet.lettering import number
from undersong.sheet.page_options import PageOptions

NARROWEST, WIDEST = 60.0, 1000.0
"""mm that a drawing may be wide."""

_MARGIN, _BETWEEN = 2.0, 5.0
"""mm at the edges, and between two lines before anything is enlarged."""


@dataclass(frozen=True)
class BarPlace:
    """One printed bar. bar: its number as printed, 0 for a pickup; played: numbers of the played
    bars that it stands for, from 1; line: from 0; x, y: its upper left corner; width, height: of
    all that is its line's, from the chord symbols down to the counts. Lengths in mm."""

    bar: int
    played: tuple[int, ...]
    line: int
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Screen:
    """svg: the drawing; width, height: its size in mm; bars: in the order they are printed in."""

    svg: str
    width: float
    height: float
    bars: tuple[BarPlace, ...]


def screen(arrangement: Arrangement, *, width_mm: float, options: PageOptions) -> Screen:
    """The whole arrangement as wide as asked and as high as it needs.

    The options' paper is of no account. The same input gives the same bytes. SheetError, one
    sentence, for a width that no drawing has, and where a page could not be engraved either.
    """
    if not NARROWEST <= width_mm <= WIDEST:
        raise SheetError(
            f"a drawing for a screen is {NARROWEST:g} to {WIDEST:g} mm wide, not {width_mm:g}"
        )
    glyphs: Glyphs = {}
    score = score_of(arrangement, options)
    systems, scale = systems_of(score, look_of(options), glyphs, width_mm - 2 * _MARGIN)
    drawn: list[str] = []
    bars: list[BarPlace] = []
    y = _MARGIN
    for line, system in enumerate(systems):
        high = system.height * scale
        drawn.append(
            f'<g class="line" transform="translate({number(_MARGIN)} {number(y)}) '
            f'scale({number(scale)})">{system.drawn}</g>'
        )
        for index, left, right in system.edges:
            bar = score.bars[index]
            bars.append(
                BarPlace(
                    bar.bar.number, bar.sheet.passes, line,
                    _MARGIN + left * scale, y, (right - left) * scale, high,
                )
            )  # fmt: skip
        y += high + _BETWEEN * scale
    height = y - _BETWEEN * scale + _MARGIN
    body = "\n".join([*drawn, *(_rect(place) for place in bars)])
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'width="{number(width_mm)}mm" height="{number(height)}mm" '
        f'viewBox="0 0 {number(width_mm)} {number(height)}" color="#000">\n'
        f"<defs>{''.join(glyphs_in(body, glyphs))}</defs>\n"
        f'<rect width="{number(width_mm)}" height="{number(height)}" fill="#fff"/>\n'
        f"{body}\n</svg>\n"
    )
    return Screen(svg, width_mm, height, tuple(bars))


def _rect(place: BarPlace) -> str:
    played = " ".join(str(number) for number in place.played)
    return (
        f'<rect class="bar" data-bar="{place.bar}" data-played="{played}" '
        f'data-line="{place.line}" x="{number(place.x)}" y="{number(place.y)}" '
        f'width="{number(place.width)}" height="{number(place.height)}" fill="none" '
        'pointer-events="all"/>'
    )
