"""MusicXML and tables as files: by their suffix, the same bytes each time, the old file kept."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from tests.undersong.arranged import bundled
from tune.tune import Note
from undersong.sheet.errors import SheetError
from undersong.sheet.musicxml import to_musicxml
from undersong.sheet.table import to_csv
from undersong.sheet.write import write

PROGRAM = """
from tests.undersong.arranged import bundled
from undersong.sheet.musicxml import to_musicxml
from undersong.sheet.table import to_csv
from hashlib import sha256
made = bundled("frost-on-the-allotments")
print(sha256((to_musicxml(made) + to_csv(made)).encode()).hexdigest())
"""


def test_the_suffix_says_what_is_written(tmp_path: Path) -> None:
    made = bundled("harrow-lane")
    write(made, tmp_path / "tune.musicxml")
    write(made, tmp_path / "tune.CSV")
    assert (tmp_path / "tune.musicxml").read_bytes() == to_musicxml(made).encode()
    assert (tmp_path / "tune.CSV").read_bytes() == to_csv(made).encode()


def test_what_cannot_be_written_leaves_the_old_file(tmp_path: Path) -> None:
    made = bundled("harrow-lane")
    odd = replace(made.tune.bars[2], notes=(Note(0, 11, 62, "D"),))
    bars = (*made.tune.bars[:2], odd, *made.tune.bars[3:])
    file = tmp_path / "tune.musicxml"
    write(made, file)
    before = file.read_bytes()
    with pytest.raises(SheetError, match=r"^bar 3: .*; give it another length, or write \.txt"):
        write(replace(made, tune=replace(made.tune, bars=bars)), file)
    assert file.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["tune.musicxml"]


def test_the_bytes_are_the_same_in_any_run() -> None:
    runs = {
        subprocess.run(
            [sys.executable, "-c", PROGRAM],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True, check=True, text=True,
        ).stdout
        for seed in ("1", "2")
    }  # fmt: skip
    assert len(runs) == 1
