"""The practice plan on drawn pages: each place with its bars, and its tempi as steps to tick off.

Lengths are mm. Public: practice_blocks, practice_leaves, PageLook.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from undersong.practice import words
from undersong.practice.ladder import Rung
from undersong.practice.plan import Plan, Spot
from undersong.sheet.engraved.strip import strips
from undersong.sheet.flow import Block, Leaf, heading, leaves, paragraph
from undersong.sheet.lettering import POINT, number, rule
from undersong.sheet.lettering import words as drawn
from undersong.sheet.options import SheetOptions
from undersong.sheet.page_options import PageOptions
from undersong.sheet.paper import A4, Paper

_STEP_WIDE, _NARROWEST = 21.0, 18.0
_RISE = 1.1
"""mm that each step is higher than the one before."""


@dataclass(frozen=True)
class PageLook:
    """paper; sheet: as for tab in text; large: large print; contrast: nothing but black on
    white."""

    paper: Paper = A4
    sheet: SheetOptions = field(default_factory=SheetOptions)
    large: bool = False
    contrast: bool = False

    @property
    def k(self) -> float:
        return self.engraved.enlarged

    @property
    def room(self) -> float:
        return self.paper.width_mm - 2 * self.paper.margin_mm

    def fill(self, rung: Rung) -> str:
        """The ground that a step stands on; its figures say the same."""
        if self.contrast:
            return "#fff"
        return "#e9f0e4" if rung.has_time else "#f3ddd3"

    @property
    def engraved(self) -> PageOptions:
        """How the loops are engraved."""
        return replace(
            PageOptions.of(self.sheet),
            paper=self.paper,
            large=self.large,
            contrast=self.contrast,
        )


def practice_leaves(plan: Plan, look: PageLook) -> tuple[Leaf, ...]:
    """The pages."""
    name = f"{words.title(plan.arrangement)}: practice plan"
    head = heading(name, look.room, 17 * POINT * look.k, title=words.TITLE)
    return leaves([head, *practice_blocks(plan, look)], look.paper, lambda page, of: name)


def practice_blocks(plan: Plan, look: PageLook) -> list[Block]:
    """All that follows the title."""
    body = 10 * POINT * look.k

    def told(text: str, gap: float = 2.2, joined: bool = False) -> Block:
        return paragraph(text, look.room, body, gap=gap * look.k, joined=joined)

    blocks = [told(text) for text in words.opening(plan)]
    blocks.append(paragraph(words.caution(), look.room, body, bold=True, gap=2.2 * look.k))
    blocks.append(told(words.warm_up(plan)))
    for at, spot in enumerate(plan.spots, 1):
        title = words.spot_title(spot, at)
        blocks.append(heading(title, look.room, 12 * POINT * look.k, title=title, gap=7 * look.k))
        blocks.append(told(words.spot_reason(spot), 1.2, joined=True))
        blocks += _music(spot, look)
        blocks.append(told(words.spot_how(spot), 2.0, joined=True))
        blocks += _ladder(spot, look)
        note = words.ladder_note(spot)
        blocks += [told(note, 1.5, joined=True)] if note else []
        blocks.append(told(words.rest_after(), 1.5))
    if plan.spots:
        blocks.append(told(words.closing(plan), 7))
        lines = f"{words.fingers(plan)} {words.lines(plan, look.sheet.bass_on_top)}"
        blocks.append(paragraph(lines, look.room, 8.5 * POINT * look.k, gap=2.0))
    return blocks


def _music(spot: Spot, look: PageLook) -> list[Block]:
    """The loop engraved, staff above tab."""
    lines = strips(spot.at(spot.target.per_minute), look.engraved)
    gap = 2.5 * look.k
    return [Block(line.height, line.at, gap, joined=True, glyphs=line.glyphs) for line in lines]


def _ladder(spot: Spot, look: PageLook) -> list[Block]:
    """Steps that rise, in as few rows as hold them, shared out evenly."""
    rungs = spot.rungs
    most = max(1, int(look.room / (_NARROWEST * look.k)))
    rows = -(-len(rungs) // most)
    many = -(-len(rungs) // rows)
    wide = min(_STEP_WIDE * look.k, look.room / many)
    return [
        _steps(rungs[at : at + many], spot.rounds, wide, look) for at in range(0, len(rungs), many)
    ]


def _steps(rungs: Sequence[Rung], rounds: int, wide: float, look: PageLook) -> Block:
    """One row: tempo, what it asks, and a ring for each round to tick."""
    k = look.k
    large, small = 13 * POINT * k, 7.5 * POINT * k
    rise = _RISE * k
    high = 19.0 * k
    tall = high + rise * (len(rungs) - 1)

    def draw(left: float, top: float) -> str:
        parts = []
        for at, rung in enumerate(rungs):
            x, y = left + wide * at, top + rise * (len(rungs) - 1 - at)
            fill = look.fill(rung)
            bottom = top + tall
            parts.append(
                f'<rect x="{number(x)}" y="{number(y)}" width="{number(wide - 1.2 * k)}" '
                f'height="{number(bottom - y)}" fill="{fill}"/>'
            )
            parts.append(rule(x, y, x + wide - 1.2 * k, y, 0.5 * k))
            middle = x + (wide - 1.2 * k) / 2
            _, asks, hurry = words.rung_cells(rung)
            parts.append(
                drawn(middle, y + 6.0 * k, str(rung.tempo), large, bold=True, anchor="middle")
            )
            parts.append(drawn(middle, y + 9.6 * k, f"asks {asks}", small, anchor="middle"))
            parts.append(drawn(middle, y + 12.8 * k, f"time {hurry}", small, anchor="middle"))
            parts.append(_rings(middle, y + 16.2 * k, rounds, k))
        return "".join(parts)

    return Block(tall, draw, 2.0 * k, joined=True)


def _rings(middle: float, y: float, rounds: int, k: float) -> str:
    """A ring to tick for each round, as long as they fit."""
    if rounds > 6:
        return ""
    apart = 3.1 * k
    start = middle - apart * (rounds - 1) / 2
    return "".join(
        f'<circle cx="{number(start + apart * at)}" cy="{number(y)}" r="{number(1.15 * k)}" '
        f'fill="#fff" stroke="#333" stroke-width="{number(0.2 * k)}"/>'
        for at in range(rounds)
    )
