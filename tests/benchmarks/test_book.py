"""What the benchmark of books counts."""

from pathlib import Path

from benchmarks.book import files_that_differ


def test_every_file_that_differs_is_counted(tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    for folder, own in ((one, "mine"), (two, "theirs")):
        (folder / "parts").mkdir(parents=True)
        (folder / "alike").write_text("the same")
        (folder / "parts" / "other").write_text(own)
        (folder / own).write_text("only here")
    assert files_that_differ(one, two) == 3
    assert files_that_differ(one, one) == 0
