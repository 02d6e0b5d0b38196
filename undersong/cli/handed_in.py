"""Answers handed in as files that were written with ``--to FILE.json``.

Public: answer_in, counted_answer, refuse_settings.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.core import ParameterSource

from undersong.cli.endings import Refused, naming
from undersong.cli.unheard import tell_uncounted

if TYPE_CHECKING:
    from solver.result import Arrangement


def answer_in(name: str, option: str = "") -> Arrangement:
    """The arrangement in that file; Refused, one sentence that begins with the option where one
    is named, for a file that is none."""
    from undersong.sheet.document import from_json

    before = f"{option}: " if option else ""
    file = Path(name.strip())
    try:
        document = file.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise Refused(
            f"{before}{file}: the file cannot be read ({error.strerror}); name one written with "
            "--to FILE.json"
        ) from None
    except ValueError:
        raise Refused(
            f"{before}{file}: the file is no text; name one written with --to FILE.json"
        ) from None
    with naming(f"{option} {file}" if option else str(file)):
        return from_json(document)


def counted_answer(name: str, from_capo: bool) -> Arrangement:
    """``answer_in``, its frets told as counted from its capo where that is asked; says on stderr
    where it has none."""
    found = answer_in(name)
    tell_uncounted(from_capo, [found.instrument])
    return replace(found, instrument=found.instrument.counted(from_capo))


def refuse_settings(context: click.Context, own: frozenset[str]) -> None:
    """Refuses whatever was asked of a finished answer that it says for itself; own: what may be
    asked."""
    for param in context.command.params:
        given = context.get_parameter_source(param.name or "")
        if param.name not in own and given == ParameterSource.COMMANDLINE:
            raise Refused(
                f"{param.opts[-1]}: the answer in that file has settings of its own; leave this "
                "out, or name the tune instead"
            )
