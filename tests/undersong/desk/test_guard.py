"""The guard: who may ask and how much may be sent, by the ASGI standard's own messages."""

import asyncio
import json
from collections.abc import Iterable
from typing import Any

import pytest

from undersong.desk import guard as guards
from undersong.desk.guard import COOKIE, Door, Guard
from undersong.desk.limits import MOST_BODY, MOST_WAITING_BYTES

HOST = "127.0.0.1:8474"
DOOR = Door(frozenset({HOST, "localhost:8474"}), "the-token")
OPEN = Door(frozenset({"192.0.2.7:8474"}), "the-token", "the-key")
"""An address out of RFC 5737, for examples."""
JSON = {"host": HOST, "undersong-token": "the-token", "content-type": "application/json"}


async def echo(scope: Any, receive: Any, send: Any) -> None:
    """Answers with what it was sent."""
    body = (await receive())["body"] if scope["method"] == "POST" else b""
    await send({"type": "http.response.start", "status": 200, "headers": []})
    await send({"type": "http.response.body", "body": body})


class Asked:
    """A request to the guard, and what came of it."""

    def __init__(
        self,
        headers: dict[str, str] | list[tuple[str, str]],
        *,
        method: str = "GET",
        path: str = "/choices",
        query: str = "",
        body: Iterable[bytes] = (b"",),
        door: Door = DOOR,
        guard: Guard | None = None,
    ) -> None:
        pairs = headers.items() if isinstance(headers, dict) else headers
        self.scope = {
            "type": "http",
            "method": method,
            "path": path,
            "query_string": query.encode(),
            "headers": [(name.encode(), value.encode("latin-1")) for name, value in pairs],
        }
        self.parts = list(body)
        self.sent: list[Any] = []
        self.read = 0
        asyncio.run((guard or Guard(echo, door))(self.scope, self._receive, self._send))

    async def _receive(self) -> dict[str, Any]:
        if not self.parts:
            return {"type": "http.disconnect"}
        part = self.parts.pop(0)
        self.read += len(part)
        return {"type": "http.request", "body": part, "more_body": bool(self.parts)}

    async def _send(self, message: Any) -> None:
        self.sent.append(message)

    @property
    def status(self) -> int:
        return int(self.sent[0]["status"])

    @property
    def headers(self) -> dict[str, str]:
        return {name.decode(): value.decode() for name, value in self.sent[0]["headers"]}

    @property
    def body(self) -> bytes:
        return b"".join(message["body"] for message in self.sent[1:])


def posted(changes: dict[str, str], **asked: Any) -> Asked:
    headers = {name: value for name, value in {**JSON, **changes}.items() if value}
    return Asked(headers, method="POST", path="/read", **asked)


def test_the_desks_own_page_is_answered() -> None:
    answered = posted({"origin": f"http://{HOST}", "sec-fetch-site": "same-origin"}, body=[b"{}"])
    assert (answered.status, answered.body) == (200, b"{}")


@pytest.mark.parametrize(
    ("changes", "status"),
    [
        ({"host": "evil.example"}, 403),
        ({"host": "127.0.0.1"}, 403),
        ({"host": "127.0.0.1:80"}, 403),
        ({"host": ""}, 403),
        ({"origin": "http://evil.example"}, 403),
        ({"origin": "null"}, 403),
        ({"origin": "https://127.0.0.1:8474"}, 403),
        ({"origin": "http://127.0.0.1:8475"}, 403),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"sec-fetch-site": "same-site"}, 403),
        ({"undersong-token": ""}, 403),
        ({"undersong-token": "the-tokem"}, 403),
        ({"undersong-token": "ümlaut"}, 403),
        ({"content-type": "text/plain"}, 415),
        ({"content-type": "application/x-www-form-urlencoded"}, 415),
        ({"content-length": str(MOST_BODY + 1)}, 413),
        ({"content-length": "-1"}, 413),
        ({"content-length": "9" * 30}, 413),
    ],
)
def test_others_are_refused_in_a_sentence_and_unread(changes: dict[str, str], status: int) -> None:
    answered = posted(changes, body=[b"x" * 1000])
    assert answered.status == status
    assert json.loads(answered.body)["refused"]["sentence"]
    assert answered.read == 0


@pytest.mark.parametrize("name", ["host", "origin", "undersong-token", "content-length"])
def test_a_header_said_twice_is_refused(name: str) -> None:
    pairs = [*JSON.items(), ("origin", f"http://{HOST}"), ("content-length", "2")]
    value = dict(pairs)[name]
    assert Asked([*pairs, (name, value)], method="POST", path="/read").status == 400


def test_another_page_may_lead_here_but_not_ask() -> None:
    """Following a link to the desk is no harm; reading what it knows would be."""
    crossing = {"host": HOST, "sec-fetch-site": "cross-site"}
    assert Asked(crossing, path="/").status == 200
    assert Asked(crossing, path="/choices").status == 403
    assert Asked(crossing, path="/kept").status == 403


def test_a_body_in_parts_is_counted() -> None:
    part = b"x" * 1_000_000
    whole = posted({}, body=[part] * 16)
    assert (whole.status, len(whole.body)) == (200, 16_000_000)
    over = posted({}, body=[part] * 40)
    assert over.status == 413
    assert over.read == 17_000_000


def test_what_is_being_read_at_one_time_is_limited() -> None:
    guard = Guard(echo, DOOR)
    guard.reading = MOST_WAITING_BYTES - 5
    assert posted({"content-length": "6"}, body=[b"123456"], guard=guard).status == 503
    assert posted({"content-length": "5"}, body=[b"12345"], guard=guard).status == 200
    assert guard.reading == MOST_WAITING_BYTES - 5


def test_a_body_that_does_not_come_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guards, "BODY_SECONDS", 0.05)

    class Slow(Asked):
        async def _receive(self) -> dict[str, Any]:
            await asyncio.sleep(5)
            raise AssertionError("nobody waits so long")

    guard = Guard(echo, DOOR)
    assert Slow(JSON, method="POST", path="/read", guard=guard).status == 408
    assert guard.reading == 0


def test_every_answer_keeps_the_browser_at_home() -> None:
    for answered in (Asked({"host": HOST}), Asked({"host": "evil.example"})):
        policy = answered.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "http" not in policy
        assert answered.headers["x-content-type-options"] == "nosniff"
        assert answered.headers["cross-origin-resource-policy"] == "same-origin"
        assert answered.headers["cache-control"] == "no-store"


@pytest.mark.parametrize(
    ("headers", "query", "path", "status"),
    [
        ({}, "", "/", 403),
        ({}, "key=the-kez", "/", 403),
        ({}, "key=the-key", "/", 200),
        ({}, "key=the-key", "/choices", 403),
        ({"cookie": f"{COOKIE}=the-key"}, "", "/choices", 200),
        ({"cookie": f"{COOKIE}=other"}, "", "/choices", 403),
        ({"cookie": "\x01;;=,"}, "", "/choices", 403),
    ],
)
def test_an_open_desk_wants_its_key(
    headers: dict[str, str], query: str, path: str, status: int
) -> None:
    told = {"host": "192.0.2.7:8474", **headers}
    assert Asked(told, query=query, path=path, door=OPEN).status == status
