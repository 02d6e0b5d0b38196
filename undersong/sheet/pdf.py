"""PDF out of drawn pages: SVG in, one file with title, language and bookmarks out.

Text stays text, fonts are embedded, and the same pages always give the same bytes: nothing of when
or where the file was made is kept. The library draws no tags (the structure that screen readers
follow), so the file has none; reading order is the order in which the page was written.

Public: pdf_of, Bookmark, check_system.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from undersong.sheet.errors import SheetError
from undersong.sheet.paper import FONT_PACKAGE, FONTS

if TYPE_CHECKING:
    from pypdf import PageObject


@dataclass(frozen=True)
class Bookmark:
    """title: what a reader of the file clicks; page: where it leads, from 0."""

    title: str
    page: int


def pdf_of(
    pages: Sequence[str],
    *,
    title: str,
    bookmarks: Sequence[Bookmark] = (),
    author: str = "",
    language: str = "en",
) -> bytes:
    """The file's bytes.

    pages: SVG texts, each with its width and height in mm; language: of the words, as RFC 5646
    writes it. Raises SheetError, one sentence, where the system lacks the drawing library or the
    fonts, and where a bookmark leads nowhere.
    """
    from pypdf import PdfReader, PdfWriter
    from pypdf.generic import BooleanObject, DictionaryObject, NameObject, TextStringObject

    if not pages:
        raise SheetError("a PDF needs at least one page")
    drawn = PdfReader(BytesIO(_drawn(pages))).pages
    if len(drawn) != len(pages):
        raise SheetError(f"{len(pages)} pages came out as {len(drawn)} (please report it)")
    writer = PdfWriter()
    for page in drawn:
        _check_fonts(page)
        writer.add_page(page)
    for mark in bookmarks:
        if not 0 <= mark.page < len(pages):
            raise SheetError(
                f"the bookmark {mark.title!r} leads to page {mark.page + 1}, not there"
            )
        writer.add_outline_item(title=mark.title, page_number=mark.page)
    told = {"/Title": title, "/Producer": "Undersong"}
    writer.add_metadata(told | ({"/Author": author} if author else {}))
    root = writer.root_object
    root[NameObject("/Lang")] = TextStringObject(language)
    root[NameObject("/ViewerPreferences")] = DictionaryObject(
        {NameObject("/DisplayDocTitle"): BooleanObject(True)}
    )
    if bookmarks:
        root[NameObject("/PageMode")] = NameObject("/UseOutlines")
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def check_system() -> None:
    """Raises SheetError, one sentence, where the system lacks the drawing library or a font, so
    that nobody waits for a page that cannot be drawn."""
    lines = "".join(f'<text y="5" font-size="4" font-family="{font}">a</text>' for font in FONTS)
    size = 'width="20mm" height="10mm" viewBox="0 0 20 10"'
    pdf_of([f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{lines}</svg>'], title="a")


def _drawn(pages: Sequence[str]) -> bytes:
    """The pages as one PDF, so that they share the letters of their fonts."""
    try:
        from cairocffi import PDFSurface
        from cairosvg.parser import Tree
        from cairosvg.surface import PDFSurface as Drawing
    except OSError:
        raise SheetError(
            "PDF pages are drawn with the system's library cairo, which is not there; install it "
            "(on Debian or Ubuntu: apt install libcairo2), or write .svg instead"
        ) from None
    out = BytesIO()
    paper = PDFSurface(out, 1, 1)

    class Page(Drawing):  # type: ignore[misc]  # the library says nothing of its types
        """Draws on the next page of our paper, where the library would take one of its own."""

        def _create_surface(self, width: float, height: float) -> tuple[Any, float, float]:
            paper.set_size(width, height)
            return paper, width, height

    for svg in pages:
        Page(Tree(bytestring=svg.encode()), None, 96)
        paper.show_page()
    paper.finish()
    return out.getvalue()


def _check_fonts(page: PageObject) -> None:
    """Refuses a page that the system set in another font than was asked for."""
    known = tuple(font.replace(" ", "") for font in FONTS)
    for font in _fonts(page.get("/Resources")):
        name = str(font.get("/BaseFont", "")).rpartition("+")[2]
        if not name.startswith(known):
            raise SheetError(
                f"the fonts {', '.join(FONTS)} are not all there (the system offers "
                f"{name or 'none'} instead); install them (on Debian or Ubuntu: "
                f"apt install {FONT_PACKAGE})"
            )


def _fonts(resources: Any) -> Iterator[Any]:
    """Every font of the resources, and of what is drawn by way of them."""
    if resources is None:
        return
    resources = resources.get_object()
    for font in resources.get("/Font", {}).values():
        yield font.get_object()
    for drawn in resources.get("/XObject", {}).values():
        yield from _fonts(drawn.get_object().get("/Resources"))
