"""``undersong book`` as a process: killed, interrupted, two at once, piped; what it says."""

import json
import os
import random
import re
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest
from click.exceptions import Exit

from tests.undersong.book.books import TUNES, Worked, abc, contents, lines_of, tunes_in
from tests.undersong.running import Ended, run, spawn, surroundings
from undersong.book.entry import Entry, Failure, Part
from undersong.book.lock import LOCK, locked
from undersong.book.making import Book, BookStanding
from undersong.book.state import STATE

_PART = Part(
    None, "song", "A", "D major", "D3 A3 D4", "0", 9, True, 0, 50, "1", 40, 1, "0-0-1 I", "a.json"
)
PROVEN = Entry(1, "A", "a.abc", (_PART,))
UNPROVEN = Entry(2, "B", "b.abc", (replace(_PART, proven=False, gap=3),))
FAILED = Entry(3, "C", "c.abc", failures=(Failure(None, "no string has it"),))
FAULTY = Entry(4, "D", "d.abc", failures=(Failure(None, "a fault of this program", ours=True),))


def book(*arguments: str | Path) -> Ended:
    return spawn("book", *map(str, arguments), "--workers", "1")


def begun(*arguments: str | Path) -> "subprocess.Popen[str]":
    """The command in a group of its own, as a terminal would start it, SIGINT as there."""

    def heard() -> None:
        signal.signal(signal.SIGINT, signal.default_int_handler)

    return subprocess.Popen(
        [sys.executable, "-m", "undersong", "book", *map(str, arguments), "--workers", "1"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=surroundings(),
        start_new_session=True,
        preexec_fn=heard,
    )


def when(out: Path, lines: int, process: "subprocess.Popen[str]") -> None:
    """Waits until so many tunes are finished, or the process ended."""
    until = time.monotonic() + 90
    while time.monotonic() < until and process.poll() is None:
        try:
            if len(lines_of(out)) >= lines:
                return
        except OSError:
            pass
        time.sleep(0.01)


def kept(out: Path) -> dict[str, str]:
    """The folder without the lock, which says nothing."""
    return {name: told for name, told in contents(out).items() if name != LOCK}


def _killed(tmp_path: Path, moments: list[float]) -> None:
    """Kills the run after so many seconds each, or, below zero, when so many tunes are finished;
    then lets it end. The bytes are those of an undisturbed run, and what was finished when it was
    killed is not made again."""
    source = tunes_in(tmp_path / "tunes", TUNES[:3])
    assert book(source, "--to", tmp_path / "undisturbed").code == 0
    out = tmp_path / "book"
    finished: list[str] = []
    for moment in moments:
        process = begun(source, "--to", out)
        if moment < 0:
            when(out, -int(moment), process)
        else:
            time.sleep(moment)
        os.kill(process.pid, signal.SIGKILL)
        process.communicate()
        lines = lines_of(out) if (out / STATE).exists() else []
        assert [lines.count(line) for line in finished] == [1] * len(finished)
        finished = [line for line in lines if line.endswith("}")]
    ended = book(source, "--to", out)
    assert ended.code == 0
    made = len(re.findall(r"(?m)^ +[0-9.]+ s  ", ended.out))
    assert made == 3 - len(finished)
    assert kept(out) == kept(tmp_path / "undisturbed")


def test_a_run_that_is_killed_goes_on_and_gives_the_same_bytes(tmp_path: Path) -> None:
    _killed(tmp_path, [-1.0, -2.0])


@pytest.mark.slow
def test_twenty_random_moments_of_being_killed_give_the_same_bytes(tmp_path: Path) -> None:
    chance = random.Random(20)
    for round in range(4):
        (tmp_path / f"{round}").mkdir()
        _killed(tmp_path / f"{round}", [chance.uniform(0.2, 6.0) for _ in range(5)])


@pytest.mark.skipif(os.name == "nt", reason="Windows has no process groups of this kind")
def test_a_second_run_is_refused_and_ctrl_c_ends_the_first_and_says_how_to_go_on(
    tmp_path: Path,
) -> None:
    source = tunes_in(tmp_path / "tunes")
    out = tmp_path / "book"
    first = begun(source, "--to", out)
    until = time.monotonic() + 60
    while not (out / LOCK).exists() and time.monotonic() < until:
        time.sleep(0.01)
    time.sleep(0.1)
    second = run("book", str(source), "--to", str(out))
    assert second.code == 2
    told = rf"undersong: .*book: another run \(process {first.pid}\) is making a book in this .*\n"
    assert re.fullmatch(told, second.told)
    when(out, 1, first)
    os.killpg(first.pid, signal.SIGINT)  # as a terminal sends it, to the workers too
    printed, said = first.communicate(timeout=60)
    assert first.returncode == 130, said
    assert printed == ""
    assert re.fullmatch(
        r"undersong: stopped; [1-5] of 5 tunes are finished and kept, and the same command goes on "
        r"from there\n",
        said,
    )
    with locked(out):
        pass  # nobody holds the folder any more


def test_tunes_that_cannot_be_played_or_read_are_told_and_the_rest_is_a_book(
    tmp_path: Path,
) -> None:
    source = tunes_in(tmp_path / "tunes", TUNES[:1])
    (source / "gate.abc").write_text(abc("Gate").replace('"A"', '"Eb"'), encoding="utf-8")
    (source / "well.abc").write_bytes(b"\0")
    ended = book(source, "--to", tmp_path / "book", "--mends", "1", "--title", "Three tunes")
    assert ended.code == 1
    first, *rest = ended.out.splitlines()
    assert re.fullmatch(r".*book: 3 tunes, 1 in the book on \d+ pages? of music", first)
    assert rest[0] == "slowest:"
    told = json.loads((tmp_path / "book" / "summary.json").read_text(encoding="utf-8"))
    assert told["title"] == "Three tunes"
    lines = ended.lines
    assert len(lines) == 3  # and no bar, since nobody watches
    assert lines[0].startswith("undersong: not in the book: 1. Gate (song): bar 2: Eb cannot be")
    assert lines[1].startswith("undersong: mend: ")
    assert lines[2] == "undersong: not in the book: 3. well: well.abc: this is no text file"
    assert (tmp_path / "book" / "book.pdf").is_file()


@pytest.mark.parametrize(
    ("entries", "code"),
    [
        ((PROVEN,), 0),
        ((PROVEN, UNPROVEN), 3),
        ((UNPROVEN, FAILED), 1),
        ((UNPROVEN, FAILED, FAULTY), 4),
    ],
)
def test_the_exit_code_says_how_good_the_book_is(entries: tuple[Entry, ...], code: int) -> None:
    from undersong.cli.book import _end

    ended = 0
    try:
        _end(Book(entries, 0, {}, 0))
    except Exit as end:
        ended = end.exit_code
    assert ended == code


def test_a_fault_of_the_program_is_told_with_its_tunes(capsys: pytest.CaptureFixture[str]) -> None:
    from undersong.cli.book import _end

    with pytest.raises(Exit):
        _end(Book((PROVEN, FAULTY, FAILED, replace(FAULTY, number=5, title="E")), 0, {}, 0))
    assert capsys.readouterr().err == (
        "undersong: a fault of this program with 2 tunes: 4. D; 5. E; the book is written without "
        "what went wrong; please report it with the tunes and the settings\n"
    )


def test_a_book_with_a_fault_of_the_program_is_written_and_ends_with_4(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from undersong.book import making, one_tune

    def breaks(*_: object) -> None:
        raise LookupError("no such place")

    source = tunes_in(tmp_path / "tunes", TUNES[:1])
    monkeypatch.setattr(one_tune, "part_of", breaks)
    monkeypatch.setattr(making.make_book, "__defaults__", (lambda standing: None, Worked().hired))
    ended = run("book", str(source), "--to", str(tmp_path / "b"))
    assert ended.code == 4
    assert ended.lines[-1].startswith(
        "undersong: a fault of this program with 1 tune: 1. Lamp; the"
    )
    assert (tmp_path / "b" / "book.pdf").is_file()
    (tune,) = json.loads((tmp_path / "b" / "summary.json").read_text(encoding="utf-8"))["tunes"]
    assert [each["fault_of_the_program"] for each in tune["failures"]] == [True]


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ((), "--to: name the book's folder, such as --to my-book"),
        (("--to", "tunes"), "--to tunes: the tunes lie there"),
        (("--to", "file"), "--to file: this is a file; name a folder"),
        (("--to", "no/where"), "--to no/where: there is no folder no; make it first"),
        (("--to", "b", "--texture", "choir"), "--texture: there is no texture 'choir'"),
        (("--to", "b", "--texture", "song", "--texture", "song"), "asked for twice; ask once"),
        (("--to", "b", "--chords", "mine.chart"), "--chords: write given, proposed or drone"),
        (("--to", "b", "--levels", "0-9"), "--levels: write one of the 5 levels"),
        (("--to", "b", "--levels", "all"), "--levels: write the first and the last"),
        (("--to", "b", "--levels", "1-2", "--bass", "roots"), "--bass: each level has a bass"),
        (("--to", "b", "--hand", "giant"), "--hand: "),
        (("--to", "b", "--workers", "0"), "--workers: write a whole number of workers"),
        (("--to", "b", "--tune-limit", "0"), "--tune-limit: write a time in seconds"),
        (("--to", "b", "--paper", "a9"), "--paper: "),
        (("--to", "b", "--at-most", "x"), "--at-most: "),
        (("--to", "b", "--workers", "2", "--scheduler", "tcp://x:1"), "--workers: a scheduler has"),
        (("--to", "b", "--graces"), "--graces: a song plays no melody"),
    ],
)
def test_what_cannot_be_is_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], told: str
) -> None:
    tunes_in(tmp_path / "tunes", TUNES[:1])
    (tmp_path / "file").touch()
    monkeypatch.chdir(tmp_path)
    ended = run("book", "tunes", *arguments)
    assert ended.code == 2
    assert told in ended.told
    assert len(ended.told.splitlines()) == 1
    assert not (tmp_path / "b").exists()


