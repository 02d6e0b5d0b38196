"""The wheel: what it puts at the top level, and the data that must travel in it."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
TOP = {"tune", "fretboard", "scoring", "solver", "undersong", "corpus"}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """The names of the files in the wheel, built without the net from this checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    (built,) = folder.glob("*.whl")
    with zipfile.ZipFile(built) as archive:
        return archive.namelist()


def test_the_top_level_has_the_rooms_and_nothing_else(wheel: list[str]) -> None:
    top = {name.split("/")[0] for name in wheel}
    about = {name for name in top if name.endswith(".dist-info")}
    assert len(about) == 1
    assert top - about == TOP


def test_data_travels(wheel: list[str]) -> None:
    for needed in (
        "undersong/chart.md",
        "undersong/tab.md",
        "undersong/own.md",
        "fretboard/data/tunings.toml",
        "fretboard/data/hands/medium.toml",
        "fretboard/data/instruments/standard.toml",
        "solver/data/right-hands.toml",
        "corpus/README.md",
    ):
        assert needed in wheel
    typed = {name.split("/")[0] for name in wheel if name.endswith("/py.typed")}
    assert typed == TOP - {"corpus"}
    tunes = {file.name for file in (ROOT / "corpus").iterdir() if file.suffix in (".abc", ".chart")}
    assert {f"corpus/{name}" for name in tunes} <= set(wheel)


def test_nothing_of_the_workshop_travels(wheel: list[str]) -> None:
    assert not [name for name in wheel if "__pycache__" in name or name.endswith(".pyc")]


def test_the_command_is_there_after_installing(wheel: list[str]) -> None:
    assert [name for name in wheel if name.endswith(".dist-info/entry_points.txt")]
