"""The command line as a process: what it imports, Ctrl-C, pipes, full disks, terminals."""

import json
import os
import pty
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.undersong.running import snapshot, spawn, surroundings

HEAVY = ("numpy", "networkx", "ortools", "music21", "rich", "tomllib", "solver", "tune", "scoring")

SLOW_SEARCH = """
import sys, time
import solver.search

def solve(*arguments, watch, **named):
    print("searching", flush=True)
    while True:
        time.sleep(0.01)
        watch.look()

solver.search.Search.solve = solve
from undersong.cli import main
sys.argv = ["undersong", "arrange", "harrow-lane", "--to", "old.txt", "--to", "new.json"]
main()
"""


def test_help_imports_nothing_heavy() -> None:
    script = (
        "import sys, undersong.cli\n"
        "try: undersong.cli.group.main(['--help'])\n"
        "except SystemExit: pass\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        env=surroundings(),
        check=True,
    )
    assert done.stderr.strip() == "[]"
    assert "chart-format" in done.stdout


def test_ctrl_c_while_it_searches_ends_at_once_and_leaves_every_file_as_it_was(
    tmp_path: Path,
) -> None:
    (tmp_path / "old.txt").write_text("what was here before", encoding="utf-8")
    before = snapshot(tmp_path)
    process = subprocess.Popen(
        [sys.executable, "-c", SLOW_SEARCH],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=tmp_path,
        env=surroundings(),
    )
    with process:
        assert process.stdout is not None
        assert process.stderr is not None
        assert process.stdout.readline() == "searching\n"
        begun = time.monotonic()
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=30) == 130
        assert time.monotonic() - begun < 10
        told = process.stderr.read().splitlines()
    assert told == ["undersong: stopped; no file was left half written"]
    assert snapshot(tmp_path) == before


def test_a_pipe_whose_reader_goes_away_is_no_fault() -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "undersong", "chart-format"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=surroundings(),
    )
    with process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()  # before it has written anything
        assert process.wait(timeout=60) == 141
        assert process.stderr.read() == b""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device")
def test_a_full_disk_is_told_in_one_line() -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "undersong", "tunes"],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            env=surroundings(),
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr.splitlines() == ["undersong: the system says: No space left on device"]


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="this system has no such folder")
def test_a_folder_that_takes_no_files_is_told_in_one_line(tmp_path: Path) -> None:
    ended = spawn("arrange", "lantern-path", "--to", "/proc/tab.txt", cwd=tmp_path)
    assert ended.code == 2
    assert ended.out == ""
    assert len(ended.lines) == 1
    assert ended.lines[0].startswith("undersong: --to: /proc/tab.txt: ")
    assert snapshot(tmp_path) == {}


def test_closed_streams_are_no_fault() -> None:
    for closed, code in (("<&-", 2), (">&-", 2), ("2>&-", 2)):
        done = subprocess.run(
            ["/bin/sh", "-c", f'"{sys.executable}" -m undersong arrange - {closed}'],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            env=surroundings(),
            check=False,
        )
        assert done.returncode == code, closed
        assert "Traceback" not in done.stderr
        assert "empty" in done.stderr or closed == "2>&-"


def test_odd_encodings_of_the_terminal_are_no_fault(tmp_path: Path) -> None:
    tune = "title: Käthe’s Öl\nkey: D\nmetre: 4/4\ntempo: 90\n| D | A7 | D |\n"
    (tmp_path / "t.chart").write_text(tune, encoding="utf-8")
    ended = spawn("arrange", "t.chart", "--unicode", cwd=tmp_path, PYTHONIOENCODING="ascii")
    assert ended.code == 0, ended.told
    assert "the" in ended.out


def test_the_same_bytes_every_time(tmp_path: Path) -> None:
    for name in ("one.json", "two.json"):
        ended = spawn(
            "arrange", "lantern-path", "--to", name, cwd=tmp_path, PYTHONHASHSEED=str(len(name))
        )
        assert ended.code == 0, ended.told
    assert (tmp_path / "one.json").read_bytes() == (tmp_path / "two.json").read_bytes()
    assert json.loads((tmp_path / "one.json").read_text(encoding="utf-8"))


def on_a_terminal(*arguments: str, **environment: str) -> str:
    """What a terminal shows, stdout and stderr together."""
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "undersong", *arguments],
        stdout=theirs,
        stderr=theirs,
        stdin=theirs,
        env=surroundings(TERM="xterm-256color", COLUMNS="100", **environment),
    )
    os.close(theirs)
    shown = b""
    while select.select([ours], [], [], 60)[0]:
        try:
            shown += os.read(ours, 65536)
        except OSError:  # the other end is closed: the process has ended
            break
    os.close(ours)
    assert process.wait(timeout=60) == 0, shown
    return shown.decode()


def test_a_terminal_gets_bold_titles_and_progress_a_pipe_gets_neither() -> None:
    shown = on_a_terminal("arrange", "lantern-path")
    assert "\x1b[1m" in shown
    assert "Lantern Path" in shown
    assert "proven best" in shown
    assert "\x1b[?25l" in shown, "the progress line hides the cursor"
    piped = spawn("arrange", "lantern-path")
    assert "\x1b" not in piped.out + piped.told
    for line in piped.out.split("\n"):
        assert line in shown.replace("\r\n", "\n").replace("\x1b[1m", "").replace("\x1b[0m", "")


def test_no_color_is_honoured() -> None:
    coloured = ("\x1b[3", "\x1b[9", "\x1b[38")
    shown = on_a_terminal("weights", NO_COLOR="1")
    assert not any(code in shown for code in coloured)
    assert "high-bass" in shown
