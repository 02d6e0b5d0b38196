"""What is said of a file names it: a title says not in which file a tune stands."""

from pathlib import Path

import pytest

from tests.undersong.running import run

NO_CHORDS = "X:1\nT:Hall Door Waltz\nM:3/4\nL:1/4\nQ:1/4=96\nK:D\nD F A|B A F|D3|]\n"
CHORDS_ALONE = "title: Hall Door Waltz\nkey: D\nmetre: 3/4\n| D | G . A7 | D |\n"
BINARY = bytes(range(1, 256)) * 3

ASKED = (
    ("arrange", "{}"), ("levels", "{}"), ("alternatives", "{}"), ("mends", "{}"), ("keys", "{}"),
    ("frets", "{}"), ("sets", "{}"), ("sets", "harrow-lane", "{}"), ("practice", "{}"),
    ("page", "{}", "--to", "new.pdf"), ("sound", "{}", "--to", "new.mp3"),
    ("handout", "{}", "--to", "new.pdf"), ("shapes", "{}", "--to", "new.svg"),
    ("why", "{}", "--bar", "1"),
)  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "waltz.abc").write_text(NO_CHORDS)
    (tmp_path / "waltz.chart").write_text(CHORDS_ALONE)
    (tmp_path / "noise.abc").write_bytes(BINARY)
    (tmp_path / "list.txt").write_text("harrow-lane\nnoise.abc\nwaltz.abc\n")
    (tmp_path / "waltzes.txt").write_text("harrow-lane\nwaltz.abc\n")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def refused(*arguments: str) -> str:
    ended = run(*arguments)
    assert ended.code == 2, ended
    assert ended.out == ""
    (line,) = ended.lines
    return line.removeprefix("undersong: ")


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize("arguments", ASKED, ids=" ".join)
def test_a_tune_without_chords(arguments: tuple[str, ...]) -> None:
    line = refused(*(word.format("waltz.abc") for word in arguments))
    assert line.startswith("waltz.abc: Hall Door Waltz has no chords, ")


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize("arguments", ASKED, ids=" ".join)
def test_a_file_that_is_no_tune(arguments: tuple[str, ...]) -> None:
    line = refused(*(word.format("noise.abc") for word in arguments))
    assert line.startswith("noise.abc: ")


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize("texture", ["solo", "drone"])
def test_a_tune_without_a_melody(texture: str) -> None:
    line = refused("arrange", "waltz.chart", "--texture", texture)
    assert line.startswith("waltz.chart: Hall Door Waltz has no melody, ")


@pytest.mark.usefixtures("folder")
def test_chords_for_a_tune_without_a_melody() -> None:
    assert refused("chords", "waltz.chart").startswith("waltz.chart: Hall Door Waltz has no")


@pytest.mark.usefixtures("folder")
def test_out_of_a_list() -> None:
    assert refused("sets", "list.txt").startswith("list.txt, line 2: noise.abc: this is no ABC")
    assert refused("sets", "waltzes.txt").startswith("waltzes.txt, line 2: waltz.abc: Hall Door")


def test_piped_in() -> None:
    ended = run("arrange", "-", stdin=NO_CHORDS)
    assert ended.lines[0].startswith("undersong: standard input: Hall Door Waltz has no chords")


@pytest.mark.usefixtures("folder")
def test_what_needs_no_chords_is_not_refused() -> None:
    assert run("arrange", "waltz.abc", "--texture", "drone").code == 0
    assert run("sets", "harrow-lane", "waltz.abc", "--without-work").code == 0
    assert run("arrange", "waltz.abc", "--chords", "drone").code == 0
