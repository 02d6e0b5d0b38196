"""A handout: all levels of one tune in one PDF, to take home.

First what each level teaches, what is new in it, and how the pages are read; then for each level
its page of music, the shapes that are new and a practice plan. Pages are numbered through. Levels
that cannot be met are told on the first page, with the reason.

Public: handout_pages, handout_pdf, written_out, Handout, HandoutOptions.
"""

import re
from dataclasses import dataclass

from solver.conditions.few_shapes import LearnedShape
from undersong.levels import LevelSet, steps_of
from undersong.sheet.errors import SheetError
from undersong.sheet.folding import fold
from undersong.sheet.handout.cover import cover_leaves
from undersong.sheet.handout.options import HandoutOptions
from undersong.sheet.handout.part import Part, name_of, part_of
from undersong.sheet.used import used_shapes

__all__ = ["Handout", "HandoutOptions", "handout_pages", "handout_pdf", "written_out"]

_NUMBERED = re.compile(r">(?:Page \d+ of \d+|\d+ / \d+)</text>")
"""How a page of a part is numbered at its foot."""


@dataclass(frozen=True)
class Handout:
    """title; author; pages: SVG, numbered through; marks: (title, page from 0)."""

    title: str
    author: str
    pages: tuple[str, ...]
    marks: tuple[tuple[str, int], ...]


def handout_pages(found: LevelSet, options: HandoutOptions | None = None) -> Handout:
    """Every page. SheetError, one sentence, where no level came out or one cannot be printed."""
    options = options or HandoutOptions()
    if not found.met:
        raise SheetError("there is nothing to hand out: none of the levels can be met")
    parts: dict[int, Part] = {}
    known: set[LearnedShape] = set()
    for made in found.met:
        parts[made.level.number] = part_of(made, known, options)
        assert made.arrangement is not None, "a level that came out has an arrangement"
        tune = made.arrangement.tune
        known |= {used.shape for used in used_shapes(made.arrangement)}
    steps = steps_of(found)
    draft = cover_leaves(found, steps, parts, _begins(parts, 1), options)
    cover = cover_leaves(found, steps, parts, _begins(parts, len(draft)), options)
    pages = [leaf.svg for leaf in cover]
    marks = [(title, at) for at, leaf in enumerate(cover) for title in leaf.titles]
    for part in parts.values():
        marks += [(title, len(pages) + at) for title, at in part.marks]
        pages += part.pages
    numbered = tuple(_numbered(page, at, len(pages)) for at, page in enumerate(pages, 1))
    return Handout(name_of(tune), tune.composer, numbered, tuple(marks))


def handout_pdf(found: LevelSet, options: HandoutOptions | None = None) -> bytes:
    """The file, with bookmarks; SheetError too where the system lacks what it is drawn with."""
    from undersong.sheet.pdf import Bookmark, pdf_of

    made = handout_pages(found, options)
    marks = [Bookmark(title, page) for title, page in made.marks]
    return pdf_of(
        made.pages, title=f"{made.title}: all levels", bookmarks=marks, author=made.author
    )


def written_out(found: LevelSet) -> tuple[int, ...]:
    """The levels in which a repeat is printed time after time, as the hands differ."""
    return tuple(
        made.level.number
        for made in found.met
        if made.arrangement is not None and fold(made.arrangement).written_out
    )


def _begins(parts: dict[int, Part], cover: int) -> dict[int, int]:
    """The page that each level begins on, from 1, after that many pages."""
    found: dict[int, int] = {}
    page = cover + 1
    for number, part in parts.items():
        found[number] = page
        page += len(part.pages)
    return found


def _numbered(svg: str, page: int, pages: int) -> str:
    """The page with its number in the whole handout instead of that in its part; the foot is what
    is drawn last."""
    last = list(_NUMBERED.finditer(svg))[-1]
    return f"{svg[: last.start()]}>Page {page} of {pages}</text>{svg[last.end() :]}"
