"""Where an arrangement goes: standard output, or files by their suffix.

What can be known of a file before the search is complained of before the search, so that nobody
waits for an answer that cannot be written.

Public: check_targets, check_files, check_target, refuse_nowhere, refuse_taken, refuse_protected,
options_of, put_out.
"""

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from undersong.cli.asked import Asked
from undersong.cli.endings import Refused, naming

if TYPE_CHECKING:
    from solver.result import Arrangement
    from undersong.sheet.options import SheetOptions


def check_targets(asked: Asked) -> None:
    """Refuses files that could not be written, or that would be the tune itself."""
    from undersong.sheet.write import FORMATS

    check_files(asked.to, asked.tune, tuple(FORMATS), printed=True)


def check_files(
    to: Sequence[str], tune: str, suffixes: Sequence[str], *, printed: bool = False
) -> None:
    """Refuses a file that is asked for twice, and what ``check_target`` refuses of each; printed:
    ``-`` stands for standard output."""
    for name in to:
        if to.count(name) > 1:
            raise Refused(f"--to {name}: this is asked for twice; ask once")
        if not (printed and name == "-"):
            check_target(name, tune, suffixes)


def check_target(name: str, tune: str, suffixes: Sequence[str]) -> None:
    """Refuses one file that could not be written, that ends in no such suffix, or that would be
    the tune itself."""
    refuse_nowhere(name)
    if Path(name).suffix.lower() not in suffixes:
        known = ", ".join(suffixes)
        raise Refused(f"--to {name}: the suffix says what to write; end it in {known}")
    refuse_taken(name, (tune,), "the tune itself")


def refuse_nowhere(name: str) -> None:
    """Refuses a name under which no file can lie."""
    with _possible(name):
        if Path(name).is_dir():
            raise Refused(f"--to {name}: this is a folder; name a file in it")
        if not Path(name).parent.is_dir():
            raise Refused(f"--to {name}: there is no folder {Path(name).parent}; make it first")


def refuse_taken(name: str, others: Sequence[str], what: str) -> None:
    """Refuses a file that is one of the others, which are ``what``, and one that is protected."""
    file = Path(name)
    with _possible(name):
        if any(file.exists() and Path(one).exists() and file.samefile(one) for one in others):
            raise Refused(f"--to {name}: that is {what}; choose another name")
        refuse_protected(name)


@contextmanager
def _possible(name: str) -> Iterator[None]:
    """Complains of a name that the system itself does not take."""
    try:
        yield
    except OSError as error:
        raise Refused(f"--to {name}: no file can have that name ({error.strerror})") from None


def refuse_protected(name: str) -> None:
    """Refuses a file that the writing itself would refuse, before anybody waits for it."""
    from undersong.sheet.write import PROTECTED, is_protected

    if is_protected(Path(name)):
        raise Refused(f"--to {name}: {PROTECTED}")


def options_of(asked: Asked) -> "SheetOptions":
    from undersong.sheet.options import SheetOptions

    return SheetOptions(
        bass_on_top=not asked.melody_on_top,
        from_capo=asked.from_capo,
        width=asked.width,
        unicode=asked.unicode,
        shapes_used=asked.shapes_used,
        left_handed=asked.left_handed,
    )


def put_out(arrangement: "Arrangement", asked: Asked) -> None:
    """Writes what was asked for, files first; a text tab on standard output where nothing was."""
    from undersong.sheet.write import write

    options = options_of(asked)
    for name in sorted(asked.to or ("-",), key=lambda name: name == "-"):
        if name == "-" and sys.stdout.isatty():
            _in_colour(arrangement, options)
        else:
            with naming("--to"):
                write(arrangement, name, options)


def _in_colour(arrangement: "Arrangement", options: "SheetOptions") -> None:
    """The text tab on a terminal: its title bold, else as it is; NO_COLOR is honoured."""
    from rich.console import Console
    from rich.text import Text

    from undersong.sheet.text import text_tab

    title, rest = text_tab(arrangement, options).rstrip("\n").split("\n", 1)
    console = Console(soft_wrap=True, highlight=False)
    console.print(Text(title, style="bold"))
    console.print(Text(rest))
