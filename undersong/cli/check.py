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
@solving_options
@sheet_options
def command(tab: str, melody_first: bool, six_plus_is_7: bool, **options: Any) -> None:
    """Say what is wrong with a tab, what it costs, and the smallest change that mends it."""
    from undersong.handed.checking import checked
    from undersong.handed.reading import TabOrder
    from undersong.handed.words import report

    if tab == "-" and options["tune"] == "-":
        raise Refused("TAB: standard input can be the tab or the tune, not both; name a file")
    text = _text(tab)
    asked = Asked(to=(), **options)
    begun = opened(asked, None)
    order = TabOrder(melody_first, asked.melody_on_top, six_plus_is_7, asked.from_capo)

    def work(watch: "Watch") -> "Checked":
        return checked(begun.session, text, begun.weights, order, tab, watch)

    found = watched(work, asked.time_limit)
    click.echo(report(found, asked.width), nl=False)
    if not found.sound:
        raise click.exceptions.Exit(ANSWER)


def _text(name: str) -> str:
    """The tab's text; TabError where the file is no text."""
    from undersong.handed.tab import TabError

    data = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
    wide = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    try:
        return data.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        raise TabError("this is no text in UTF-8; save it as plain text", Place(name)) from None
