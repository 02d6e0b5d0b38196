"""The tune of four bars as a file, and its levels."""

from pathlib import Path

import pytest

from tests.undersong.levels.judging import SHORT
from undersong.levels import LevelSet
from undersong.session import Session


@pytest.fixture(scope="module")
def lamps(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("lamps") / "lamps.abc"
    file.write_text(SHORT, encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def five(lamps: Path) -> LevelSet:
    return Session(lamps).levels()
