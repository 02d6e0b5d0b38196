"""``undersong shapes``: diagrams of the shapes that a tune uses, as PDF or SVG."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.answered import answered
from undersong.cli.asked import Asked
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import UNPROVEN, Refused, naming
from undersong.cli.options import TUNE_IS, from_capo, time_limit, tune_options
from undersong.cli.output import check_files
from undersong.cli.page_options import PAPER_NAMES, check_drawing, paper_of, paper_options

if TYPE_CHECKING:
    from undersong.sheet.boxes import DiagramOptions

SUFFIXES = (".pdf", ".svg")
_OWN = frozenset(
    (*PAPER_NAMES, "tune", "to", "left_handed", "melody_on_top", "from_capo", "time_limit")
)
"""What may be asked of a finished answer; all else stands in its file."""


@click.command(
    "shapes",
    epilog="Instead of a tune an answer may be named that was written with --to FILE.json: then "
    "its own settings hold. A shape is what the fingers stop and with which; it counts once for "
    "each time that the hand takes it up, repeats as played. An SVG of several pages has them one "
    "below the other. A PDF needs the system's library cairo and the fonts called Liberation. "
    f"{TUNE_IS} {CAUTION}",
)
@tune_options
@click.option(
    "--to",
    metavar="FILE",
    multiple=True,
    help="Where to: the suffix says what, .pdf or .svg; again for more.",
)
@paper_options
@click.option("--left-handed", is_flag=True, help="The nut at the right.")
@click.option("--melody-on-top", is_flag=True, help="Draw the melody string on top.")
@from_capo("on the page and in what you ask")
@time_limit("Seconds that the search may take; then the best so far is drawn.")
@condition_options
@click.pass_context
def command(context: click.Context, /, to: tuple[str, ...], **options: Any) -> None:
    """Draw the shapes of a tune, as on the fretboard."""
    from undersong.sheet.boxes import shapes_pdf, shapes_svg
    from undersong.sheet.write import put_file

    if not to:
        raise Refused("--to: name the file to write, such as --to shapes.pdf")
    check_files(to, options["tune"], SUFFIXES)
    look = _look(options)
    check_drawing(to)
    for name in (*PAPER_NAMES, "left_handed"):
        del options[name]
    wanted = ConditionsAsked.taken_from(options)
    asked = Asked(**options, to=(), width=80, unicode=False)
    found = answered(context, asked, wanted, _OWN)
    for name in to:
        make = shapes_pdf if Path(name).suffix.lower() == ".pdf" else shapes_svg
        with naming("--to"):
            put_file(Path(name), make(found, look))
    if found.proof.gap and not asked.tune.lower().endswith(".json"):
        raise click.exceptions.Exit(UNPROVEN)


def _look(options: dict[str, Any]) -> DiagramOptions:
    from undersong.sheet.boxes import DiagramOptions

    return DiagramOptions(
        paper=paper_of(options["paper"], options["landscape"]),
        left_handed=options["left_handed"],
        bass_on_top=not options["melody_on_top"],
        from_capo=options["from_capo"],
        large=options["large"],
        contrast=options["contrast"],
    )
