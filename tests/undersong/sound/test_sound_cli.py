"""``undersong sound``: what it writes, and one sentence for each thing that cannot be."""

from pathlib import Path

import pytest
import soundfile

from tests.undersong.bad_input import GOOD_ABC, GOOD_CHART
from tests.undersong.running import run, snapshot
from undersong.sound.strings import RATE

SECONDS = 3 * 4 * 60 / 96
"""Of the good tune: three bars of four quarters, 96 a minute."""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "gate.abc").write_text(GOOD_ABC)
    (tmp_path / "gate.chart").write_text(GOOD_CHART)
    (tmp_path / "old.wav").write_bytes(b"the old recording")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def frames(file: str) -> int:
    content, _ = soundfile.read(file)
    return len(content)


def test_a_recording_and_midi_at_once(folder: Path) -> None:
    ended = run("sound", "gate.abc", "--to", "old.wav", "--to", "new.mid")
    assert (ended.code, ended.out, ended.lines) == (0, "", [])
    assert frames("old.wav") == round((SECONDS + 1.5) * RATE)
    assert (folder / "new.mid").read_bytes().startswith(b"MThd")


def test_everything_that_can_be_asked_at_once(folder: Path) -> None:
    ended = run(
        "sound", "gate.abc", "--to", "a.flac", "--play-at", "50%", "--bars", "2-3", "--loop", "2",
        "--gap", "4", "--count-in", "1", "--click", "--starting-note", "--string", "bass",
    )  # fmt: skip
    assert ended.code == 0, ended
    # 48 a minute: a bar lasts 5 s; the note and its pause 2.5 s
    assert frames("a.flac") == round((2.5 + 5 + 2 * 10 + 5 + 1.5) * RATE)


def test_a_finished_answer_is_played_as_it_is(folder: Path) -> None:
    assert run("arrange", "gate.abc", "--to", "gate.json").code == 0
    assert run("sound", "gate.json", "--to", "a.wav", "--faster", "24", "--loop", "2").code == 0
    assert run("sound", "gate.abc", "--to", "b.wav", "--faster", "24", "--loop", "2").code == 0
    assert (folder / "a.wav").read_bytes() == (folder / "b.wav").read_bytes()
    assert frames("a.wav") == round((SECONDS + SECONDS * 96 / 120 + 1.5) * RATE)
    ended = run("sound", "gate.json", "--to", "a.wav", "--capo", "1")
    assert ended.code == 2
    assert "--capo" in ended.lines[0]


BAD = [
    ((), "--to: name the file"),
    (("--to", "old.wav", "--to", "old.wav"), "twice"),
    (("--to", "old.aac"), "end it in .wav, .flac, .mp3, .ogg, .mid"),
    (("--to", "none/a.wav"), "there is no folder none"),
    (("--to", "old.wav", "--play-at", "0"), "10 to 400"),
    (("--to", "old.wav", "--play-at", "fast"), "--play-at"),
    (("--to", "old.wav", "--tempo", "0"), "--tempo"),
    (("--to", "old.wav", "--bars", "2-9"), "the tune has no bar 9; it has bars 1 to 3"),
    (("--to", "old.wav", "--bars", "3-2"), "write the lower bar first, 2-3"),
    (("--to", "old.wav", "--bars", "two"), "--bars"),
    (("--to", "old.wav", "--time", "2"), "--time: say of which bars"),
    (("--to", "old.wav", "--bars", "1", "--time", "2"), "bar 1 is played once"),
    (("--to", "old.wav", "--loop", "0"), "--loop"),
    (("--to", "old.wav", "--loop", "999", "--play-at", "10"), "hours"),
    (("--to", "old.wav", "--gap", "2"), "--gap: this is for music played more than once"),
    (("--to", "old.wav", "--faster", "2"), "--faster"),
    (("--to", "old.wav", "--loop", "2", "--up-to", "99"), "--up-to: say how much faster"),
    (("--to", "old.wav", "--loop", "2", "--faster", "2", "--up-to", "50"), "slower than the first"),
    (("--to", "old.wav", "--count-in", "9"), "--count-in"),
    (("--to", "old.wav", "--string", "tenor"), "the strings are bass, middle, melody"),
    (("--to", "old.wav", "--leave-out", "tenor"), "--leave-out"),
    (("--to", "old.wav", "--string", "bass", "--leave-out", "melody"), "--leave-out"),
    (("--to", "old.wav", *(w for n in ("bass", "middle", "melody") for w in ("--leave-out", n))),
     "every string is left out"),
    (("--to", "old.wav", "--instrument", "bass", "--tuning", "D1 A1 D2", "--bass-down"), "C1"),
    (("--to", "new.mid", "--click"), "holds the music once"),
]  # fmt: skip


@pytest.mark.parametrize(("options", "says"), BAD, ids=[says for _, says in BAD])
def test_bad_input_is_one_sentence(folder: Path, options: tuple[str, ...], says: str) -> None:
    before = snapshot(folder)
    ended = run("sound", "gate.abc", *options)
    assert (ended.code, ended.out) == (2, "")
    assert len(ended.lines) == 1, ended
    assert says in ended.lines[0]
    assert snapshot(folder) == before


@pytest.mark.parametrize("wrong", [("--bars", "9"), ("--play-at", "fast"), ("--bars", "3-2")])
def test_what_is_asked_wrongly_is_told_before_anything_of_the_tune(
    folder: Path, wrong: tuple[str, ...]
) -> None:
    (folder / "words.abc").write_text(
        f"{GOOD_ABC}w: one two three four five six seven eight nine ten eleven\n"
    )
    assert "note: words.abc" in run("sound", "words.abc", "--to", "new.wav").told
    ended = run("sound", "words.abc", "--to", "new.wav", *wrong)
    assert ended.code == 2
    assert ended.told.startswith(f"undersong: {wrong[0]}")
    assert ended.told.count("\n") == 1


def test_a_tune_without_melody_has_no_starting_note(folder: Path) -> None:
    ended = run("sound", "gate.chart", "--to", "old.wav", "--starting-note")
    assert ended.code == 2
    assert "no melody is sung here" in ended.lines[0]
    assert (folder / "old.wav").read_bytes() == b"the old recording"
