"""One level's part of a handout: its page of music, the shapes with the new ones marked, and the
practice plan.

Public: Part, part_of, name_of.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from solver.conditions.few_shapes import LearnedShape
from solver.result import Arrangement
from tune.tune import Tune
from undersong.levels import Made
from undersong.practice import plan_for
from undersong.practice.pages import practice_blocks
from undersong.sheet.boxes import shape_blocks
from undersong.sheet.engraved import engraved_pages
from undersong.sheet.flow import Block, Leaf, heading, leaves, paragraph
from undersong.sheet.handout.options import HandoutOptions
from undersong.sheet.lettering import POINT, shortened
from undersong.sheet.used import used_shapes

_CLOSER = (1.0, 0.85, 0.7, 0.55)
"""Shares of the room between blocks, to be tried in turn."""


@dataclass(frozen=True)
class Part:
    """number: of the level; pages: SVG; marks: (title, page of this part from 0); shapes: how many
    it uses, and how many of them no easier level has."""

    number: int
    pages: tuple[str, ...]
    marks: tuple[tuple[str, int], ...]
    shapes: tuple[int, int]


def part_of(made: Made, known: Collection[LearnedShape] | None, options: HandoutOptions) -> Part:
    """made: a level that came out; known: the shapes of the easier ones, None for the first of
    the handout."""
    arrangement = made.arrangement
    assert arrangement is not None, "a level that came out has an arrangement"
    name = f"Level {made.level.number}"
    music = engraved_pages(arrangement, options.page(str(made.level.number)))
    room, k = options.room, options.enlarged
    shapes = [
        heading(f"{name}: shapes", room, 15 * POINT * k, title=f"{name}: shapes"),
        paragraph(_counted(arrangement, known), room, 10 * POINT * k, gap=1.5 * k, joined=True),
        *shape_blocks(arrangement, options.diagrams, known),
    ]
    practice = [
        heading(f"{name}: practice plan", room, 15 * POINT * k, title=f"{name}: practice plan"),
        *(
            replace(block, titles=())
            for block in practice_blocks(plan_for(arrangement, options.wishes), options.practice)
        ),
    ]
    title = shortened(name_of(arrangement.tune), 0.6 * room, 8 * POINT)
    foot = f"{title}: {name.lower()}"
    sheets = _snug(shapes, foot, options) + _snug(practice, foot, options)
    marks = [(name, 0)] + [
        (each, len(music) + at) for at, leaf in enumerate(sheets) for each in leaf.titles
    ]
    pages = tuple(page.svg for page in music) + tuple(leaf.svg for leaf in sheets)
    return Part(made.level.number, pages, tuple(marks), _count(arrangement, known))


def _snug(blocks: Sequence[Block], foot: str, options: HandoutOptions) -> tuple[Leaf, ...]:
    """The blocks on pages, closer together where that saves one."""
    ways = [
        leaves(
            [replace(block, gap=block.gap * share) for block in blocks],
            options.paper,
            lambda page, pages: foot,
        )
        for share in _CLOSER
    ]
    return min(ways, key=len)


def name_of(tune: Tune) -> str:
    """Its title on one line."""
    return " ".join(tune.title.split())


def _count(arrangement: Arrangement, known: Collection[LearnedShape] | None) -> tuple[int, int]:
    used = [shape.shape for shape in used_shapes(arrangement)]
    return len(used), sum(shape not in (known or ()) for shape in used)


def _counted(arrangement: Arrangement, known: Collection[LearnedShape] | None) -> str:
    many, fresh = _count(arrangement, known)
    words = f"{many} shape{'s' * (many != 1)} in order of first use"
    if known is None or not many:
        return f"{words}."
    if not fresh:
        return f"{words}, all of them known from an easier level."
    return f"{words}, {fresh} of them new: no easier level has them."
