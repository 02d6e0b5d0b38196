"""The practice plan on drawn pages: each place with its bars, and its tempi as steps to tick off.

Places stand side by side where there is room. Lengths are mm.

Public: practice_blocks, spot_blocks, practice_leaves, PageLook.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from undersong.practice import words
from undersong.practice.ladder import Rung
from undersong.practice.plan import Plan, Spot
from undersong.sheet.engraved.strip import strips
from undersong.sheet.flow import Block, Leaf, column, heading, paragraph, snug, spread
from undersong.sheet.lettering import POINT, number, rule
from undersong.sheet.lettering import words as drawn
from undersong.sheet.options import SheetOptions
from undersong.sheet.page_options import PageOptions
from undersong.sheet.paper import A4, Paper

_STEP_WIDE, _NARROWEST = 18.0, 14.0
_COLUMN, _GUTTER = 84.0, 7.0
"""A place is that wide at the least; between two that stand side by side."""
_SMALLER = (1.0, 0.92, 0.84)
"""Of its size the music of a loop may be printed, but for large print, where that saves a line."""
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
        return self.paper.room_mm[0]

    @property
    def columns(self) -> int:
        """How many places have room side by side."""
        return max(1, int((self.room + _GUTTER) / ((_COLUMN + _GUTTER) * self.k)))

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
    return snug(
        [head, *practice_blocks(plan, look)], look.paper, lambda page, of: name, 8 * POINT * look.k
    )


def practice_blocks(plan: Plan, look: PageLook) -> list[Block]:
    """All that follows the title."""
    body = 10 * POINT * look.k

    def told(text: str, gap: float = 2.2, joined: bool = False) -> Block:
        return paragraph(text, look.room, body, gap=gap * look.k, joined=joined)

    blocks = [told(text) for text in words.opening(plan)]
    blocks.append(paragraph(words.caution(), look.room, body, bold=True, gap=2.2 * look.k))
    rests = f" {words.rests()}" if plan.spots else ""
    blocks.append(told(words.warm_up(plan) + rests))
    blocks += spot_blocks(plan, look)
    if plan.spots:
        blocks.append(told(words.closing(plan), 5))
        lines = f"{words.fingers(plan)} {words.lines(plan, look.sheet.bass_on_top)}"
        blocks.append(paragraph(lines, look.room, 8.5 * POINT * look.k, gap=2.0))
    return blocks


def spot_blocks(plan: Plan, look: PageLook, brief: bool = False) -> list[Block]:
    """The places alone, a row of them in each block; brief: what is the same for all is told
    elsewhere (``words.how_to_loop``). As many side by side as there is room for, and
    fewer where one would be too high for a page."""
    room, high = look.room + _GUTTER, look.paper.room_mm[1] - 16 * POINT * look.k
    for many in range(look.columns, 0, -1):
        places = [
            _place(spot, at, room / many - _GUTTER, look, brief)
            for at, spot in enumerate(plan.spots, 1)
        ]
        if all(place.height <= high for place in places):
            break
    return [
        spread(places[at : at + many], room, 6 * look.k, many) for at in range(0, len(places), many)
    ]


def _place(spot: Spot, number: int, wide: float, look: PageLook, brief: bool) -> Block:
    k, body = look.k, 9 * POINT * look.k

    def told(text: str, gap: float) -> Block:
        return paragraph(text, wide, body, gap=gap * k)

    title = words.spot_title(spot, number)
    blocks = [heading(title, wide, 11.5 * POINT * k, title=title)]
    blocks.append(told(words.spot_reason(spot, brief), 1.0))
    blocks += _music(spot, wide, look, brief)
    blocks.append(told(words.spot_how(spot, brief), 1.8))
    blocks += _ladder(spot, wide, look)
    blocks.append(told(words.ladder_note(spot), 1.5))
    return column(blocks)


def _music(spot: Spot, wide: float, look: PageLook, small: bool) -> list[Block]:
    """The loop engraved, staff above tab, on one line where it fits a little smaller; small: always
    so, but for large print."""
    made, loop = spot.at(spot.target.per_minute), spot.rounds > 1
    parts = _SMALLER[:1] if look.large else _SMALLER[-1:] if small else _SMALLER
    ways = [strips(made, look.engraved, wide, part=part, loop=loop) for part in parts]
    lines = min(ways, key=len)
    return [Block(line.height, line.at, 2.0 * look.k, glyphs=line.glyphs) for line in lines]


def _ladder(spot: Spot, room: float, look: PageLook) -> list[Block]:
    """Steps that rise, in as few rows as hold them, shared out evenly."""
    rungs = spot.rungs
    most = max(1, int(room / (_NARROWEST * look.k)))
    rows = -(-len(rungs) // most)
    many = -(-len(rungs) // rows)
    wide = min(_STEP_WIDE * look.k, room / many)
    return [_steps(spot, rungs[at : at + many], wide, look) for at in range(0, len(rungs), many)]


def _steps(spot: Spot, rungs: Sequence[Rung], wide: float, look: PageLook) -> Block:
    """One row: tempo, what it asks, and a ring for each round to tick."""
    k = look.k
    large, small = 13 * POINT * k, 7 * POINT * k
    rise = _RISE * k
    high = (19.0 - 3.2 * spot.steady) * k
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
            parts.append(
                drawn(middle, y + 6.0 * k, str(rung.tempo), large, bold=True, anchor="middle")
            )
            told = [] if spot.steady else [f"asks {rung.rating} %"]
            below = y + 9.6 * k
            for text in (*told, f"time {rung.hurry} %"):
                parts.append(drawn(middle, below, text, small, anchor="middle"))
                below += 3.2 * k
            parts.append(_rings(middle, below + 0.2 * k, spot.rounds, wide - 1.2 * k, k))
        return "".join(parts)

    return Block(tall, draw, 2.0 * k)


def _rings(middle: float, y: float, rounds: int, wide: float, k: float) -> str:
    """A ring to tick for each round, as long as they fit side by side."""
    radius = 1.15 * k
    apart = min(3.1 * k, wide / rounds)
    if apart < 2.2 * radius:
        return ""
    start = middle - apart * (rounds - 1) / 2
    return "".join(
        f'<circle cx="{number(start + apart * at)}" cy="{number(y)}" r="{number(radius)}" '
        f'fill="#fff" stroke="#333" stroke-width="{number(0.2 * k)}"/>'
        for at in range(rounds)
    )
