"""``undersong page``: staff and tab on paper, as PDF or SVG."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.answered import arranged
from undersong.cli.asked import Asked
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import UNPROVEN, Refused, naming, say
from undersong.cli.handed_in import counted_answer, refuse_settings
from undersong.cli.opening import opened
from undersong.cli.options import TUNE_IS, from_capo, time_limit, tune_options
from undersong.cli.output import check_files
from undersong.cli.page_options import PAGE_NAMES, check_drawing, options_for, page_options

if TYPE_CHECKING:
    from solver.result import Arrangement
    from undersong.sheet.page_options import PageOptions

SUFFIXES = (".pdf", ".svg")
_OWN = frozenset((*PAGE_NAMES, "tune", "to", "time_limit"))
"""What may be asked of a finished answer; all else stands in its file."""


@click.command(
    "page",
    epilog="Instead of a tune an answer may be named that was written with --to FILE.json: then "
    "its own settings hold. An SVG of several pages has them one below the other. A PDF needs the "
    f"system's library cairo and the fonts called Liberation. {TUNE_IS} {CAUTION}",
)
@tune_options
@click.option(
    "--to",
    metavar="FILE",
    multiple=True,
    help="Where to: the suffix says what, .pdf or .svg; again for more.",
)
@page_options
@from_capo("on the page and in what you ask")
@time_limit("Seconds that the search may take; then the best so far is printed.")
@condition_options
@click.pass_context
def command(context: click.Context, /, to: tuple[str, ...], **options: Any) -> None:
    """Print staff and tab to hand out: PDF for paper, SVG for screens."""
    if not to:
        raise Refused("--to: name the file to write, such as --to tune.pdf")
    check_files(to, options["tune"], SUFFIXES)
    page = options_for(**{name: options[name] for name in PAGE_NAMES})
    check_drawing(to)
    if options["tune"].lower().endswith(".json"):
        refuse_settings(context, _OWN)
        _write(counted_answer(options["tune"], options["from_capo"]), to, page)
        return
    limit, wanted = options["time_limit"], ConditionsAsked.taken_from(options)
    for name in set(PAGE_NAMES) - {"from_capo", "melody_on_top"}:
        del options[name]
    asked = Asked(**options, to=(), width=80, unicode=False)
    arrangement = arranged(opened(asked, wanted), limit)
    _write(arrangement, to, page)
    proof = arrangement.proof
    missing = f", at most {proof.gap} ms above the best" if proof.gap else ""
    say(f"{proof.status}: {arrangement.cost} ms of hand work{missing}")
    if proof.gap:
        raise click.exceptions.Exit(UNPROVEN)


def _write(arrangement: Arrangement, to: tuple[str, ...], page: PageOptions) -> None:
    """Every file; each is replaced only when its successor is whole."""
    from undersong.sheet.engraved import page_pdf, page_svg
    from undersong.sheet.write import put_file

    for name in to:
        make = page_pdf if Path(name).suffix.lower() == ".pdf" else page_svg
        with naming("--to"):
            put_file(Path(name), make(arrangement, page))
