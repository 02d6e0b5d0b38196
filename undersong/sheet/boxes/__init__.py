"""Diagrams of the shapes that an arrangement uses, drawn to the instrument's own fret spacing.

Public: shapes_svg, shapes_pdf, shape_leaves, new_shapes, how_to_read,
DiagramOptions.
"""

from solver.result import Arrangement
from undersong.sheet.boxes.options import DiagramOptions
from undersong.sheet.boxes.sheet import how_to_read, new_shapes, shape_leaves

__all__ = [
    "DiagramOptions",
    "how_to_read",
    "new_shapes",
    "shape_leaves",
    "shapes_pdf",
    "shapes_svg",
]


def shapes_svg(arrangement: Arrangement, options: DiagramOptions) -> bytes:
    """One drawing: several pages stand one below the other."""
    from undersong.sheet.engraved.stacked import stacked

    return stacked([leaf.svg for leaf in shape_leaves(arrangement, options)]).encode()


def shapes_pdf(arrangement: Arrangement, options: DiagramOptions) -> bytes:
    """The sheet as PDF; SheetError where the system lacks what it is drawn with."""
    from undersong.sheet.pdf import Bookmark, pdf_of

    pages = shape_leaves(arrangement, options)
    marks = [Bookmark(title, at) for at, page in enumerate(pages) for title in page.titles]
    tune = arrangement.tune
    return pdf_of(
        [page.svg for page in pages],
        title=f"{tune.title}: shapes",
        bookmarks=marks,
        author=tune.composer,
    )
