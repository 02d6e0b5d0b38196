"""PDF files: what is in them, and what is said where the system lacks what they need."""

import os
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from undersong.sheet.errors import SheetError
from undersong.sheet.paper import SANS
from undersong.sheet.pdf import Bookmark, pdf_of


def page(words: str, font: str = "Liberation Sans", width: float = 210, height: float = 297) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}"><rect width="{width}" height="{height}" fill="#fff"/>'
        f'<text x="20" y="30" font-family="{font}" font-size="6">{words}</text></svg>'
    )


def test_the_same_pages_give_the_same_bytes_and_say_nothing_of_when_they_were_made() -> None:
    pages = [page("Kettle"), page("Lantern", "Liberation Serif")]
    first = pdf_of(pages, title="Two", bookmarks=[Bookmark("Lantern", 1)])
    assert first == pdf_of(pages, title="Two", bookmarks=[Bookmark("Lantern", 1)])
    assert b"CreationDate" not in first
    assert b"ModDate" not in first


def test_a_file_has_text_title_author_language_and_bookmarks() -> None:
    made = pdf_of(
        [page("Kettle on at nine"), page("Wet boots")],
        title="Würfel & Boots",
        bookmarks=[Bookmark("Part A", 0), Bookmark("Part B", 1)],
        author="Harrow Lane class",
        language="en-GB",
    )
    file = PdfReader(BytesIO(made))
    assert [p.extract_text().strip() for p in file.pages] == ["Kettle on at nine", "Wet boots"]
    assert file.metadata is not None
    assert file.metadata.title == "Würfel & Boots"
    assert file.metadata.author == "Harrow Lane class"
    assert file.root_object["/Lang"] == "en-GB"
    assert file.root_object["/ViewerPreferences"]["/DisplayDocTitle"]
    marks = [(mark.title, file.get_destination_page_number(mark)) for mark in file.outline]
    assert marks == [("Part A", 0), ("Part B", 1)]


def test_a_page_is_as_large_as_it_says() -> None:
    box = PdfReader(BytesIO(pdf_of([page("a", width=215.9, height=279.4)], title="Letter")))
    assert float(box.pages[0].mediabox.width) == pytest.approx(612, abs=0.01)  # 8.5 in at 72 points
    assert float(box.pages[0].mediabox.height) == pytest.approx(792, abs=0.01)


def test_fonts_are_embedded() -> None:
    file = PdfReader(BytesIO(pdf_of([page("Kettle")], title="Fonts")))
    fonts = []

    def look(resources: dict) -> None:
        fonts.extend(font.get_object() for font in resources.get("/Font", {}).values())
        for drawn in resources.get("/XObject", {}).values():
            look(drawn.get_object().get("/Resources", {}))

    look(file.pages[0]["/Resources"])
    assert fonts
    for font in fonts:
        described = font.get("/FontDescriptor", None)
        described = described or font["/DescendantFonts"][0]["/FontDescriptor"]
        assert "/FontFile2" in described


def test_a_font_that_is_not_there_is_named_with_its_package() -> None:
    with pytest.raises(SheetError, match=r"not all there .* instead.*apt install fonts-liberation"):
        pdf_of([page("Kettle", font="No Such Font")], title="x")


def test_a_bookmark_leads_somewhere_and_a_file_has_a_page() -> None:
    with pytest.raises(SheetError, match="'B' leads to page 2"):
        pdf_of([page("a")], title="x", bookmarks=[Bookmark("B", 1)])
    with pytest.raises(SheetError, match="at least one page"):
        pdf_of([], title="x")


TRY = """
import sys
from tests.undersong.sheet.test_pdf import page
from undersong.sheet.errors import SheetError
from undersong.sheet.pdf import pdf_of
{before}
try:
    pdf_of([page("Kettle")], title="x")
except SheetError as error:
    print(error)
"""


def run(before: str = "", **environment: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", TRY.format(before=before)],
        capture_output=True,
        text=True,
        check=True,
        env=os.environ | environment,
        cwd=Path(__file__).parents[3],
    )
    return done.stdout


def test_a_system_without_any_fonts_is_told_what_to_install(tmp_path: Path) -> None:
    bare = tmp_path / "fonts.conf"
    bare.write_text(
        '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig></fontconfig>'
    )
    said = run(FONTCONFIG_FILE=str(bare))
    assert said.count("\n") == 1
    assert "apt install fonts-liberation" in said


def test_a_system_without_cairo_is_told_what_to_install() -> None:
    before = (
        "import ctypes.util, cffi\n"
        "def none(*_, **__): raise OSError('cannot load library')\n"
        "cffi.FFI.dlopen = none\n"
        "ctypes.util.find_library = lambda name: None"
    )
    said = run(before)
    assert said.count("\n") == 1
    assert "apt install libcairo2" in said


def test_pages_share_their_letters() -> None:
    """One program a font for the whole file, however many pages: counted with pypdf."""
    size = 'width="60mm" height="{high}mm" viewBox="0 0 60 {high}"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size}>'
    texts = ("Lamp", "Gate", "Well")
    pages = [
        head.format(high=high)
        + f'<text x="5" y="9" font-size="4" font-family="{SANS}">{text}</text></svg>'
        for high, text in zip((20, 30, 40), texts, strict=True)
    ]
    file = PdfReader(BytesIO(pdf_of(pages, title="Three")))
    found = {
        one.indirect_reference.idnum
        for page in file.pages
        for one in (font.get_object() for font in page["/Resources"]["/Font"].values())
    }
    assert len(found) == 1
    assert [page.extract_text().strip() for page in file.pages] == list(texts)
    assert [round(float(page.mediabox[3]) * 25.4 / 72) for page in file.pages] == [20, 30, 40]
