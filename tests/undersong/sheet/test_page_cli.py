"""``undersong page``: files of both kinds, and what is said where none can be written."""

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.undersong.arranged import bundled
from tests.undersong.running import run, spawn
from undersong.sheet import pdf, write
from undersong.sheet.document import to_json
from undersong.sheet.errors import SheetError


@pytest.fixture
def answer(tmp_path: Path) -> Path:
    file = tmp_path / "answer.json"
    file.write_text(to_json(bundled("harrow-lane")))
    return file


def test_a_tune_is_arranged_and_printed_both_ways(tmp_path: Path) -> None:
    made = tmp_path / "tune.pdf"
    drawn = tmp_path / "tune.svg"
    ended = run("page", "kettle-on-at-nine", "--to", str(made), "--to", str(drawn))
    assert ended.code == 0
    assert "proven best" in ended.told
    assert "Kettle On at Nine" in PdfReader(made).pages[0].extract_text()
    assert drawn.read_text().startswith("<svg")


def test_an_answer_is_printed_as_it_is_asked_for(answer: Path, tmp_path: Path) -> None:
    made = tmp_path / "tune.pdf"
    options = ("--paper", "letter", "--landscape", "--large", "--contrast", "--parts", "tab",
               "--melody-on-top", "--level", "Level 3")  # fmt: skip
    assert run("page", str(answer), "--to", str(made), *options).code == 0
    page = PdfReader(made).pages[0]
    assert float(page.mediabox.width) == pytest.approx(792, abs=0.01)
    assert "Level 3" in page.extract_text()


def test_arrange_writes_the_same_pages(answer: Path, tmp_path: Path) -> None:
    one, other = tmp_path / "one.svg", tmp_path / "other.svg"
    assert run("arrange", "harrow-lane", "--to", str(one)).code == 0
    assert run("page", str(answer), "--to", str(other)).code == 0
    assert one.read_bytes() == other.read_bytes()


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ((), "--to: name the file"),
        (("--to", "tune.odt"), ".pdf, .svg"),
        (("--to", "nowhere/tune.pdf"), "make it first"),
        (("--to", "a.svg", "--to", "a.svg"), "asked for twice"),
        (("--to", "a.svg", "--paper", "a5"), "--paper: there is no paper 'a5'"),
        (("--to", "a.svg", "--parts", "words"), "--parts: there is no part 'words'"),
        (("--to", "a.svg", "--tempo", "100"), "settings of its own"),
    ],
)
def test_bad_options_get_one_sentence(
    answer: Path, monkeypatch: pytest.MonkeyPatch, options: tuple[str, ...], says: str
) -> None:
    monkeypatch.chdir(answer.parent)
    ended = run("page", "answer.json", *options)
    assert ended.code == 2
    assert ended.told.count("\n") == 1
    assert says in ended.told


def test_a_full_disk_leaves_the_old_page(
    answer: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = tmp_path / "tune.pdf"
    made.write_bytes(b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(write.os, "fsync", full)
    ended = run("page", str(answer), "--to", str(made))
    assert ended.code == 2
    assert "No space left on device" in ended.told
    assert made.read_bytes() == b"old"
    assert sorted(file.name for file in tmp_path.iterdir()) == ["answer.json", "tune.pdf"]


def test_a_missing_library_is_told_before_the_search_and_the_old_page_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = tmp_path / "tune.pdf"
    made.write_bytes(b"old")

    def missing(_: str) -> bytes:
        raise SheetError("install libcairo2")

    monkeypatch.setattr(pdf, "_drawn", missing)
    ended = run("page", "harrow-lane", "--to", str(made))
    assert (ended.code, ended.told) == (2, "undersong: --to: install libcairo2\n")
    assert made.read_bytes() == b"old"


def test_a_folder_that_may_not_be_written_is_named(answer: Path, tmp_path: Path) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    made = gone / "tune.svg"
    made.mkdir()
    ended = run("page", str(answer), "--to", str(made))
    assert ended.code == 2
    assert "this is a folder" in ended.told


def test_bytes_do_not_depend_on_the_process(answer: Path, tmp_path: Path) -> None:
    for name in ("one.pdf", "two.pdf"):
        assert (
            spawn("page", str(answer), "--to", name, cwd=tmp_path, PYTHONHASHSEED="random").code
            == 0
        )
    one, two = ((tmp_path / name).read_bytes() for name in ("one.pdf", "two.pdf"))
    assert one == two
    assert len(PdfReader(BytesIO(one)).pages) >= 1
