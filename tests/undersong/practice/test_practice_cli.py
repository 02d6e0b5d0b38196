"""``undersong practice``: text, pages and sound, and what is said where none can be made."""

from pathlib import Path

import pytest
import soundfile
from pypdf import PdfReader

from fretboard.hand import CAUTION
from tests.undersong.arranged import bundled
from tests.undersong.running import run, spawn
from undersong.practice import Wishes, plan_for
from undersong.practice.text import practice_text
from undersong.practice.timing import plan_seconds
from undersong.sheet import write
from undersong.sheet.document import to_json


@pytest.fixture
def answer(tmp_path: Path) -> Path:
    file = tmp_path / "answer.json"
    file.write_text(to_json(bundled("harrow-lane")))
    return file


def test_a_tune_is_arranged_and_its_plan_told() -> None:
    ended = run("practice", "kettle-on-at-nine")
    assert ended.code == 0
    assert ended.out == practice_text(plan_for(bundled("kettle-on-at-nine")))
    assert " ".join(CAUTION.split()) in " ".join(ended.out.split())


def test_an_answer_has_its_plan_in_every_kind(answer: Path, tmp_path: Path) -> None:
    files = [tmp_path / f"plan{suffix}" for suffix in (".txt", ".pdf", ".wav")]
    options = [word for file in files for word in ("--to", str(file))]
    ended = run("practice", str(answer), *options, "--spots", "1", "--rounds", "1", "--large",
                "--paper", "letter", "--width", "60")  # fmt: skip
    assert (ended.code, ended.out, ended.told) == (0, "", "")
    plan = plan_for(bundled("harrow-lane"), Wishes(1, 1))
    text = files[0].read_text()
    assert text.startswith("Practice plan: ")
    assert max(map(len, text.splitlines())) <= 60
    page = PdfReader(files[1]).pages[0]
    assert float(page.mediabox.width) == pytest.approx(612, abs=0.01)
    assert "practice plan" in page.extract_text()
    # what is not in the file: two minutes of warming up, the rest after the last place
    told = soundfile.info(files[2])
    assert told.duration == pytest.approx(plan_seconds(plan) - 150, abs=0.01)


@pytest.mark.parametrize("suffix", [".flac", ".mp3", ".ogg"])
def test_other_kinds_of_sound(answer: Path, tmp_path: Path, suffix: str) -> None:
    made = tmp_path / f"plan{suffix}"
    ended = run("practice", str(answer), "--to", str(made), "--spots", "1", "--rounds", "1")
    assert ended.code == 0
    plan = plan_for(bundled("harrow-lane"), Wishes(1, 1))
    # an MP3 is padded to whole frames of the format
    assert soundfile.info(made).duration == pytest.approx(plan_seconds(plan) - 150, abs=0.1)


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--to", "plan.odt"), ".txt, .pdf, .wav, .flac, .mp3, .ogg"),
        (("--to", "nowhere/plan.pdf"), "make it first"),
        (("--to", "a.txt", "--to", "a.txt"), "asked for twice"),
        (("--to", "a.pdf", "--paper", "a5"), "--paper: there is no paper 'a5'"),
        (("--spots", "0"), "--spots"),
        (("--spots", "13"), "--spots"),
        (("--rounds", "none"), "--rounds"),
        (("--tempo", "100"), "settings of its own"),
        (("--to", "answer.json"), "the suffix says what to write"),
    ],
)
def test_bad_options_get_one_sentence(
    answer: Path, monkeypatch: pytest.MonkeyPatch, options: tuple[str, ...], says: str
) -> None:
    monkeypatch.chdir(answer.parent)
    ended = run("practice", "answer.json", *options)
    assert ended.code == 2
    assert ended.told.count("\n") == 1
    assert says in ended.told
    assert sorted(file.name for file in answer.parent.iterdir()) == ["answer.json"]


def test_a_file_that_is_no_answer_is_told(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.json"
    wrong.write_text("{}")
    ended = run("practice", str(wrong))
    assert ended.code == 2
    assert ended.told.count("\n") == 1


@pytest.mark.parametrize("suffix", [".txt", ".pdf", ".wav", ".ogg"])
def test_a_full_disk_leaves_the_old_file(
    answer: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, suffix: str
) -> None:
    made = tmp_path / f"plan{suffix}"
    made.write_bytes(b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(write.os, "fsync", full)
    ended = run("practice", str(answer), "--to", str(made), "--spots", "1", "--rounds", "1")
    assert ended.code == 2
    assert "No space left on device" in ended.told
    assert made.read_bytes() == b"old"
    assert sorted(file.name for file in tmp_path.iterdir()) == ["answer.json", made.name]


@pytest.mark.parametrize("suffix", [".pdf", ".ogg"])
def test_bytes_do_not_depend_on_the_process(answer: Path, tmp_path: Path, suffix: str) -> None:
    names = (f"one{suffix}", f"two{suffix}")
    for name in names:
        ended = spawn("practice", str(answer), "--to", name, "--spots", "1", "--rounds", "1",
                      cwd=tmp_path, PYTHONHASHSEED="random")  # fmt: skip
        assert ended.code == 0
    one, two = ((tmp_path / name).read_bytes() for name in names)
    assert one == two
