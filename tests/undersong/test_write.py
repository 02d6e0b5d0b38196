"""Writing files: by suffix, whole or not at all."""

import errno
import io
import os
import stat
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pytest

from solver.result import Arrangement
from tests.undersong.arranged import chart, found
from undersong.sheet import write as writing
from undersong.sheet.document import from_json, to_json
from undersong.sheet.errors import SheetError
from undersong.sheet.options import SheetOptions
from undersong.sheet.text import text_tab
from undersong.sheet.write import FORMATS, Format, write


@pytest.fixture(scope="module")
def arrangement() -> Arrangement:
    return found(chart("key: D\nmetre: 4/4\n| D | G | A7 | D |"))


def test_the_suffix_says_what_is_written(arrangement: Arrangement, tmp_path: Path) -> None:
    write(arrangement, tmp_path / "tab.txt")
    assert (tmp_path / "tab.txt").read_text("utf-8") == text_tab(arrangement)
    write(arrangement, str(tmp_path / "tab.JSON"))
    assert from_json((tmp_path / "tab.JSON").read_text("ascii")) == arrangement
    assert sorted(path.name for path in tmp_path.iterdir()) == ["tab.JSON", "tab.txt"]


def test_options_reach_the_page(arrangement: Arrangement, tmp_path: Path) -> None:
    options = SheetOptions(bass_on_top=False, width=100, unicode=True)
    write(arrangement, tmp_path / "tab.txt", options)
    assert (tmp_path / "tab.txt").read_text("utf-8") == text_tab(arrangement, options)
    assert "─" in (tmp_path / "tab.txt").read_text("utf-8")


