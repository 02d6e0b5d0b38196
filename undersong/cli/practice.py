"""``undersong practice``: the hardest changes first, slow to fast, with rests."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.answered import answered
from undersong.cli.asked import Asked
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import UNPROVEN, naming
from undersong.cli.loops import loop_options
from undersong.cli.options import TUNE_IS, sheet_options, tune_options
from undersong.cli.output import check_files, options_of
from undersong.cli.page_options import PAPER_NAMES, check_drawing, paper_of, paper_options

if TYPE_CHECKING:
    from undersong.practice import Plan
    from undersong.practice.pages import PageLook

SHEETS, SOUNDS = (".txt", ".pdf"), (".wav", ".flac", ".mp3", ".ogg")
_OWN = frozenset(
    ("tune", "to", "spots", "rounds", "melody_on_top", "from_capo", "width", "unicode",
     "time_limit", *PAPER_NAMES)
)  # fmt: skip
"""What may be asked of a finished answer; all else stands in its file."""


@click.command(
    "practice",
    epilog="Instead of a tune an answer may be named that was written with --to FILE.json: then "
    "its own settings hold. The ladder of each loop begins where the hand as it is set has time "
    f"for every move, by the ratings of the tab. {TUNE_IS} {CAUTION}",
)
@tune_options
@click.option(
    "--to",
    metavar="FILE",
    multiple=True,
    help="Where to: .txt, .pdf, or sound to play along with: .wav, .flac, .mp3, .ogg; - for text "
    "on standard output; again for more.",
)
@loop_options("4", "How many places to practise.")
@paper_options
@sheet_options
@condition_options
@click.pass_context
def command(
    context: click.Context, /, to: tuple[str, ...], spots: int, rounds: int, **options: Any
) -> None:
    """Plan your practice: the hardest changes first, in loops from slow to fast, with rests."""
    from undersong.practice import Wishes, plan_for

    check_files(to, options["tune"], (*SHEETS, *SOUNDS), printed=True)
    paper = {name: options.pop(name) for name in PAPER_NAMES}
    wanted = ConditionsAsked.taken_from(options)
    asked = Asked(**options, to=to)
    look = _look(asked, **paper)
    check_drawing(to)
    found = answered(context, asked, wanted, _OWN)
    with naming(asked.tune):
        plan = plan_for(found, Wishes(spots, rounds))
    for name in sorted(to or ("-",), key=lambda name: name == "-"):
        with naming("--to"):
            _put(plan, name, look)
    if found.proof.gap and not asked.tune.lower().endswith(".json"):
        raise click.exceptions.Exit(UNPROVEN)


def _look(asked: Asked, *, paper: str, landscape: bool, large: bool, contrast: bool) -> PageLook:
    sheet = paper_of(paper, landscape)
    from undersong.practice.pages import PageLook

    return PageLook(sheet, options_of(asked), large, contrast)


def _put(plan: Plan, name: str, look: PageLook) -> None:
    """One file; what was there before is replaced only when its successor is whole."""
    suffix = Path(name).suffix.lower()
    if suffix in SOUNDS:
        from undersong.practice.sound import practice_sound
        from undersong.sound.files import write_blocks

        write_blocks(name, practice_sound(plan))
        return
    from undersong.practice import practice_pdf
    from undersong.practice.text import practice_text
    from undersong.sheet.write import put_file

    if suffix == ".pdf":
        put_file(Path(name), practice_pdf(plan, look))
        return
    text = practice_text(plan, look.sheet)
    if name == "-":
        sys.stdout.write(text)
    else:
        put_file(Path(name), text.encode())
