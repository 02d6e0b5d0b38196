"""A desk as a process of its own, as a player starts it, and requests to it."""

import http.client
import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

PATIENCE = 60.0


@dataclass
class Served:
    """address: as printed; token: out of the page; folder: where it keeps works."""

    process: subprocess.Popen[str]
    address: str
    token: str = ""
    folder: Path | None = None

    @property
    def host(self) -> str:
        return self.address.removeprefix("http://").partition("/")[0]

    def ask(
        self,
        method: str,
        path: str,
        body: Any = None,
        headers: dict[str, str] | None = None,
        timeout: float = PATIENCE,
    ) -> tuple[int, bytes]:
        """Status and body; body: bytes as they are, all else as JSON."""
        name, _, port = self.host.rpartition(":")
        connection = http.client.HTTPConnection(name, int(port), timeout=timeout)
        content = body if isinstance(body, bytes | type(None)) else json.dumps(body).encode()
        sent = {"Content-Type": "application/json", "Undersong-Token": self.token}
        try:
            connection.request(method, path, content, {**sent, **(headers or {})})
            answer = connection.getresponse()
            return answer.status, answer.read()
        finally:
            connection.close()

    def post(self, path: str, body: Any) -> Any:
        """The JSON of the last line; AssertionError where it was refused."""
        status, content = self.ask("POST", path, body)
        assert status == 200, content
        return json.loads(content.splitlines()[-1])

    def lines(self, path: str, body: Any) -> list[Any]:
        """Every line of a stream."""
        status, content = self.ask("POST", path, body)
        assert status == 200, content
        return [json.loads(line) for line in content.splitlines()]


@contextmanager
def served(folder: Path, *options: str, first: Sequence[str] = ()) -> Iterator[Served]:
    """A desk whose works are kept in that folder, ended when it is left."""
    command = [
        sys.executable, "-m", "undersong", "desk", *first,
        "--no-browser", "--folder", str(folder), *options,
    ]  # fmt: skip
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    process = subprocess.Popen(
        command, stderr=subprocess.PIPE, text=True, env=environment, start_new_session=True
    )
    try:
        desk = Served(process, _address(process), folder=folder)
        _, page = desk.ask("GET", "/")
        found = re.search(r'name="undersong-token" content="([^"]+)"', page.decode())
        desk.token = found[1] if found else ""
        yield desk
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGINT)
        try:
            process.communicate(timeout=10)
        except subprocess.TimeoutExpired:
            process.kill()
            process.communicate()
            raise


def _address(process: subprocess.Popen[str]) -> str:
    """The address that it prints when it serves."""
    assert process.stderr is not None
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        line = process.stderr.readline()
        found = re.search(r"http://\S+", line)
        if found:
            return found[0]
        if not line:
            break
    raise AssertionError("the desk printed no address")
