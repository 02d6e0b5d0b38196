"""The desk as a process: its port, its end, and what it leaves behind."""

import http.client
import json
import os
import pty
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from tests.undersong.desk.served import Served, served
from tests.undersong.desk.test_security import free_port
from tests.undersong.desk.works import work
from undersong.desk.work import Source, Work, work_out

LONG = {
    "work": work_out(
        Work(
            Source(bundled="long-way-round-the-green"),
            settings=work(texture="solo", shapes=6).settings,
        )
    ),
    "before": None,
    "seconds": 60,
    "width": 190,
}
"""A search that takes many seconds."""


def run(*options: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "undersong", "desk", "--no-browser", *options]
    return subprocess.run(command, capture_output=True, text=True, timeout=60)


def ends(desk: Served, within: float = 8.0) -> int:
    """Its exit code, when it has ended."""
    return desk.process.wait(timeout=within)


def children(number: int) -> list[str]:
    """The processes that it began, and whatever else is in its session."""
    found = subprocess.run(
        ["ps", "-o", "pid=,args=", "--sid", str(number)], capture_output=True, text=True
    )
    return [line for line in found.stdout.splitlines() if line.strip()]


def test_a_taken_port_is_told(tmp_path: Path) -> None:
    with served(tmp_path, "--port", str(free_port())) as desk:
        port = desk.host.rpartition(":")[2]
        second = run("--port", port, "--folder", str(tmp_path))
        assert second.returncode == 2
        assert second.stderr.count("\n") == 1
        assert f"--port {port}" in second.stderr


def test_a_second_desk_takes_another_port(tmp_path: Path) -> None:
    with served(tmp_path) as one, served(tmp_path) as two:
        assert one.host != two.host
        assert {desk.ask("GET", "/choices")[0] for desk in (one, two)} == {200}
        assert one.ask("POST", "/read", {}, {"Undersong-Token": two.token})[0] == 403


@pytest.mark.parametrize("option", ["--port=0", "--port=x", "--port=70000", "--interface=nowhere"])
def test_options_that_cannot_be(option: str) -> None:
    refused = run(option)
    assert refused.returncode == 2
    assert "Traceback" not in refused.stderr


@pytest.mark.parametrize("tune", ["no-such-tune", "/nowhere/x.abc"])
def test_a_tune_that_cannot_be_read(tune: str) -> None:
    refused = run(tune)
    assert refused.returncode == 2
    assert len(refused.stderr.splitlines()) == 1


def test_a_folder_that_cannot_be_written_is_told_at_the_start(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    command = [sys.executable, "-m", "undersong", "desk", "--no-browser", "--folder",
               str(tmp_path / "file" / "kept"), "--port", str(free_port())]  # fmt: skip
    process = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
    assert process.stderr is not None
    told = process.stderr.readline()
    process.send_signal(signal.SIGINT)
    process.communicate(timeout=20)
    assert "warning: your work cannot be kept" in told
    assert "--folder" in told


def test_it_begins_with_the_tune_that_was_named(tmp_path: Path) -> None:
    file = tmp_path / "stove.abc"
    file.write_text('X:1\nT:Stove\nM:4/4\nL:1/4\nK:D\n"D"d f a f|\n')
    with served(tmp_path / "kept", first=[str(file)]) as desk:
        first = json.loads(desk.ask("GET", "/choices")[1])["first"]
        assert first["tune"]["name"] == "stove.abc"
        assert str(tmp_path) not in json.dumps(first)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_it_ends_in_the_middle_of_a_search(tmp_path: Path, number: int) -> None:
    with served(tmp_path) as desk:
        begin(desk)
        desk.process.send_signal(number)
        ends(desk)
        assert children(desk.process.pid) == []


def begin(desk: Served) -> None:
    """A long search, under way when this returns."""

    def search() -> None:
        try:
            desk.ask("POST", "/arrange", LONG)
        except (OSError, http.client.HTTPException):
            return

    threading.Thread(target=search, daemon=True).start()
    time.sleep(1.0)


def test_killed_it_leaves_no_process(tmp_path: Path) -> None:
    with served(tmp_path) as desk:
        begin(desk)
        desk.process.kill()
        ends(desk)
        assert children(desk.process.pid) == []


def test_it_ends_with_its_terminal(tmp_path: Path) -> None:
    """A pseudo terminal whose other side is closed hangs up on what was started there."""
    command = [sys.executable, "-m", "undersong", "desk", "--no-browser", "--folder",
               str(tmp_path)]  # fmt: skip
    child, terminal = pty.fork()
    if child == 0:  # pragma: no cover  becomes the desk
        os.execv(command[0], command)
    told = b""
    while b"http://" not in told:
        told += os.read(terminal, 1000)
    os.close(terminal)
    until = time.monotonic() + 8
    while time.monotonic() < until:
        if os.waitpid(child, os.WNOHANG)[0]:
            return
        time.sleep(0.05)
    os.kill(child, signal.SIGKILL)
    raise AssertionError("the desk went on without its terminal")


def test_an_open_desk_warns_and_wants_its_key(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "undersong", "desk", "--no-browser", "--interface",
               "127.0.0.1", "--port", str(free_port()), "--folder", str(tmp_path)]  # fmt: skip
    process = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
    try:
        assert process.stderr is not None
        warning, told = process.stderr.readline(), process.stderr.readline()
        assert "warning" in warning
        address = next(word for word in told.split() if word.startswith("http://"))
        assert "?key=" in address
        desk = Served(process, address)
        assert desk.ask("GET", "/")[0] == 403
        key = address.partition("key=")[2]
        assert desk.ask("GET", f"/?key={key}")[0] == 303
        cookie = {"Cookie": f"undersong-key={key}"}
        assert desk.ask("GET", "/", None, cookie)[0] == 200
        assert desk.ask("GET", "/choices", None, cookie)[0] == 200
    finally:
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=10)


def test_a_search_that_nobody_waits_for_ends(tmp_path: Path) -> None:
    """The page lets go, and the next search has not to wait for the first."""
    with served(tmp_path) as desk:
        name, _, port = desk.host.rpartition(":")
        link = http.client.HTTPConnection(name, int(port))
        headers = {"Content-Type": "application/json", "Undersong-Token": desk.token}
        link.request("POST", "/arrange", json.dumps(LONG), headers)
        answer = link.getresponse()
        first: Any = json.loads(answer.readline())
        assert "standing" in first
        answer.close()
        link.close()
        begun = time.monotonic()
        quick = {**LONG, "work": work_out(work())}
        assert "answer" in desk.post("/arrange", quick)
        assert time.monotonic() - begun < 20


def test_a_port_that_cannot_be_is_a_number_not_a_count() -> None:
    told = run("--port", "99999")
    assert told.returncode == 2
    assert told.stderr == ("undersong: --port: write a whole number from 1 to 65535, not '99999'\n")