def test_a_dash_is_text_on_standard_output(
    arrangement: Arrangement, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    stream = io.BytesIO()
    write(arrangement, "-", stream=stream)
    assert stream.getvalue().decode() == text_tab(arrangement)
    with open(1, "wb", closefd=False) as real:
        write(arrangement, "-", stream=real)
    assert capfdbinary.readouterr().out == stream.getvalue()


def test_lines_end_alike_everywhere(arrangement: Arrangement, tmp_path: Path) -> None:
    write(arrangement, tmp_path / "tab.txt")
    assert b"\r" not in (tmp_path / "tab.txt").read_bytes()


def test_a_json_file_is_what_to_json_gives(arrangement: Arrangement, tmp_path: Path) -> None:
    write(arrangement, tmp_path / "tab.json", SheetOptions(width=40))
    assert (tmp_path / "tab.json").read_bytes() == to_json(arrangement).encode("ascii")


@pytest.mark.parametrize("name", ["tab", "tab.doc", "tab.", ".txt", "tab.txt.bak"])
def test_another_suffix_is_refused_with_the_list(
    arrangement: Arrangement, tmp_path: Path, name: str
) -> None:
    with pytest.raises(SheetError) as caught:
        write(arrangement, tmp_path / name)
    assert all(suffix in str(caught.value) for suffix in FORMATS)
    assert name in str(caught.value)
    assert not list(tmp_path.iterdir())


def test_a_new_sheet_is_one_row(
    arrangement: Arrangement, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    row = Format("the same page", "undersong.sheet.text", "text_bytes")
    monkeypatch.setattr(writing, "FORMATS", MappingProxyType({**FORMATS, ".tab": row}))
    write(arrangement, tmp_path / "a.tab")
    assert (tmp_path / "a.tab").read_text("utf-8") == text_tab(arrangement)


def test_every_row_names_what_it_means_and_makes_bytes(arrangement: Arrangement) -> None:
    for suffix, kind in FORMATS.items():
        assert suffix.startswith(".")
        assert suffix == suffix.lower()
        assert kind.meaning
        assert isinstance(writing.content_of(arrangement, suffix, SheetOptions()), bytes)


def full_disk(*_: Any) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize("fails", ["fsync", "replace"])
def test_a_full_disk_leaves_the_old_file_and_nothing_else(
    arrangement: Arrangement, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails: str
) -> None:
    target = tmp_path / "tab.txt"
    target.write_text("the old page\n")
    if fails == "fsync":
        monkeypatch.setattr(os, "fsync", full_disk)
    else:
        monkeypatch.setattr(Path, "replace", full_disk)
    with pytest.raises(SheetError, match=r"tab\.txt: the file cannot be written \(No space left"):
        write(arrangement, target)
    assert target.read_text() == "the old page\n"
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
def test_a_full_standard_output_is_told(arrangement: Arrangement) -> None:
    with (
        Path("/dev/full").open("wb", buffering=0) as full,
        pytest.raises(SheetError, match="No space"),
    ):
        write(arrangement, "-", stream=full)


def test_a_reader_that_goes_away_is_no_fault(arrangement: Arrangement) -> None:
    class Gone(io.BytesIO):
        def write(self, _: Any) -> int:
            raise BrokenPipeError

    with pytest.raises(BrokenPipeError):
        write(arrangement, "-", stream=Gone())


def test_ctrl_c_leaves_the_old_file_and_nothing_else(
    arrangement: Arrangement, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(_: int) -> None:
        raise KeyboardInterrupt

    target = tmp_path / "tab.txt"
    target.write_text("the old page\n")
    monkeypatch.setattr(os, "fsync", stop)
    with pytest.raises(KeyboardInterrupt):
        write(arrangement, target)
    assert target.read_text() == "the old page\n"
    assert list(tmp_path.iterdir()) == [target]


def test_a_sheet_that_fails_touches_no_file(
    arrangement: Arrangement, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    row = Format("no sheet", "undersong.sheet.write", "full_disk")
    monkeypatch.setattr(writing, "full_disk", full_disk, raising=False)
    monkeypatch.setattr(writing, "FORMATS", MappingProxyType({".txt": row}))
    target = tmp_path / "tab.txt"
    target.write_text("the old page\n")
    with pytest.raises(OSError, match="No space"):
        write(arrangement, target)
    assert target.read_text() == "the old page\n"


def test_permissions_and_links_are_kept(arrangement: Arrangement, tmp_path: Path) -> None:
    real = tmp_path / "real.txt"
    real.write_text("old")
    real.chmod(0o640)
    link = tmp_path / "link.txt"
    link.symlink_to(real)
    write(arrangement, link)
    assert link.is_symlink()
    assert real.read_text("utf-8") == text_tab(arrangement)
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


def test_a_new_file_has_the_usual_permissions(arrangement: Arrangement, tmp_path: Path) -> None:
    (tmp_path / "usual").touch()
    write(arrangement, tmp_path / "tab.txt")
    modes = {stat.S_IMODE((tmp_path / name).stat().st_mode) for name in ("usual", "tab.txt")}
    assert len(modes) == 1


def no_folder(folder: Path) -> Path:
    return folder / "none" / "tab.txt"


def a_folder(folder: Path) -> Path:
    (folder / "tab.txt").mkdir()
    return folder / "tab.txt"


def a_circle(folder: Path) -> Path:
    (folder / "a.txt").symlink_to(folder / "b.txt")
    (folder / "b.txt").symlink_to(folder / "a.txt")
    return folder / "a.txt"


def too_long(folder: Path) -> Path:
    return folder / ("x" * 300 + ".txt")


def a_nul(folder: Path) -> Path:
    return folder / "a\0b.txt"


@pytest.mark.parametrize("place", [no_folder, a_folder, a_circle, too_long, a_nul])
def test_a_place_that_takes_no_file_is_told(
    arrangement: Arrangement, tmp_path: Path, place: Any
) -> None:
    target = place(tmp_path)
    before = sorted(tmp_path.iterdir())
    with pytest.raises(SheetError) as caught:
        write(arrangement, target)
    assert "cannot be written" in str(caught.value)
    assert "\n" not in str(caught.value)
    assert sorted(tmp_path.iterdir()) == before
