"""Bad files and options: one sentence, exit code 2, no traceback, nothing written."""

from pathlib import Path

import pytest

from tests.undersong import (
    bad_input_chords,
    bad_input_explain,
    bad_input_levels,
    bad_input_options,
    bad_input_settings,
    bad_input_tunes,
)
from tests.undersong.bad_input import Bad
from tests.undersong.running import Ended, run, snapshot, spawn

ROWS = (
    *bad_input_options.ROWS,
    *bad_input_tunes.ROWS,
    *bad_input_settings.ROWS,
    *bad_input_explain.ROWS,
    *bad_input_chords.ROWS,
    *bad_input_levels.ROWS,
)
IN_PROCESSES_OF_THEIR_OWN = (
    "unknown command", "tempo in words", "no such file", "anything piped in",
    "chart: a chord that is none", "xml: an entity bomb", "--weights: unknown name",
)  # fmt: skip


def lay(row: Bad, folder: Path) -> None:
    for name, content in row.files.items():
        file = folder / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content if isinstance(content, bytes) else content.encode())


def with_targets(row: Bad) -> tuple[str, ...]:
    """The arguments and, where the row says nothing of it, one old and one new file to write."""
    if row.arguments[0] != "arrange" or "--to" in row.arguments:
        return row.arguments
    return (row.arguments[0], "--to", "old.json", "--to", "new.txt", *row.arguments[1:])


def judge(row: Bad, ended: Ended) -> None:
    assert ended.code == 2, ended
    assert ended.out == ""
    assert "Traceback" not in ended.told
    assert len(ended.lines) == 1, "one sentence on one line"
    line = ended.lines[0]
    assert line.startswith("undersong: ")
    assert "Errno" not in line
    for phrase in row.says:
        assert phrase in line


def test_there_are_rows_enough_and_no_name_stands_twice() -> None:
    names = [row.name for row in ROWS]
    assert len(names) >= 60
    assert len(set(names)) == len(names)
    assert all(row.says for row in ROWS)
    assert set(IN_PROCESSES_OF_THEIR_OWN) <= set(names)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_bad_input(row: Bad, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    lay(row, tmp_path)
    (tmp_path / "old.json").write_text("what was here before", encoding="utf-8")
    before = snapshot(tmp_path)
    judge(row, run(*with_targets(row), stdin=row.stdin))
    assert snapshot(tmp_path) == before


@pytest.mark.parametrize(
    "row", [row for row in ROWS if row.name in IN_PROCESSES_OF_THEIR_OWN], ids=lambda row: row.name
)
def test_bad_input_to_a_process(row: Bad, tmp_path: Path) -> None:
    lay(row, tmp_path)
    before = snapshot(tmp_path)
    assert row.stdin is None or isinstance(row.stdin, str)
    judge(row, spawn(*with_targets(row), stdin=row.stdin or "", cwd=tmp_path))
    assert snapshot(tmp_path) == before
