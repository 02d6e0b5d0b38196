"""The summary of a book against its published schema, by the package jsonschema."""

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.undersong.book.bound_books import entry, part, real_entries
from undersong.book.binding import bind
from undersong.book.bound import Bound
from undersong.book.entry import Entry, Failure
from undersong.book.summary import SUMMARY, book_schema, summary_json, write_summary
from undersong.sheet.errors import SheetError

BOUND = Bound(30, {1: (4, 6), 3: (9,)})


def entries() -> list[Entry]:
    """One tune that came out in part, one that did not, one with a title of any letters."""
    first = [part("Frost", level=1), part("Frost", level=2, proven=False, gap=12, capo="6+")]
    failed = Failure(3, "bar 7: F cannot be played", ("capo at 1",), "song", out_of_time=True)
    return [
        entry(1, "Frost", first, failures=[failed], pages=5),
        entry(2, "Lost", [], failures=[Failure(None, "line 3: no key is given")]),
        entry(3, 'É "♯" 😀\t', [part(first_shape="", key="F# minor", tuning="Bb2 F#3 Bb3 B4")]),
    ]


def document(made: list[Entry], bound: Bound = BOUND, title: str = "Tunes") -> dict[str, Any]:
    """The summary, held against the schema."""
    read: dict[str, Any] = json.loads(summary_json(made, title, bound))
    jsonschema.validate(read, book_schema(), jsonschema.Draft202012Validator)
    return read


def test_the_schema_is_one_itself() -> None:
    """JSON Schema draft 2020-12, by the package jsonschema."""
    jsonschema.Draft202012Validator.check_schema(book_schema())


def test_everything_of_the_entries_is_there() -> None:
    read = document(entries())
    assert read["counts"] == {
        "tunes": 3, "tunes_with_a_version": 2, "versions": 3, "versions_proven_best": 2,
        "failures": 2,
    }  # fmt: skip
    assert read["pages"] == 30
    first, lost, last = read["tunes"]
    assert (first["page"], first["pages"], first["file"]) == (4, 5, "parts/1.pdf")
    assert [one["page"] for one in first["versions"]] == [4, 6]
    assert first["versions"][1]["gap"] == 12
    assert first["failures"] == [
        {
            "level": 3,
            "texture": "song",
            "reason": "bar 7: F cannot be played",
            "mends": ["capo at 1"],
            "out_of_time": True,
            "fault_of_the_program": False,
        }
    ]
    assert (lost["page"], lost["pages"], lost["file"], lost["versions"]) == (None, 0, None, [])
    assert lost["failures"][0]["texture"] is None
    assert last["title"] == 'É "♯" 😀\t'
    assert last["versions"][0]["tuning"] == ["Bb2", "F#3", "Bb3", "B4"]
    assert last["versions"][0]["first_shape"] is None
    for made, told in zip(entries(), read["tunes"], strict=True):
        for one, version in zip(made.parts, told["versions"], strict=True):
            assert (version["cost"], version["proven"], version["level"], version["key"]) == (
                one.cost, one.proven, one.level, one.key,
            )  # fmt: skip
            assert version["difficulty"] == {
                "hardest": one.hardest, "hardest_bar": one.hardest_bar, "median": one.median,
            }  # fmt: skip


def test_real_tunes_and_an_empty_book_hold_to_the_schema(tmp_path: Path) -> None:
    made = real_entries(tmp_path, ["harrow-lane"])
    bound = bind(made, tmp_path, "Harrow Lane Class")
    write_summary(made, tmp_path, "Harrow Lane Class", bound)
    content = (tmp_path / SUMMARY).read_bytes()
    assert content == summary_json(made, "Harrow Lane Class", bound).encode("ascii")
    assert content.endswith(b"}\n")
    read = json.loads(content)
    jsonschema.validate(read, book_schema(), jsonschema.Draft202012Validator)
    for name in read["files"].values():
        assert name in ("book.pdf", "table.csv")
    assert document([], Bound(2, {}), "")["tunes"] == []


@pytest.mark.parametrize(
    ("where", "value"),
    [
        (("version",), 2),
        (("pages",), 0),
        (("tunes", 0, "page"), 1),
        (("tunes", 0, "file"), "/etc/some.pdf"),
        (("tunes", 0, "versions"), [{}]),
        (("tunes", 0, "versions", 0, "gap"), 5),
        (("tunes", 0, "versions", 0, "texture"), "strum"),
        (("tunes", 0, "versions", 0, "tuning"), "D3 A3 D4"),
        (("tunes", 0, "versions", 0, "difficulty", "hardest"), 1001),
        (("tunes", 0, "failures", 0, "reason"), ""),
        (("tunes", 1, "failures"), []),
        (("tunes", 0, "seconds"), 3),
    ],
)
def test_the_schema_refuses_what_is_no_summary(where: tuple[Any, ...], value: object) -> None:
    """It is no schema that everything passes."""
    broken = deepcopy(document(entries()))
    inner: Any = broken
    for step in where[:-1]:
        inner = inner[step]
    inner[where[-1]] = value
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(broken, book_schema(), jsonschema.Draft202012Validator)


def test_a_summary_that_cannot_be_written_leaves_the_old_one(tmp_path: Path) -> None:
    with pytest.raises(SheetError, match=r"summary\.json: the file cannot be written"):
        write_summary(entries(), tmp_path / "gone", "Tunes", BOUND)
    write_summary(entries(), tmp_path, "Tunes", BOUND)
    first = (tmp_path / SUMMARY).read_bytes()
    write_summary(entries(), tmp_path, "Tunes", BOUND)
    assert (tmp_path / SUMMARY).read_bytes() == first
    assert [path.name for path in tmp_path.iterdir()] == [SUMMARY]
