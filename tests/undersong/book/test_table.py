"""The table of a book, read back with the standard library's csv."""

import csv
from io import StringIO
from pathlib import Path

import pytest

from tests.undersong.arranged import bundled
from tests.undersong.book.bound_books import drawn, entry, part, real_entries
from undersong.book.binding import bind
from undersong.book.bound import Bound
from undersong.book.entry import Failure
from undersong.book.table import COLUMNS, TABLE, to_csv, write_table
from undersong.sheet.document import from_json, to_json
from undersong.sheet.errors import SheetError

AWKWARD = 'Boots, "Wet" ones; and\na line; é ♯ 😀'


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(text, newline="")))


def test_every_version_has_a_row_and_every_figure_its_column() -> None:
    entries = [
        entry(1, "Frost", [part(level=1, key="A dorian", tuning="D3 A3 C4", capo="1", hardest=91,
                                hardest_bar="3, 7 (2nd time)", median=40, shapes=12, cost=4321,
                                first_shape="3-0-2 TM"),
                           part(level=2, texture="solo", proven=False, gap=7)]),
        entry(2, "Lost", [], failures=[Failure(None, "it has no chords")]),
        entry(3, AWKWARD, [part(first_shape="")]),
    ]  # fmt: skip
    found = rows(to_csv(entries, Bound(9, {1: (4, 6)})))
    assert [(row["number"], row["level"], row["page"]) for row in found] == [
        ("1", "1", "4"),
        ("1", "2", "6"),
        ("3", "", ""),
    ]
    assert found[0] == {
        "number": "1", "title": "Frost", "level": "1", "texture": "song", "key": "A dorian",
        "tuning": "D3 A3 C4", "capo": "1", "hardest": "91", "hardest bar": "3, 7 (2nd time)",
        "median": "40", "shapes": "12", "cost": "4321", "proven": "yes",
        "first shape": "3-0-2 TM", "page": "4",
    }  # fmt: skip
    assert (found[1]["proven"], found[1]["texture"]) == ("no", "solo")
    assert found[2]["title"] == 'Boots, "Wet" ones; and a line; é ♯ 😀'
    assert found[2]["first shape"] == ""


def test_the_figures_are_those_of_the_arrangements_documents(tmp_path: Path) -> None:
    """Each arrangement is read back from its document, which is verified by reading."""
    entries = real_entries(tmp_path, ["harrow-lane"])
    bound = bind(entries, tmp_path, "Harrow Lane Class")
    write_table(entries, tmp_path, bound)
    content = (tmp_path / TABLE).read_bytes()
    assert content.count(b"\r\n") == 3 == content.count(b"\n")
    found = rows(content.decode("utf-8"))
    for row, manner, page in zip(found, ("alternating", "walking"), bound.begins[1], strict=True):
        made = from_json(to_json(bundled("harrow-lane", manner)))
        assert int(row["cost"]) == made.cost
        assert int(row["hardest"]) == made.difficulty.hardest
        assert int(row["median"]) == made.difficulty.median
        assert row["proven"] == "yes"
        assert row["key"] == str(made.tune.key)
        assert int(row["page"]) == page


def test_rows_sort_and_count_as_numbers() -> None:
    entries = [entry(at, f"Tune {at}", hardest=(at * 37) % 101, cost=at * 9) for at in range(1, 41)]
    found = rows(to_csv(entries, Bound(50, {at: (at + 3,) for at in range(1, 41)})))
    assert sorted(int(row["hardest"]) for row in found) == sorted(
        one.parts[0].hardest for one in entries
    )
    assert sum(int(row["cost"]) for row in found) == 9 * 40 * 41 // 2


def test_an_empty_book_has_the_header_alone() -> None:
    assert to_csv([], Bound(2, {})) == ",".join(COLUMNS) + "\r\n"


def test_the_same_bytes_twice_and_the_old_table_stays_where_it_cannot_be_written(
    tmp_path: Path,
) -> None:
    entries = [entry(1, AWKWARD)]
    drawn(tmp_path, entries)
    write_table(entries, tmp_path, Bound(5, {1: (4,)}))
    first = (tmp_path / TABLE).read_bytes()
    write_table(entries, tmp_path, Bound(5, {1: (4,)}))
    assert (tmp_path / TABLE).read_bytes() == first
    with pytest.raises(SheetError, match="cannot be written"):
        write_table(entries, tmp_path / "gone", Bound(5, {1: (4,)}))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["parts", TABLE]
