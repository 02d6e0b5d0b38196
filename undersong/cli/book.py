"""``undersong book``: every tune of a folder, a list or an ABC file, in one book."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.book_settings import LEFT_OUT, settings_of
from undersong.cli.book_told import progress, tell_book, tell_faults
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import (
    ANSWER,
    BAD_INPUT,
    INTERRUPTED,
    OUR_FAULT,
    UNPROVEN,
    Refused,
    naming,
    say,
)
from undersong.cli.kinds import seconds, whole
from undersong.cli.options import solving_options
from undersong.cli.output import refuse_protected
from undersong.cli.page_options import check_drawing, page_options
from undersong.processes import cores

if TYPE_CHECKING:
    from undersong.book.making import Book

EXAMPLES = """\b
Such as:
  undersong book my-tunes --to my-book
  undersong book evening.txt --to evening --texture solo --chords proposed
  undersong book harrow-lane --to lesson --levels 1-3 --title 'Lesson three'
"""


@click.command(
    "book",
    epilog=f"{EXAMPLES}\nSOURCE is a folder; a list that ends in .txt and names a file or a "
    "bundled tune in each line, or 'FILE.abc: TITLE' for one of several; or one file, and of an "
    "ABC file every tune. OUT gets book.pdf, summary.json, table.csv, and the parts of every tune. "
    "A tune that cannot be played is told with its reason and what would mend it, and stops "
    "nothing. A run that was stopped goes on where it was when the same command is given again; "
    "what has not changed is not made anew. What is finished stands in OUT/finished.jsonl, which "
    "may be deleted. While a book is made, its worker processes listen on 127.0.0.1 without a "
    "password: whoever else can log in to this very machine could give them work to do in your "
    f"name. {CAUTION}",
)
@click.argument("source")
@click.option("--to", "out", metavar="OUT", default="", help="The book's folder; made if need be.")
@click.option("--title", metavar="TEXT", default="", help="The book's title.  [default: SOURCE]")
@click.option(
    "--texture",
    "textures",
    metavar="NAME",
    multiple=True,
    help="song, solo, bass or drone; again for more, each tune in all of them.  [default: song]",
)
@click.option(
    "--chords",
    metavar="given|proposed|drone",
    default="given",
    show_default=True,
    help="Each tune's own chords; chords that Undersong proposes where a tune has none; or the "
    "key's open fifth throughout.",
)
@click.option(
    "--levels",
    metavar="N-N|FILE",
    help="Easier and harder versions of each tune, such as 1-5 or 2, or a levels file of your own.",
)
@solving_options
@page_options
@click.option(
    "--workers",
    metavar="N",
    callback=whole(1, 256, "workers"),
    help="How many tunes are worked at in one go.  [default: as many as this machine has cores]",
)
@click.option(
    "--scheduler",
    metavar="ADDRESS",
    default="",
    help="Let the workers of a Dask scheduler do it, such as tcp://192.168.0.7:8786; only where "
    "you trust all who can reach it.",
)
@click.option(
    "--tune-limit",
    metavar="N",
    default="60",
    callback=seconds,
    show_default=True,
    help="Seconds that one tune may take in each texture; then the best so far stands there, as "
    "unproven.",
)
@click.option(
    "--mends",
    metavar="N",
    default="3",
    callback=whole(0, 20, "mends"),
    show_default=True,
    help="How many mends to tell where a tune cannot be played; 0 looks for none, which is faster.",
)
@condition_options
def command(
    source: str,
    out: str,
    title: str,
    workers: int | None,
    scheduler: str,
    **options: Any,
) -> None:
    """Make a book of many tunes: contents, indexes and every tune's pages, in one PDF."""
    from undersong.book.gathering import NoTunes, gathered
    from undersong.book.lock import InUse
    from undersong.book.making import Order, Unfinished, make_book

    if workers is not None and scheduler:
        raise Refused("--workers: a scheduler has workers of its own; leave one of the two out")
    folder = _folder(out, source)
    wanted = ConditionsAsked.taken_from({**options, "keep": ()})
    for field in fields(wanted):
        options.pop(field.name, None)
    settings = settings_of(source, wanted, options)
    check_drawing((".pdf",))
    try:
        tunes = gathered(source, settings.instrument, settings.beside, folder)
    except NoTunes as error:
        raise Refused(str(error)) from None
    for note in tunes.notes:
        say(f"note: {note}")
    order = Order(title.strip() or _called(tunes.called), workers or cores(), scheduler)
    ended: Unfinished | None = None
    with progress(scheduler) as tell, naming("--to"):
        try:
            made = make_book(tunes, settings, folder, order, tell)
        except InUse as error:
            raise Refused(str(error)) from None
        except Unfinished as error:
            ended = error
        except OSError as error:
            why = error.strerror or error
            raise Refused(f"--to {out}: nothing can be written there ({why})") from None
    if ended is not None:
        say(str(ended))
        raise click.exceptions.Exit(INTERRUPTED if ended.interrupted else BAD_INPUT)
    tell_book(made, folder)
    _end(made)


command.params = [
    param
    for at, param in enumerate(command.params)
    if param.name not in LEFT_OUT and param.name not in {one.name for one in command.params[:at]}
]
"""Without what can be meant for one tune alone; ``--chords`` is the one written here."""


def _end(made: Book) -> None:
    failures = [failure for entry in made.entries for failure in entry.failures]
    if any(failure.ours for failure in failures):
        tell_faults(made)
        raise click.exceptions.Exit(OUR_FAULT)
    if any(not failure.out_of_time for failure in failures):
        raise click.exceptions.Exit(ANSWER)
    if failures or any(not part.proven for entry in made.entries for part in entry.parts):
        raise click.exceptions.Exit(UNPROVEN)


def _folder(out: str, source: str) -> Path:
    """Where the book goes; Refused where it cannot."""
    from undersong.book.binding import BOOK
    from undersong.book.summary import SUMMARY
    from undersong.book.table import TABLE

    if out.strip() in ("", "-"):
        raise Refused("--to: name the book's folder, such as --to my-book")
    folder = Path(out)
    try:
        if folder.exists() and not folder.is_dir():
            raise Refused(f"--to {out}: this is a file; name a folder")
        if not folder.resolve().parent.is_dir():
            raise Refused(f"--to {out}: there is no folder {folder.parent}; make it first")
        if folder.exists() and Path(source).exists() and folder.samefile(source):
            raise Refused(f"--to {out}: the tunes lie there; name a folder of its own for the book")
        for name in (BOOK, SUMMARY, TABLE):
            refuse_protected(str(folder / name))
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) else error
        raise Refused(f"--to {out}: no folder can have that name ({why})") from None
    return folder


def _called(name: str) -> str:
    """A file's name as a title."""
    words = " ".join(name.replace("-", " ").replace("_", " ").split())
    return words[:1].upper() + words[1:] or "Tunes"
