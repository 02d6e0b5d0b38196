"""The options that every command which draws pages shares: the paper and how large print is.

Public: paper_options, page_options, paper_of, check_drawing, PAPER_NAMES, PAGE_NAMES, options_for.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from undersong.cli.endings import naming

if TYPE_CHECKING:
    from undersong.sheet.page_options import PageOptions
    from undersong.sheet.paper import Paper

Function = TypeVar("Function", bound=Callable[..., Any])

PAPER_NAMES = ("paper", "landscape", "large", "contrast")
"""The names of what ``paper_options`` adds."""

PAGE_NAMES = (*PAPER_NAMES, "parts", "melody_on_top", "from_capo", "bass_part", "level")
"""The names of what ``page_options`` adds, and of ``--from-capo``."""

_PAPER = (
    click.option(
        "--paper", metavar="a4|letter", default="a4", show_default=True, help="The sheet's size."
    ),
    click.option("--landscape", is_flag=True, help="The sheet on its side."),
    click.option("--large", is_flag=True, help="Large print: tab figures of 18 points."),
    click.option("--contrast", is_flag=True, help="High contrast: black on white alone."),
)

_PAGE = (
    click.option(
        "--parts",
        metavar="staff-and-tab|tab|staff",
        default="staff-and-tab",
        show_default=True,
        help="What is printed; a tune without a melody on paper has the tab alone.",
    ),
    click.option("--melody-on-top", is_flag=True, help="Print the melody string's line on top."),
    click.option(
        "--bass-part", is_flag=True, help="The bass string alone, chords above, for a band's bass."
    ),
    click.option(
        "--level", metavar="TEXT", default="", help="What the level is called in the page's head."
    ),
)


def paper_options(function: Function) -> Function:
    """Gives a click command the paper, large print and high contrast."""
    for option in reversed(_PAPER):
        function = option(function)
    return function


def page_options(function: Function) -> Function:
    """Gives a click command everything that an engraved page may be asked for, but
    ``--from-capo``."""
    for option in reversed((*_PAGE, *_PAPER)):
        function = option(function)
    return function


def paper_of(paper: str, landscape: bool) -> Paper:
    """The sheet; Refused for an unknown one."""
    from undersong.sheet.paper import paper as sheet

    with naming("--paper"):
        return sheet(paper, landscape)


def check_drawing(to: Sequence[str]) -> None:
    """Refused, before anything is searched for, where a PDF is asked for and the system lacks what
    it is drawn with."""
    if any(Path(name).suffix.lower() == ".pdf" for name in to):
        from undersong.sheet.pdf import check_system

        with naming("--to"):
            check_system()


def options_for(
    *,
    paper: str,
    landscape: bool,
    large: bool,
    contrast: bool,
    parts: str,
    melody_on_top: bool,
    from_capo: bool,
    bass_part: bool,
    level: str,
) -> PageOptions:
    """What was asked for; Refused, one sentence, for what no page can have."""
    from undersong.sheet.page_options import PageOptions

    sheet = paper_of(paper, landscape)
    with naming("--parts"):
        return PageOptions(
            paper=sheet,
            large=large,
            contrast=contrast,
            parts=parts,
            bass_on_top=not melody_on_top,
            from_capo=from_capo,
            bass_part=bass_part,
            level=level.strip(),
        )
