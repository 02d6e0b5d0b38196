"""``python -m scripts.pictures``: makes the README's pictures anew, in ``docs/``.

A new picture is one row of ``PICTURES``: a file's name and a function that gives a PNG.
"""

import shutil
from collections.abc import Callable, Sequence
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import cairosvg
from PIL import Image

import undersong
from undersong.sheet.boxes import DiagramOptions, shape_leaves
from undersong.sheet.engraved import engraved_pages
from undersong.sheet.handout import handout_pages
from undersong.sheet.page_options import PageOptions
from undersong.sheet.paper import A4

FOLDER = Path(__file__).parents[1] / "docs"
WIDE = 1000
"""Pixels."""

COLOURS = 200
"""Pages have few, so that the files stay small."""


def page() -> str:
    """A song with words in three verses."""
    made = undersong.arrange(undersong.read_tune("lantern-path"))
    return engraved_pages(made, PageOptions())[0].svg


def page_large() -> str:
    """A solo in large print and high contrast."""
    alike = undersong.Conditions(alike=undersong.Alike("repeats"))
    style = undersong.Style(texture="solo")
    made = undersong.arrange(undersong.read_tune("harrow-lane"), style=style, conditions=alike)
    return engraved_pages(made, PageOptions(large=True, contrast=True))[0].svg


def shapes() -> str:
    """The diagrams of a song's shapes."""
    made = undersong.arrange(undersong.read_tune("lantern-path"))
    return shape_leaves(made, DiagramOptions())[0].svg


def handout() -> str:
    """Of a handout's pages the first, and the third level's music, shapes and practice plan."""
    made = handout_pages(undersong.Session("harrow-lane").levels())
    marks = dict(made.marks)
    begins = ("What each level teaches", "Level 3", "Level 3: shapes", "Level 3: practice plan")
    return _beside([made.pages[marks[title]] for title in begins])


def _beside(pages: Sequence[str]) -> str:
    """Pages of one size in two rows of two, a grey edge between them."""
    wide, high, edge = A4.width_mm, A4.height_mm, 5.0
    drawn = []
    for at, page in enumerate(pages):
        x, y = edge + (at % 2) * (wide + edge), edge + at // 2 * (high + edge)
        inner = page[page.index(">") + 1 : page.rindex("</svg>")]
        drawn.append(f'<g transform="translate({x:g} {y:g})">{inner}</g>')
    size = f"{2 * wide + 3 * edge:g} {2 * high + 3 * edge:g}"
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'viewBox="0 0 {size}" color="#000"><rect width="100%" height="100%" fill="#bbb"/>'
        f"{''.join(drawn)}</svg>"
    )


def desk() -> bytes:
    """The desk on a wide screen, a bar chosen and a wish moved; wants Debian's chromium."""
    from playwright.sync_api import sync_playwright

    from tests.undersong.desk.served import served

    with (
        TemporaryDirectory() as folder,
        served(Path(folder), first=["frost-on-the-allotments"]) as one,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
        seen = browser.new_page(viewport={"width": 1280, "height": 1150})
        seen.goto(one.address)
        seen.wait_for_selector("#sheet .paper svg")
        wish = seen.get_by_label("The bass repeats its note where it should move", exact=True)
        wish.fill("320")
        seen.wait_for_timeout(2000)
        seen.locator("#sheet button.bar").nth(1).click()
        seen.wait_for_selector("#bar .why li")
        seen.evaluate("scrollTo(0, 0)")
        seen.wait_for_timeout(1000)
        drawn: bytes = seen.screenshot()
        browser.close()
    return drawn


def _drawn(svg: Callable[[], str]) -> Callable[[], bytes]:
    def made() -> bytes:
        png: bytes = cairosvg.svg2png(bytestring=svg().encode(), output_width=WIDE)
        return png

    return made


PICTURES: dict[str, Callable[[], bytes]] = {
    "page.png": _drawn(page),
    "page-large.png": _drawn(page_large),
    "shapes.png": _drawn(shapes),
    "handout.png": _drawn(handout),
    "desk.png": desk,
}


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    for name, draw in PICTURES.items():
        drawn = draw()
        with Image.open(BytesIO(drawn)) as picture:
            picture.convert("RGB").quantize(COLOURS).save(FOLDER / name, optimize=True)
        print(FOLDER / name)


if __name__ == "__main__":
    main()
