"""The feet of a book's pages: what stands on a page, the book's title, the page's number.

All feet are drawn into one PDF, a page each, so that they share their letters.

Public: Foot, feet_pdf, FOOT_SIZE, SOFT.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

from undersong.book.words import shown
from undersong.sheet.errors import SheetError
from undersong.sheet.lettering import POINT, SANS, shortened
from undersong.sheet.page_options import PageOptions

FOOT_SIZE = 8 * POINT
"""mm, before anything is enlarged; that of single sheets."""

SOFT = "#6b6b6b"
_MOST_ENLARGED = 1.35


@dataclass(frozen=True)
class Foot:
    """running: what stands on the page; number: of the page, 0 for a page without a foot."""

    running: str
    number: int


def foot_size(options: PageOptions) -> float:
    """mm: the height of its type."""
    return FOOT_SIZE * min(options.enlarged, _MOST_ENLARGED)


def feet_pdf(feet: Sequence[Foot], title: str, options: PageOptions) -> bytes:
    """One page for each foot. title: the book's, in the middle. SheetError where the system lacks
    the drawing library."""
    try:
        import cairocffi
    except OSError:
        raise SheetError(
            "PDF pages are drawn with the system's library cairo, which is not there; install it "
            "(on Debian or Ubuntu: apt install libcairo2)"
        ) from None
    paper, size = options.paper, foot_size(options)
    wide, high, margin = paper.width_mm, paper.height_mm, paper.margin_mm
    grey = 0.0 if options.contrast else int(SOFT[1:3], 16) / 255
    room = paper.room_mm[0]
    middle = shortened(shown(title), 0.34 * room, size)
    out = BytesIO()
    surface = cairocffi.PDFSurface(out, wide / POINT, high / POINT)
    drawing = cairocffi.Context(surface)

    def put(text: str, x: float, part: float, bold: bool, ink: float) -> None:
        """part: of the text's width that lies left of x."""
        weight = cairocffi.FONT_WEIGHT_BOLD if bold else cairocffi.FONT_WEIGHT_NORMAL
        drawing.select_font_face(SANS, cairocffi.FONT_SLANT_NORMAL, weight)
        drawing.set_font_size(size / POINT)
        drawing.set_source_rgb(ink, ink, ink)
        left = x / POINT - part * drawing.text_extents(text)[4]
        drawing.move_to(left, (high - margin) / POINT)
        drawing.show_text(text)

    for foot in feet:
        if foot.number:
            put(shortened(shown(foot.running), 0.45 * room, size), margin, 0.0, False, grey)
            number_left = wide - margin
            put(str(foot.number), number_left, 1.0, True, 0.0)
            put(middle, wide / 2 + 0.06 * room, 0.5, False, grey)
        surface.show_page()
    surface.finish()
    return out.getvalue()