@pytest.mark.parametrize(
    ("standing", "elapsed", "told"),
    [
        (BookStanding(40, 100, 40), 3.0, ""),
        (BookStanding(50, 100, 40), 60.0, "10.0 tunes a minute, about 5:00 left"),
        (BookStanding(100, 100, 40), 60.0, "binding"),
    ],
)
def test_the_pace_is_that_of_tunes_made_now(
    standing: BookStanding, elapsed: float, told: str
) -> None:
    from undersong.cli.book_told import _pace

    assert _pace(standing, elapsed) == told


def test_what_holds_no_tune_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    for source in ("empty", "gone", "gone.txt", "gone.abc"):
        ended = run("book", str(tmp_path / source), "--to", str(tmp_path / "b"))
        assert ended.code == 2
        assert len(ended.told.splitlines()) == 1
    assert not (tmp_path / "b").exists()


def test_a_scheduler_that_is_not_there_is_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from undersong.book import workers

    monkeypatch.setattr(workers, "PATIENCE", 1.0)
    source = tunes_in(tmp_path / "tunes", TUNES[:1])
    ended = run(
        "book", str(source), "--to", str(tmp_path / "b"), "--scheduler", "tcp://127.0.0.1:1"
    )
    assert ended.code == 2
    assert "there is no scheduler at tcp://127.0.0.1:1" in ended.told
    assert "0 of 1 tunes are finished and kept" in ended.told
