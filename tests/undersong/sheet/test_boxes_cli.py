"""``undersong shapes``: files of both kinds, and what is said where none can be written."""

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.undersong.arranged import bundled
from tests.undersong.running import run, snapshot, spawn
from tests.undersong.sheet.drawn import boxes
from undersong.sheet import pdf, write
from undersong.sheet.document import to_json
from undersong.sheet.errors import SheetError


@pytest.fixture
def answer(tmp_path: Path) -> Path:
    file = tmp_path / "answer.json"
    file.write_text(to_json(bundled("harrow-lane")))
    return file


def test_a_tune_and_its_answer_are_drawn_alike(answer: Path, tmp_path: Path) -> None:
    one, other = tmp_path / "one.svg", tmp_path / "other.svg"
    assert run("shapes", "harrow-lane", "--to", str(one)).code == 0
    assert run("shapes", str(answer), "--to", str(other)).code == 0
    assert one.read_bytes() == other.read_bytes()
    assert "Harrow Lane: shapes" in [box.text for box in boxes(one.read_text())]


def test_a_sheet_is_drawn_as_it_is_asked_for(answer: Path, tmp_path: Path) -> None:
    made = tmp_path / "shapes.pdf"
    options = ("--paper", "letter", "--landscape", "--large", "--contrast", "--left-handed",
               "--melody-on-top", "--from-capo")  # fmt: skip
    assert run("shapes", str(answer), "--to", str(made), *options).code == 0
    page = PdfReader(made).pages[0]
    assert float(page.mediabox.width) == pytest.approx(792, abs=0.01)  # 11 in at 72 points
    told = " ".join(page.extract_text().split())
    assert "the melody string at the top, the nut at the right" in told


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ((), "--to: name the file"),
        (("--to", "shapes.png"), ".pdf, .svg"),
        (("--to", "nowhere/shapes.pdf"), "make it first"),
        (("--to", "a.svg", "--to", "a.svg"), "asked for twice"),
        (("--to", "a.svg", "--paper", "a5"), "--paper: there is no paper 'a5'"),
        (("--to", "a.svg", "--tempo", "100"), "settings of its own"),
        (("--to", "answer.json"), "end it in .pdf, .svg"),
    ],
)
def test_bad_options_get_one_sentence_and_change_no_file(
    answer: Path, monkeypatch: pytest.MonkeyPatch, options: tuple[str, ...], says: str
) -> None:
    monkeypatch.chdir(answer.parent)
    (answer.parent / "a.svg").write_text("old")
    before = snapshot(answer.parent)
    ended = run("shapes", "answer.json", *options)
    assert ended.code == 2
    assert ended.told.count("\n") == 1
    assert says in ended.told
    assert snapshot(answer.parent) == before


def test_an_answer_that_is_none_is_named(tmp_path: Path) -> None:
    (tmp_path / "bad.json").write_text("{}")
    ended = run("shapes", str(tmp_path / "bad.json"), "--to", str(tmp_path / "a.svg"))
    assert ended.code == 2
    assert "bad.json" in ended.told
    assert ended.told.count("\n") == 1


def test_a_full_disk_leaves_the_old_sheet(
    answer: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = tmp_path / "shapes.pdf"
    made.write_bytes(b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(write.os, "fsync", full)
    ended = run("shapes", str(answer), "--to", str(made))
    assert ended.code == 2
    assert "No space left on device" in ended.told
    assert made.read_bytes() == b"old"
    assert sorted(file.name for file in tmp_path.iterdir()) == ["answer.json", "shapes.pdf"]


def test_a_missing_library_is_told_before_the_search_and_the_old_sheet_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = tmp_path / "shapes.pdf"
    made.write_bytes(b"old")

    def missing(_: str) -> bytes:
        raise SheetError("install libcairo2")

    monkeypatch.setattr(pdf, "_drawn", missing)
    ended = run("shapes", "harrow-lane", "--to", str(made))
    assert (ended.code, ended.told) == (2, "undersong: --to: install libcairo2\n")
    assert made.read_bytes() == b"old"


def test_bytes_do_not_depend_on_the_process(answer: Path, tmp_path: Path) -> None:
    for name in ("one.pdf", "two.pdf"):
        ended = spawn("shapes", str(answer), "--to", name, cwd=tmp_path, PYTHONHASHSEED="random")
        assert ended.code == 0
    one, two = ((tmp_path / name).read_bytes() for name in ("one.pdf", "two.pdf"))
    assert one == two
    assert len(PdfReader(BytesIO(one)).pages) >= 1
