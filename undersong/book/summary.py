"""What became of a book as a JSON document for programs; its schema is ``book.schema.json``.

Whole numbers: ms of hand work, percent of what the hand can do, pages of the book from 1. Strings
are named bass to melody. Files are relative to the book's folder. Nothing in it depends on when,
where or how quickly the book was made.

Public: write_summary, summary_json, book_schema, SUMMARY, FORMAT, VERSION.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from undersong.book.bound import Bound
from undersong.book.entry import Entry, Failure, Part
from undersong.sheet.json_layout import laid_out
from undersong.sheet.json_schema import read_schema

SUMMARY = "summary.json"
"""What the file is called in the book's folder."""

FORMAT = "undersong book"
VERSION = 1


def write_summary(entries: Sequence[Entry], folder: Path, title: str, bound: Bound) -> None:
    """Writes ``summary.json`` into the folder, all or nothing; SheetError, one sentence, where it
    cannot be."""
    from undersong.sheet.write import put_file

    put_file(folder / SUMMARY, summary_json(entries, title, bound).encode("ascii"))


def summary_json(entries: Sequence[Entry], title: str, bound: Bound) -> str:
    """The document, ASCII, the same bytes each time, a newline at its end."""
    from undersong.book.binding import BOOK
    from undersong.book.table import TABLE

    parts = [part for entry in entries for part in entry.parts]
    document = {
        "format": FORMAT,
        "version": VERSION,
        "title": title,
        "files": {"book": BOOK, "table": TABLE},
        "pages": bound.pages,
        "counts": {
            "tunes": len(entries),
            "tunes_with_a_version": sum(bool(entry.parts) for entry in entries),
            "versions": len(parts),
            "versions_proven_best": sum(part.proven for part in parts),
            "failures": sum(len(entry.failures) for entry in entries),
        },
        "tunes": [_tune(entry, bound) for entry in entries],
    }
    return laid_out(document) + "\n"


def book_schema() -> dict[str, Any]:
    """The published JSON Schema (draft 2020-12) of these documents."""
    return read_schema("undersong.book", "book.schema.json")


def _tune(entry: Entry, bound: Bound) -> dict[str, Any]:
    return {
        "number": entry.number,
        "title": entry.title,
        "source": entry.source,
        "page": bound.page_of(entry.number),
        "pages": entry.page_count,
        "file": entry.pages or None,
        "versions": [
            _version(part, bound.page_of(entry.number, at)) for at, part in enumerate(entry.parts)
        ],
        "failures": [_failure(failure) for failure in entry.failures],
        "notices": list(entry.notices),
    }


def _version(part: Part, page: int | None) -> dict[str, Any]:
    return {
        "level": part.level,
        "texture": part.texture,
        "title": part.title,
        "key": part.key,
        "tuning": part.tuning.split(),
        "capo": part.capo,
        "cost": part.cost,
        "proven": part.proven,
        "gap": part.gap,
        "difficulty": {
            "hardest": part.hardest,
            "hardest_bar": part.hardest_bar,
            "median": part.median,
        },
        "shapes": part.shapes,
        "first_shape": part.first_shape or None,
        "file": part.file,
        "page": page,
    }


def _failure(failure: Failure) -> dict[str, Any]:
    return {
        "level": failure.level,
        "texture": failure.texture or None,
        "reason": failure.reason,
        "mends": list(failure.mends),
        "out_of_time": failure.out_of_time,
        "fault_of_the_program": failure.ours,
    }
