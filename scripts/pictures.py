"""``python -m scripts.pictures``: makes the README's pictures anew, in ``docs/``.

A new picture is one row of ``PICTURES``: a file's name and a function that gives a page's SVG.
"""

from collections.abc import Callable
from pathlib import Path

import cairosvg

import undersong
from undersong.sheet.engraved import engraved_pages
from undersong.sheet.page_options import PageOptions

FOLDER = Path(__file__).parents[1] / "docs"
WIDE = 1000
"""Pixels."""


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


PICTURES: dict[str, Callable[[], str]] = {"page.png": page, "page-large.png": page_large}


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    for name, draw in PICTURES.items():
        drawn = cairosvg.svg2png(bytestring=draw().encode(), output_width=WIDE)
        (FOLDER / name).write_bytes(drawn)
        print(FOLDER / name)


if __name__ == "__main__":
    main()
