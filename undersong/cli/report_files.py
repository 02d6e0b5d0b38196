"""Where a report goes: text on standard output, or .txt and .json files.

Public: report_files, check_targets, put_report.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import click

from undersong.cli.endings import Refused, naming
from undersong.cli.output import refuse_nowhere, refuse_taken

KINDS = (".txt", ".json")

report_files = click.option(
    "--to",
    metavar="FILE",
    multiple=True,
    help="Where to write: .txt or .json (- for text on standard output). Again for more.",
)


def check_targets(to: Sequence[str], given: Sequence[str], what: str) -> None:
    """Refused, one sentence, for what cannot be written; given: files that must not be written
    over, ``what`` they are."""
    for name in to:
        if to.count(name) > 1:
            raise Refused(f"--to {name}: this is asked for twice; ask once")
        if name == "-":
            continue
        if Path(name).suffix.lower() not in KINDS:
            raise Refused(f"--to {name}: the suffix says what to write; end it in .txt or .json")
        refuse_nowhere(name)
        refuse_taken(name, given, what)


def put_report(to: Sequence[str], text: Callable[[], str], document: Callable[[], str]) -> None:
    """Writes every file, then what is printed; without ``to`` the text is printed."""
    for target in sorted(to or ("-",), key=lambda name: name == "-"):
        if target == "-":
            sys.stdout.write(text())
            continue
        content = document() if Path(target).suffix.lower() == ".json" else text()
        _put(target, content)


def _put(target: str, content: str) -> None:
    from undersong.sheet.write import put_file

    with naming("--to"):
        put_file(Path(target), content.encode())
