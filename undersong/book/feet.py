"""The feet of a book's pages: what stands on a page, the book's title, the page's number.

Many feet are drawn into one PDF, a page each, so that they share their letters.

Public: Foot, Feet, foot_size, has_room, SOFT.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

from undersong.book.words import shown
from undersong.sheet.errors import SheetError
from undersong.sheet.lettering import POINT, SANS, shortened, width
from undersong.sheet.page_options import PageOptions

if TYPE_CHECKING:
    from pypdf import PageObject

FOOT_SIZE = 8 * POINT
"""mm, before anything is enlarged; that of single sheets."""

SOFT = "#6b6b6b"
_MOST_ENLARGED = 1.35
_RUNNING = 0.45
"""Of the room between the margins that a running title may have."""
_AT_ONCE = 200
"""Feet that are drawn into one PDF."""


@dataclass(frozen=True)
class Foot:
    """running: what stands on the page; number: of the page, 0 for a page without a foot."""

    running: str
    number: int


def foot_size(options: PageOptions) -> float:
    """mm: the height of its type."""
    return FOOT_SIZE * min(options.enlarged, _MOST_ENLARGED)


def has_room(running: str, options: PageOptions) -> bool:
    """Whether a running title stands whole at the foot of a page."""
    return width(shown(running), foot_size(options)) <= _RUNNING * options.paper.room_mm[0]


class Feet:
    """feet: of every page; title: the book's. They are drawn as they are asked for, so that not all
    of a long book's are there at once."""

    def __init__(self, feet: Sequence[Foot], title: str, options: PageOptions) -> None:
        self._feet, self._title, self._options = feet, title, options
        self._drawn: Sequence[PageObject] = ()
        self._first = 0
        self.copied: dict[int, int] = {}

    def __getitem__(self, at: int) -> "PageObject | None":
        """The foot of a page, from 0, as a page of its own, which goes with ``copied`` as it is
        then; None for a page without one. SheetError where the system lacks the drawing library."""
        if not self._feet[at].number:
            return None
        if not self._first <= at < self._first + len(self._drawn):
            from pypdf import PdfReader

            self._first, self.copied = at, {}
            some = self._feet[at : at + _AT_ONCE]
            drawn = _feet_pdf(some, self._title, self._options)
            self._drawn = PdfReader(BytesIO(drawn)).pages
        return self._drawn[at - self._first]


def _feet_pdf(feet: Sequence[Foot], title: str, options: PageOptions) -> bytes:
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
            put(shortened(shown(foot.running), _RUNNING * room, size), margin, 0.0, False, grey)
            put(middle, wide / 2 + 0.06 * room, 0.5, False, grey)
            put(str(foot.number), wide - margin, 1.0, True, 0.0)
        surface.show_page()
    surface.finish()
    return out.getvalue()
