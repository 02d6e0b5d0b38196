"""The desk as a process, treated as a stranger would: its own sockets, its own limits."""

import base64
import io
import json
import random
import socket
import time
import zipfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from tests.undersong.desk.served import Served, served
from tests.undersong.desk.works import work
from undersong.desk.limits import MOST_BODY
from undersong.desk.work import Source, Work, work_out

POSTS = ("/read", "/open", "/kept", "/arrange", "/prices", "/why", "/others", "/levels",
         "/compare", "/sound", "/sound/bars", "/file", "/handout")  # fmt: skip
ANSWERED = {200, 400, 404, 409, 413, 415, 503}
"""What a request that the guard lets in may be answered with."""


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served(tmp_path_factory.mktemp("kept"), "--port", str(free_port())) as one:
        yield one


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


def memory(desk: Served) -> int:
    """Bytes that the process holds."""
    statm = Path(f"/proc/{desk.process.pid}/statm").read_text().split()
    return int(statm[1]) * 4096


def alive(desk: Served) -> bool:
    return desk.process.poll() is None and desk.ask("GET", "/choices")[0] == 200


def upload(name: str, data: bytes) -> dict[str, Any]:
    tune = {"name": name, "base64": base64.b64encode(data).decode()}
    return {"tune": tune, "choose": None}


def refused(content: bytes) -> str:
    return str(json.loads(content.splitlines()[-1])["refused"]["sentence"])


def test_strangers_are_refused(desk: Served) -> None:
    for headers in (
        {"Host": "evil.example"},
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Undersong-Token": ""},
    ):
        status, content = desk.ask("POST", "/read", {}, headers)
        assert status == 403
        assert refused(content)


@pytest.mark.parametrize(
    "path",
    ["/page/../../work.py", "/page/%2e%2e%2fapp.py", "/kept/..%2f..%2fsecret", "//etc/passwd"],
)
def test_paths_lead_nowhere(desk: Served, path: str) -> None:
    assert desk.ask("GET", path)[0] == 404


def test_too_large_is_refused_before_it_is_sent(desk: Served) -> None:
    status, content = desk.ask("POST", "/read", b"", {"Content-Length": str(MOST_BODY + 1)})
    assert status == 413
    assert "megabytes" in refused(content)


def test_too_large_in_chunks_is_cut_off(desk: Served) -> None:
    """A body without a length, by RFC 9112's chunked coding, that never ends."""
    host, _, port = desk.host.rpartition(":")
    with socket.create_connection((host, int(port)), timeout=30) as link:
        head = (
            f"POST /read HTTP/1.1\r\nHost: {desk.host}\r\nUndersong-Token: {desk.token}\r\n"
            "Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n"
        )
        link.sendall(head.encode())
        chunk = b"10000\r\n" + b" " * 0x10000 + b"\r\n"
        sent = 0
        try:
            while sent < 4 * MOST_BODY:
                link.sendall(chunk)
                sent += 0x10000
        except OSError:
            pass
    assert sent < 3 * MOST_BODY
    assert alive(desk)


def test_entities_of_a_files_own_are_refused(desk: Served) -> None:
    """The bomb of ten entities, each ten times the one before."""
    laughs = "".join(
        f'<!ENTITY l{n} "{"".join(f"&l{n - 1};" for _ in range(10))}">' for n in range(1, 10)
    )
    bomb = f'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY l0 "ha">{laughs}]><a>&l9;</a>'
    status, content = desk.ask("POST", "/read", upload("bomb.musicxml", bomb.encode()))
    assert status == 400
    assert "entities" in refused(content)


def test_an_archive_that_grows_is_refused(desk: Served) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("score.xml", b"<a>" + b" " * 60_000_000)
    before = memory(desk)
    status, content = desk.ask("POST", "/read", upload("bomb.mxl", packed.getvalue()))
    assert status == 400
    assert "unpacks" in refused(content) or "too large" in refused(content)
    assert memory(desk) - before < 100_000_000


@pytest.mark.parametrize("name", ["/etc/passwd", "../../x.abc", "a\x00.abc", "x" * 5000, ""])
def test_a_files_name_is_only_a_name(desk: Served, name: str) -> None:
    body = upload(name, b"X:1\nT:Stove\nM:4/4\nL:1/4\nK:D\nd f a f|\n")
    status, content = desk.ask("POST", "/read", body)
    assert status in (200, 400)
    assert b"root:" not in content


