"""A tune's pages for a book: one version after another, each with its own head, as one PDF.

The pages have no numbers and do not say what the signs mean: the book does both, once. A bookmark
stands where each version begins, so that whoever binds the book finds them again.

Public: draw_tune, version_name.
"""

from collections.abc import Sequence
from dataclasses import replace

from solver.result import Arrangement
from undersong.sheet.page_options import PageOptions


def draw_tune(
    arrangements: Sequence[Arrangement],
    options: PageOptions | None = None,
    levels: Sequence[int | None] = (),
) -> bytes:
    """The tune's PDF; the same bytes each time.

    arrangements: its versions, in the order of its parts; options: the paper and how large print
    is; levels: each version's number, none where no levels were asked for. Raises SheetError, one
    sentence, where there is nothing to draw, a version cannot be drawn, or the system lacks what it
    is drawn with.
    """
    from undersong.sheet.engraved import engraved_pages
    from undersong.sheet.errors import SheetError
    from undersong.sheet.pdf import Bookmark, pdf_of

    if not arrangements:
        raise SheetError("a tune of which there is no version has no pages")
    numbers = tuple(levels) or (None,) * len(arrangements)
    if len(numbers) != len(arrangements):
        raise ValueError(f"{len(arrangements)} versions do not go with {len(numbers)} levels")
    look = options or PageOptions()
    pages: list[str] = []
    marks: list[Bookmark] = []
    several = len({made.style.texture for made in arrangements}) > 1
    for made, number in zip(arrangements, numbers, strict=True):
        marks.append(Bookmark(version_name(number, made.style.texture, several), len(pages)))
        level = look.level if number is None else str(number)
        drawn = engraved_pages(made, replace(look, bound=True, level=level))
        pages += [page.svg for page in drawn]
    tune = arrangements[0].tune
    return pdf_of(pages, title=tune.title, bookmarks=marks, author=tune.composer)


def version_name(level: int | None, texture: str, several: bool) -> str:
    """What a version of a tune is called: by its level, else by its texture; by both where there
    are several textures."""
    name = texture.capitalize()
    if level is None:
        return name
    return f"{name}, level {level}" if several else f"Level {level}"
