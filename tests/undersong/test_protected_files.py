"""A file that is write-protected is not replaced, by no command, not even for the administrator
(for whom the system itself protects nothing: these tests may run as root)."""

from pathlib import Path

import pytest

from tests.undersong.arranged import bundled
from tests.undersong.running import Ended, run
from undersong.sheet.errors import SheetError
from undersong.sheet.write import FORMATS, put_file, write

BEFORE_THE_SEARCH = {
    "arrange": ("kept.txt", "harrow-lane"),
    "page": ("kept.pdf", "harrow-lane"),
    "shapes": ("kept.svg", "harrow-lane"),
    "handout": ("kept.pdf", "harrow-lane"),
    "sound": ("kept.mp3", "harrow-lane"),
    "practice": ("kept.txt", "harrow-lane"),
    "chords": ("kept.chart", "harrow-lane"),
    "keys": ("kept.json", "harrow-lane"),
    "frets": ("kept.txt", "harrow-lane"),
    "sets": ("kept.txt", "harrow-lane", "lantern-path"),
    "jam": ("kept.txt", "D", "G"),
    "compare": ("kept.txt", "one.json", "other.json"),
    "check": ("kept.txt", "tab.txt", "--tune", "harrow-lane"),
    "learn": ("kept.toml", "harrow-lane"),
}
"""Command → the file and what is asked; none of these searches before it refuses."""


def protected(folder: Path, name: str) -> Path:
    file = folder / name
    file.write_text("what was there", encoding="utf-8")
    file.chmod(0o444)
    return file


def refuses(ended: Ended, file: Path) -> None:
    assert ended.code == 2, ended
    assert ended.out == ""
    (line,) = ended.lines
    assert line.startswith("undersong: --to")
    assert str(file) in line
    assert "write-protected" in line
    assert file.read_text("utf-8") == "what was there"


@pytest.mark.parametrize("command", BEFORE_THE_SEARCH)
def test_every_command_refuses_it_first(command: str, tmp_path: Path) -> None:
    name, *asked = BEFORE_THE_SEARCH[command]
    file = protected(tmp_path, name)
    refuses(run(command, *asked, "--to", str(file)), file)
    assert list(tmp_path.iterdir()) == [file]


@pytest.mark.parametrize("name", ["book.pdf", "summary.json", "table.csv"])
def test_a_book_refuses_it_first(name: str, tmp_path: Path) -> None:
    (tmp_path / "tunes").mkdir()
    (tmp_path / "tunes" / "t.chart").write_text("title: Gate\nkey: D\nmetre: 4/4\n| D |\n")
    (tmp_path / "book").mkdir()
    file = protected(tmp_path / "book", name)
    refuses(run("book", str(tmp_path / "tunes"), "--to", str(tmp_path / "book")), file)
    assert list((tmp_path / "book").iterdir()) == [file]


def test_pages_in_a_folder_are_refused_where_they_are_written(tmp_path: Path) -> None:
    file = protected(tmp_path, "lantern-path-1.txt")
    asked = ("--count", "1", "--to", str(tmp_path), "--as", "txt")
    refuses(run("alternatives", "lantern-path", *asked), file)


@pytest.mark.parametrize("suffix", FORMATS)
def test_the_writing_itself_refuses_it(suffix: str, tmp_path: Path) -> None:
    file = protected(tmp_path, f"kept{suffix}")
    with pytest.raises(SheetError, match="write-protected"):
        write(bundled("harrow-lane"), file)
    assert file.read_text("utf-8") == "what was there"
    assert list(tmp_path.iterdir()) == [file]


def test_a_link_to_it_is_refused_and_one_that_the_owner_may_write_is_not(tmp_path: Path) -> None:
    file = protected(tmp_path, "kept.txt")
    (tmp_path / "link.txt").symlink_to(file)
    with pytest.raises(SheetError, match="write-protected"):
        put_file(tmp_path / "link.txt", b"new")
    file.chmod(0o200)
    put_file(file, b"new")
    file.chmod(0o600)
    assert file.read_bytes() == b"new"