def test_two_hundred_at_once(desk: Served) -> None:
    """Reading, arranging and listing together: each is answered, or told that the desk is busy."""
    lantern = work_out(Work(Source(bundled="lantern-path")))
    asked = {"work": lantern, "before": None, "seconds": 20, "width": 190}
    reading = {"tune": {"bundled": "harrow-lane"}, "choose": None}
    requests = [
        ("POST", "/arrange", asked),
        ("GET", "/choices", None),
        ("GET", "/kept", None),
        ("POST", "/read", reading),
    ]
    desk.lines("/arrange", asked)
    before = memory(desk)
    with ThreadPoolExecutor(200) as crowd:
        found = list(
            crowd.map(lambda number: desk.ask(*requests[number % len(requests)]), range(200))
        )
    statuses = [status for status, _ in found]
    assert set(statuses) <= {200, 503}
    assert statuses.count(200) >= 150 + 8
    assert memory(desk) - before < 500_000_000
    assert alive(desk)


def test_half_open_connections_do_not_shut_her_out(desk: Served) -> None:
    host, _, port = desk.host.rpartition(":")
    open_ones = [socket.create_connection((host, int(port))) for _ in range(150)]
    try:
        for number, link in enumerate(open_ones):
            if number % 2:
                link.sendall(b"POST /read HTTP/1.1\r\nHost: ")
        assert alive(desk)
    finally:
        for link in open_ones:
            link.close()


@pytest.mark.slow
def test_half_open_connections_are_closed_in_time(desk: Served) -> None:
    host, _, port = desk.host.rpartition(":")
    with socket.create_connection((host, int(port)), timeout=40) as link:
        link.sendall(b"GET / HTTP/1.1\r\nHost: ")
        begun = time.monotonic()
        assert link.recv(1) == b""
        assert time.monotonic() - begun < 30


def random_bodies(seed: int, count: int) -> Iterator[tuple[str, bytes]]:
    """Routes with bodies that are random bytes, random JSON, or good ones spoilt in one place."""
    chance = random.Random(seed)
    good = [
        {"work": work_out(work()), "before": None, "seconds": 1, "width": 190},
        {"work": work_out(work()), "document": "x", "played": 1, "count": 2},
        {"tune": {"bundled": "harrow-lane"}, "choose": None},
        {"document": "{}", "percent": 100, "suffix": ".wav"},
        {"format": "undersong desk", "version": 1, "work": work_out(work()), "answer": None},
    ]
    for _ in range(count):
        kind, path = chance.randrange(3), chance.choice(POSTS)
        if kind == 0:
            yield path, chance.randbytes(chance.randrange(200))
        elif kind == 1:
            yield path, json.dumps(anything(chance, 4)).encode()
        else:
            value = json.loads(json.dumps(chance.choice(good)))
            spoil(value, chance)
            yield path, json.dumps(value).encode()


def anything(chance: random.Random, deep: int) -> Any:
    kind = chance.randrange(8 if deep else 5)
    leaves: list[Any] = [None, True, chance.randrange(-(10**12), 10**12), chance.random() * 1e300,
                         "".join(chr(chance.randrange(1, 0xD7FF)) for _ in range(8))]  # fmt: skip
    if kind < 5:
        return leaves[kind]
    if kind == 5:
        return [anything(chance, deep - 1) for _ in range(3)]
    names = ["work", "document", "tune", "settings", "format", "played", "x"]
    return {name: anything(chance, deep - 1) for name in chance.sample(names, 3)}


def spoil(value: Any, chance: random.Random) -> None:
    """One thing in it becomes another, somewhere."""
    name = chance.choice(list(value))
    if isinstance(value[name], dict) and value[name] and chance.random() < 0.8:
        spoil(value[name], chance)
    else:
        value[name] = anything(chance, 2)


def bombard(desk: Served, seed: int, count: int) -> None:
    before = memory(desk)
    for path, body in random_bodies(seed, count):
        status, content = desk.ask("POST", path, body)
        assert status in ANSWERED, (path, body, content)
        assert b"Traceback" not in content, (path, body)
        assert b"mistake of its own" not in content, (path, body)
    assert memory(desk) - before < 400_000_000
    assert alive(desk)


def test_some_random_bodies(desk: Served) -> None:
    bombard(desk, seed=26, count=300)


@pytest.mark.slow
def test_ten_thousand_random_bodies(desk: Served) -> None:
    bombard(desk, seed=11, count=10_000)
