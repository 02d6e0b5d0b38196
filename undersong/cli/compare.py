"""``undersong compare``: two or more answers side by side, bar by bar."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fretboard.hand import CAUTION
from undersong.cli.endings import Refused, naming
from undersong.cli.handed_in import answer_in
from undersong.cli.options import from_capo, page_width

if TYPE_CHECKING:
    from undersong.compare import Comparison

KINDS = (".txt", ".json")


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
@from_capo("Text: count frets from each answer's capo.")
@click.option(
    "--to",
    metavar="FILE",
    multiple=True,
    help="Where to write: .txt or .json (- for text on standard output). Again for more.",
)
def command(
    files: tuple[str, ...], width: int, only_differing: bool, from_capo: bool, to: tuple[str, ...]
) -> None:
    """Put two or more answers side by side: what differs, in which bars, at what price."""
    if len(files) < 2:
        raise Refused("name two files at least, written with --to FILE.json")
    _check_targets(to, files)
    from undersong.compare import side_by_side

    answers = [answer_in(name) for name in files]
    comparison = side_by_side(answers, _names(files))
    for target in sorted(to or ("-",), key=lambda name: name == "-"):
        _put(comparison, target, width, only_differing, from_capo)


def _names(files: tuple[str, ...]) -> tuple[str, ...]:
    """Files by their own names, with folders where two are called the same."""
    short = [Path(name).name for name in files]
    return tuple(
        name if short.count(own) > 1 else own for name, own in zip(files, short, strict=True)
    )


def _check_targets(to: tuple[str, ...], files: tuple[str, ...]) -> None:
    for name in to:
        if to.count(name) > 1:
            raise Refused(f"--to {name}: this is asked for twice; ask once")
        if name == "-":
            continue
        if Path(name).suffix.lower() not in KINDS:
            raise Refused(f"--to {name}: the suffix says what to write; end it in .txt or .json")
        try:
            if not Path(name).parent.is_dir():
                raise Refused(f"--to {name}: there is no folder {Path(name).parent}; make it first")
            if any(
                Path(name).exists() and Path(f).exists() and Path(name).samefile(f) for f in files
            ):
                raise Refused(f"--to {name}: that is one of the answers; choose another name")
        except OSError as error:
            raise Refused(f"--to {name}: no file can have that name ({error.strerror})") from None


def _put(
    comparison: Comparison, target: str, width: int, only_differing: bool, from_capo: bool
) -> None:
    from undersong.compare.document import comparison_json
    from undersong.compare.text import comparison_text
    from undersong.sheet.write import put_file

    if Path(target).suffix.lower() == ".json" and target != "-":
        content = comparison_json(comparison, only_differing)
    else:
        content = comparison_text(comparison, width, only_differing, from_capo)
    if target == "-":
        sys.stdout.write(content)
        return
    with naming("--to"):
        put_file(Path(target), content.encode())
