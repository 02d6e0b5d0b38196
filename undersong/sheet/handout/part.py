"""One level's part of a handout: its page of music, the shapes that are new, and the practice plan.

How shapes are read and how one practises is said once, on the first pages.

Public: Part, part_of, name_of.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace

from solver.conditions.few_shapes import LearnedShape
from solver.result import Arrangement
from tune.tune import Tune
from undersong.levels import Made
from undersong.practice import plan_for, words
from undersong.practice.pages import spot_blocks
from undersong.sheet.boxes import new_shapes
from undersong.sheet.engraved import engraved_pages
from undersong.sheet.flow import Block, heading, paragraph, snug
from undersong.sheet.handout.options import HandoutOptions
from undersong.sheet.lettering import POINT, shortened
from undersong.sheet.used import used_shapes


@dataclass(frozen=True)
class Part:
    """number: of the level; pages: SVG; marks: (title, page of this part from 0); shapes: how many
    it uses, and how many of them no easier level has."""

    number: int
    pages: tuple[str, ...]
    marks: tuple[tuple[str, int], ...]
    shapes: tuple[int, int]


def part_of(made: Made, known: Collection[LearnedShape], options: HandoutOptions) -> Part:
    """made: a level that came out; known: the shapes of the easier ones, none for the first of
    the handout."""
    arrangement = made.arrangement
    assert arrangement is not None, "a level that came out has an arrangement"
    name = f"Level {made.level.number}"
    music = engraved_pages(arrangement, options.page(str(made.level.number)))
    foot_size = 8 * POINT * options.enlarged
    title = shortened(name_of(arrangement.tune), 0.6 * options.room, foot_size)
    foot = f"{title}: {name.lower()}"
    sheets = snug(
        [
            _heading(f"{name}: shapes", options),
            *new_shapes(arrangement, options.diagrams, known),
            _heading(f"{name}: practice plan", options),
            *_practice(arrangement, options),
        ],
        options.paper,
        lambda page, pages: foot,
        foot_size,
    )
    marks = [(name, 0)] + [
        (each, len(music) + at) for at, leaf in enumerate(sheets) for each in leaf.titles
    ]
    pages = tuple(page.svg for page in music) + tuple(leaf.svg for leaf in sheets)
    used = [shape.shape for shape in used_shapes(arrangement)]
    fresh = sum(shape not in known for shape in used)
    return Part(made.level.number, pages, tuple(marks), (len(used), fresh))


def _heading(text: str, options: HandoutOptions) -> Block:
    k = options.enlarged
    return heading(text, options.room, 13 * POINT * k, title=text, gap=7 * k)


def _practice(arrangement: Arrangement, options: HandoutOptions) -> list[Block]:
    plan, k = plan_for(arrangement, options.wishes), options.enlarged
    size = 10 * POINT * k
    blocks = [paragraph(words.briefly(plan), options.room, size, gap=1.5 * k, joined=True)]
    blocks += [replace(row, titles=()) for row in spot_blocks(plan, options.practice, brief=True)]
    if plan.spots:
        blocks.append(paragraph(words.closing(plan), options.room, size, gap=3 * k))
    return blocks


def name_of(tune: Tune) -> str:
    """Its title on one line."""
    return " ".join(tune.title.split())
