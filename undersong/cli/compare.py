"""``undersong compare``: two or more answers side by side, bar by bar."""

from __future__ import annotations

from pathlib import Path

import click

from fretboard.hand import CAUTION
from undersong.cli.endings import Refused, say
from undersong.cli.handed_in import answer_in
from undersong.cli.options import from_capo, page_width
from undersong.cli.report_files import check_targets, put_report, report_files
from undersong.cli.unheard import tell_uncounted


@click.command(
    "compare",
    epilog="Each FILE was written with --to FILE.json. Their played bars must correspond; manner, "
    "right hand, texture, tuning, capo, hand and weights may differ. Costs are counted by the "
    "first file's weights. Difficulty and stretch are percent of what the hand can do; no weight "
    f"touches them. {CAUTION}",
)
@click.argument("files", metavar="FILE FILE...", nargs=-1)
@page_width("Text: how wide the page is.")
@click.option("--only-differing", is_flag=True, help="Leave out bars that all play alike.")
@from_capo("in the text, each answer from its own")
@report_files
def command(
    files: tuple[str, ...], width: int, only_differing: bool, from_capo: bool, to: tuple[str, ...]
) -> None:
    """Put two or more answers side by side: what differs, in which bars, at what price."""
    if len(files) < 2:
        raise Refused("name two files at least, written with --to FILE.json")
    check_targets(to, files, "one of the answers")
    from undersong.compare import side_by_side
    from undersong.compare.document import comparison_json
    from undersong.compare.text import comparison_text

    answers = [answer_in(name) for name in files]
    tell_uncounted(from_capo, [answer.instrument for answer in answers])
    comparison = side_by_side(answers, _names(files))
    if to and "-" not in to:
        for warning in comparison.warnings:
            say(f"warning: {warning}")
    put_report(
        to,
        lambda: comparison_text(comparison, width, only_differing, from_capo),
        lambda: comparison_json(comparison, only_differing),
    )


def _names(files: tuple[str, ...]) -> tuple[str, ...]:
    """Files by their own names, with folders where two are called the same."""
    short = [Path(name).name for name in files]
    return tuple(
        name if short.count(own) > 1 else own for name, own in zip(files, short, strict=True)
    )
