"""How a book's making is told: a bar on a terminal, and at the end what is slow, unproven, missing.

Public: progress, tell_book, tell_faults.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from undersong.cli.endings import say
from undersong.wording import many

if TYPE_CHECKING:
    from undersong.book.entry import Entry
    from undersong.book.making import Book, BookStanding

SLOWEST = 5
SHOWN = 20
"""How many of each list are told; the summary has all of them."""


@contextmanager
def progress(scheduler: str) -> Iterator[Callable[[BookStanding], None]]:
    """A bar on stderr where that is a terminal, with tunes a minute and the time left; gone when
    the work is done, and nothing elsewhere."""
    if not sys.stderr.isatty():
        yield lambda standing: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    columns = (
        TextColumn("tunes"),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("{task.fields[pace]}"),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        where = f"asking for workers at {scheduler}" if scheduler else "starting workers"
        task = bar.add_task("tunes", total=None, pace=where)

        def tell(standing: BookStanding) -> None:
            pace = _pace(standing, bar.tasks[0].elapsed or 0.0) or where
            bar.update(task, completed=standing.done, total=standing.total, pace=pace)

        yield tell


def _pace(standing: BookStanding, elapsed: float) -> str:
    """Tunes a minute and the time left, by those that were made now; elapsed: seconds."""
    now, left = standing.done - standing.kept, standing.total - standing.done
    if not left:
        return "binding"
    if not now or elapsed <= 0:
        return ""
    minutes, seconds = divmod(round(left * elapsed / now), 60)
    return f"{60 * now / elapsed:.1f} tunes a minute, about {minutes}:{seconds:02} left"


def tell_book(made: Book, folder: Path) -> None:
    """The book in figures on stdout; on stderr what could not be played, what is not proven, and
    what of a tune could not be used."""
    entries = made.entries
    there = [entry for entry in entries if entry.pages]
    click.echo(
        f"{folder}: {many(len(entries), 'tune')}, {len(there)} in the book on "
        f"{many(sum(entry.page_count for entry in there), 'page')} of music"
    )
    if made.kept:
        some = f"{made.kept} of them {'was' if made.kept == 1 else 'were'}"
        kept = "all were" if made.kept == len(entries) > 1 else some
        click.echo(f"{kept} finished by an earlier run and were not made anew")
    if made.removed:
        click.echo(f"{many(made.removed, 'file')} that no tune of the book needs any more removed")
    slow = sorted(made.seconds.items(), key=lambda item: (-item[1], item[0]))[:SLOWEST]
    if slow:
        click.echo("slowest:")
        for number, took in slow:
            click.echo(f"  {took:6.1f} s  {_named(entries[number - 1])}")
    _tell("not proven best", [each for entry in entries for each in _unproven(entry)])
    _tell("not in the book", [each for entry in entries for each in _failed(entry)])
    _tell("note", [(f"{_named(entry)}: {each}",) for entry in there for each in entry.notices])


def tell_faults(made: Book) -> None:
    """On stderr, with which tunes the program itself went wrong."""
    names = [_named(entry) for entry in made.entries if entry.ours]
    shown = names[:SHOWN]
    if len(names) > SHOWN:
        shown.append(f"{len(names) - SHOWN} more, which summary.json names")
    say(
        f"a fault of this program with {many(len(names), 'tune')}: {'; '.join(shown)}; the book is "
        "written without what went wrong; please report it with the tunes and the settings"
    )


def _tell(what: str, told: list[tuple[str, ...]]) -> None:
    """told: for each of them its line, and lines below it."""
    for line, *below in told[:SHOWN]:
        say(f"{what}: {line}")
        for more in below:
            say(f"  mend: {more}")
    if len(told) > SHOWN:
        say(f"{what}: {len(told) - SHOWN} more, which summary.json names")


def _unproven(entry: Entry) -> Iterator[tuple[str, ...]]:
    for part in entry.parts:
        if not part.proven:
            which = _which(part.texture, part.level)
            yield (f"{_named(entry)}{which}: at most {part.gap} ms above the best",)


def _failed(entry: Entry) -> Iterator[tuple[str, ...]]:
    for failure in entry.failures:
        which = _which(failure.texture, failure.level)
        yield f"{_named(entry)}{which}: {failure.reason}", *failure.mends


def _which(texture: str, level: int | None) -> str:
    words = ", ".join(word for word in (texture, "" if level is None else f"level {level}") if word)
    return f" ({words})" if words else ""


def _named(entry: Entry) -> str:
    return f"{entry.number}. {entry.title}"
