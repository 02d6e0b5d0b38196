"""Tunes and a folder for books that are made in this process, and pages that cost nothing."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from solver.result import Arrangement
from tests.undersong.book.books import FEW, tunes_in
from undersong.book import binding
from undersong.book import one_tune as room
from undersong.book.bound import Bound
from undersong.book.entry import Entry
from undersong.book.settings import Settings
from undersong.sheet.write import put_file

DRAWN = (
    "test_a_book_is_made_and_its_parts_are_what_the_entries_say",
    "test_a_run_that_is_stopped_goes_on_and_gives_the_same_bytes",
)


@pytest.fixture
def light(request: Any, monkeypatch: Any) -> None:
    """Pages that cost nothing, but in the tests of ``DRAWN``."""
    if request.function.__name__ in DRAWN:
        return

    def drawn(arrangements: list[Arrangement], _: object, asked: Settings) -> bytes:
        return repr([(each.choices, asked.look) for each in arrangements]).encode()

    def bind(entries: Sequence[Entry], folder: Path, title: str, _: object) -> Bound:
        put_file(folder / "book.pdf", repr((title, entries)).encode())
        return Bound(0, {})

    monkeypatch.setattr(room, "_drawn", drawn)
    monkeypatch.setattr(room, "_pages_in", lambda _: 1)
    monkeypatch.setattr(binding, "bind", bind)


@pytest.fixture
def source(tmp_path: Path) -> Path:
    return tunes_in(tmp_path / "tunes", FEW)


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "book"
