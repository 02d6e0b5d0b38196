"""A table of a book's versions (``.csv``): one row for each, for people who sort and count.

RFC 4180: comma between fields, CRLF after every row, double quotes around a field that holds a
comma, a quote or a line break; UTF-8 without a mark at its beginning; the first row is the header.

Columns, in order: ``number`` is the tune's place in the book, ``title`` its title; ``level`` is
empty where no levels were asked for; ``key``; ``tuning`` names the strings bass to melody, and
``capo`` its fret, ``0`` for none; ``hardest`` is the percent of what the hand can do in the hardest
bar, ``hardest bar`` that bar as printed, ``median`` the percent of the bar in the middle;
``shapes`` is how many different ones; ``cost`` is ms of hand work; ``proven`` is ``yes`` where
nothing is cheaper, else ``no``; ``first shape`` is empty where the strings are open throughout;
``page`` is the page of the book, empty where it has none. What could not be made has no row.

Public: write_table, to_csv, TABLE, COLUMNS.
"""

import csv
from collections.abc import Iterator, Sequence
from io import StringIO
from pathlib import Path

from undersong.book.bound import Bound
from undersong.book.entry import Entry
from undersong.sheet.text_signs import plain

TABLE = "table.csv"
"""What the file is called in the book's folder."""

COLUMNS = (
    "number", "title", "level", "texture", "key", "tuning", "capo", "hardest", "hardest bar",
    "median", "shapes", "cost", "proven", "first shape", "page",
)  # fmt: skip


def write_table(entries: Sequence[Entry], folder: Path, bound: Bound) -> None:
    """Writes ``table.csv`` into the folder, all or nothing; SheetError, one sentence, where it
    cannot be."""
    from undersong.sheet.write import put_file

    put_file(folder / TABLE, to_csv(entries, bound).encode("utf-8"))


def to_csv(entries: Sequence[Entry], bound: Bound) -> str:
    """The table; the header alone where no version could be made."""
    out = StringIO(newline="")
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(COLUMNS)
    table.writerows(_rows(entries, bound))
    return out.getvalue()


def _rows(entries: Sequence[Entry], bound: Bound) -> Iterator[list[object]]:
    for entry in entries:
        for at, part in enumerate(entry.parts):
            page = bound.page_of(entry.number, at)
            yield [
                entry.number,
                plain(entry.title, unicode=True),
                "" if part.level is None else part.level,
                part.texture,
                part.key,
                part.tuning,
                part.capo,
                part.hardest,
                part.hardest_bar,
                part.median,
                part.shapes,
                part.cost,
                "yes" if part.proven else "no",
                part.first_shape,
                "" if page is None else page,
            ]
