"""Lines of staff and tab alone, to stand among other things on a page: no head, no legend.

Public: Strip, strips.
"""

from dataclasses import dataclass, replace

from solver.result import Arrangement
from undersong.sheet.engraved.look import look_of
from undersong.sheet.engraved.page import glyphs_in, systems_of
from undersong.sheet.engraved.picture import Glyphs
from undersong.sheet.engraved.score import Score, score_of
from undersong.sheet.folding import looped
from undersong.sheet.lettering import number
from undersong.sheet.page_options import PageOptions


@dataclass(frozen=True)
class Strip:
    """One line. height: mm as printed; scale: how much ``drawn`` is enlarged for that; glyphs: the
    definitions that the page must hold once, however many lines use them."""

    height: float
    scale: float
    drawn: str
    glyphs: tuple[str, ...]

    def at(self, left: float, top: float) -> str:
        """The line with its upper left corner there (mm)."""
        return (
            f'<g class="line" transform="translate({number(left)} {number(top)}) '
            f'scale({number(self.scale)})">{self.drawn}</g>'
        )


def strips(
    arrangement: Arrangement,
    options: PageOptions,
    wide: float = 0.0,
    *,
    part: float = 1.0,
    loop: bool = False,
) -> tuple[Strip, ...]:
    """The lines of an arrangement. wide: mm of each, 0 for as wide as the options' paper has room;
    part: of the size that is asked for; loop: repeat signs stand around all of it. SheetError as
    for whole pages."""
    glyphs: Glyphs = {}
    score, wide = score_of(arrangement, options), wide or options.paper.room_mm[0]
    if loop:
        score = _looped(score)
    systems, scale = systems_of(score, look_of(options), glyphs, wide, part)
    return tuple(
        Strip(system.height * scale, scale, system.drawn, glyphs_in(system.drawn, glyphs))
        for system in systems
    )


def _looped(score: Score) -> Score:
    folding = looped(score.folding)
    bars = tuple(
        replace(bar, sheet=sheet) for bar, sheet in zip(score.bars, folding.bars, strict=True)
    )
    return replace(score, folding=folding, bars=bars)
