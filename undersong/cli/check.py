"""``undersong check``: a tab that somebody handed in, held against a tune and an instrument."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from tune.errors import Place
from undersong.cli.asked import Asked
from undersong.cli.endings import ANSWER, Refused
from undersong.cli.opening import opened
from undersong.cli.options import sheet_options, solving_options
from undersong.cli.report_files import check_targets, put_report, report_files
from undersong.cli.searching import watched

if TYPE_CHECKING:
    from solver.watch import Watch
    from undersong.handed.checking import Checked


@click.command(
    "check",
    epilog="TAB is a text file, or - for standard input; 'undersong tab-format' says how it is "
    f"read. Ends with 0 where it is sound, 1 with faults, 2 where it cannot be read. {CAUTION}",
)
@click.argument("tab")
@click.option("--tune", metavar="TUNE", required=True, help="The tune: a file, or a bundled name.")
@click.option("--melody-first", is_flag=True, help="Shapes name the melody string first: 0-1-3.")
@click.option("--six-plus-is-7", is_flag=True, help="The fret between 6 and 7 is called 7.")
@report_files
@solving_options
@sheet_options
def command(
    tab: str, melody_first: bool, six_plus_is_7: bool, to: tuple[str, ...], **options: Any
) -> None:
    """Say what is wrong with a tab, what it costs, and the smallest change that mends it."""
    from undersong.handed.checking import checked
    from undersong.handed.document import report_json
    from undersong.handed.reading import TabOrder
    from undersong.handed.words import report

    if tab == "-" and options["tune"] == "-":
        raise Refused("TAB: standard input can be the tab or the tune, not both; name a file")
    check_targets(
        to, [name for name in (tab, options["tune"]) if name != "-"], "one of the files handed in"
    )
    text = _text(tab)
    asked = Asked(to=(), **options)
    begun = opened(asked, None)
    order = TabOrder(melody_first, asked.melody_on_top, six_plus_is_7, asked.from_capo)

    def work(watch: "Watch") -> "Checked":
        return checked(begun.session, text, begun.weights, order, tab, watch)

    found = watched(work, asked.time_limit)
    put_report(to, lambda: report(found, asked.width), lambda: report_json(found))
    if not found.sound:
        raise click.exceptions.Exit(ANSWER)


def _text(name: str) -> str:
    """The tab's text; TabError where the file is no text."""
    from undersong.handed.tab import TabError

    try:
        data = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
    except FileNotFoundError:
        raise Refused(
            f"{name}: there is no such file; check the name and the folder of the tab"
        ) from None
    except IsADirectoryError:
        raise Refused(f"{name}: this is a folder; name the file with the tab in it") from None
    except (OSError, ValueError) as error:
        what = getattr(error, "strerror", None) or "no file can have that name"
        raise Refused(f"{name}: the tab cannot be read ({what}); name a text file") from None
    wide = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    try:
        return data.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        raise TabError("this is no text in UTF-8; save it as plain text", Place(name)) from None
