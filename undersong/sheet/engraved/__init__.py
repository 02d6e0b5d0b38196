"""The engraved page: staff and tab as a player gets them on paper, as SVG and PDF.

The music is written as MEI, the engraving library gives it places, and what is printed is drawn
from them: the staff as the library has it, all else by us.

Public: engraved_pages, Page, svg_bytes, pdf_bytes, page_svg, page_pdf, screen, Screen, BarPlace.
"""

from solver.result import Arrangement
from undersong.sheet.engraved.page import Page, engraved_pages
from undersong.sheet.engraved.screen import BarPlace, Screen, screen
from undersong.sheet.engraved.stacked import stacked
from undersong.sheet.options import SheetOptions
from undersong.sheet.page_options import PageOptions

__all__ = [
    "BarPlace",
    "Page",
    "Screen",
    "engraved_pages",
    "page_pdf",
    "page_svg",
    "pdf_bytes",
    "screen",
    "svg_bytes",
]


def page_svg(arrangement: Arrangement, options: PageOptions) -> bytes:
    """One drawing: several pages stand one below the other."""
    return stacked([page.svg for page in engraved_pages(arrangement, options)]).encode()


def page_pdf(arrangement: Arrangement, options: PageOptions) -> bytes:
    """A PDF with a bookmark for each section."""
    from undersong.sheet.pdf import Bookmark, pdf_of

    pages = engraved_pages(arrangement, options)
    marks = [Bookmark(section, at) for at, page in enumerate(pages) for section in page.sections]
    tune = arrangement.tune
    return pdf_of(
        [page.svg for page in pages], title=tune.title, bookmarks=marks, author=tune.composer
    )


def svg_bytes(arrangement: Arrangement, options: SheetOptions) -> bytes:
    """The page as every sheet's options ask for it."""
    return page_svg(arrangement, PageOptions.of(options))


def pdf_bytes(arrangement: Arrangement, options: SheetOptions) -> bytes:
    """The same as PDF."""
    return page_pdf(arrangement, PageOptions.of(options))
