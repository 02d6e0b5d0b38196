"""The guard at the door: who may ask, and how much may be sent, before anything of it is read.

A page of another site can make a browser send requests to this machine. So the Host must be the
desk's own address (else a foreign name may have been pointed here), the Origin too where there is
one, and whatever changes something brings a token that only the desk's own page knows.

Public: Guard, Door, COOKIE, App.
"""

import asyncio
import hmac
import json
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from typing import Any

from undersong.desk.limits import BODY_SECONDS, MOST_BODY, MOST_WAITING_BYTES
from undersong.desk.refused import Refusal

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

TOKEN = b"undersong-token"
COOKIE = "undersong-key"

_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "media-src 'self' blob:",
        "connect-src 'self'",
        "font-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
_HEADERS = (
    (b"content-security-policy", _POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)


@dataclass(frozen=True)
class Door:
    """hosts: what Host may say, with its port; token: what changes must bring; key: what every
    request must bring as a cookie, empty where only this machine can ask."""

    hosts: frozenset[str]
    token: str
    key: str = ""

    @property
    def origins(self) -> frozenset[str]:
        return frozenset(f"http://{host}" for host in self.hosts)


@dataclass
class Guard:
    """An ASGI application around another."""

    app: App
    door: Door
    reading: int = field(default=0)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        guarded = _with_headers(send)
        held = 0
        try:
            self._admit(scope)
            if scope["method"] == "POST":
                held = self._room_for(scope)
                body = await _body(receive)
                receive = _again(body, receive)
            await self.app(scope, receive, guarded)
        except Refusal as refusal:
            await _answer(refusal, guarded)
        finally:
            self.reading -= held

    def _room_for(self, scope: Scope) -> int:
        """Bytes that the body may take of what is allowed for all together, now taken."""
        declared = self._declared(scope)
        room = MOST_BODY if declared is None else declared
        if self.reading + room > MOST_WAITING_BYTES:
            raise Refusal("the desk is busy reading other things; try again", status=503)
        self.reading += room
        return room

    def _admit(self, scope: Scope) -> None:
        headers: dict[bytes, bytes] = {}
        for name, value in scope["headers"]:
            if name in headers and name in (b"host", b"origin", b"content-length", TOKEN):
                raise Refusal(f"the request says {name.decode()} twice")
            headers[name] = value
        if headers.get(b"host", b"").decode("latin-1").lower() not in self.door.hosts:
            raise Refusal(
                "this is not the desk's address; open the one that it printed", status=403
            )
        origin = headers.get(b"origin")
        if origin is not None and origin.decode("latin-1").lower() not in self.door.origins:
            raise Refusal("only the desk's own page may ask", status=403)
        followed = scope["method"] == "GET" and scope["path"] == "/"  # a link from elsewhere
        site = headers.get(b"sec-fetch-site", b"none")
        if site not in (b"none", b"same-origin") and not followed:
            raise Refusal("only the desk's own page may ask", status=403)
        if self.door.key and not self._has_key(scope, headers):
            raise Refusal("open the whole address that the desk printed, with its key", status=403)
        if scope["method"] == "POST":
            if not _same(headers.get(TOKEN, b"").decode("latin-1"), self.door.token):
                raise Refusal("the page is of an earlier desk; load it anew", status=403)
            kind = headers.get(b"content-type", b"").partition(b";")[0].strip().lower()
            if kind != b"application/json":
                raise Refusal("the desk takes application/json", status=415)

    def _has_key(self, scope: Scope, headers: dict[bytes, bytes]) -> bool:
        """The key as a cookie, or in the address that opens the page."""
        if scope["method"] == "GET" and scope["path"] == "/":
            given = scope["query_string"].decode("latin-1").removeprefix("key=")
            if _same(given, self.door.key):
                return True
        try:
            cookies = SimpleCookie(headers.get(b"cookie", b"").decode("latin-1"))
        except CookieError:
            return False
        return COOKIE in cookies and _same(cookies[COOKIE].value, self.door.key)

    def _declared(self, scope: Scope) -> int | None:
        """How long the body says it is; None where it does not."""
        for name, value in scope["headers"]:
            if name == b"content-length":
                if not value.isdigit() or len(value) > 12 or int(value) > MOST_BODY:
                    raise _too_large()
                return int(value)
        return None


def _same(given: str, wanted: str) -> bool:
    return hmac.compare_digest(given.encode(), wanted.encode())


def _too_large() -> Refusal:
    return Refusal(
        f"that is more than {MOST_BODY // 1_000_000} megabytes; a tune is much smaller", status=413
    )


async def _body(receive: Receive) -> bytes:
    """All of the body; Refusal where it is too long or too slow, or its sender has gone."""
    parts: list[bytes] = []
    size = 0
    try:
        async with asyncio.timeout(BODY_SECONDS):
            while True:
                message = await receive()
                if message["type"] == "http.disconnect":
                    raise Refusal("the connection was closed")
                part = message.get("body", b"")
                size += len(part)
                if size > MOST_BODY:
                    raise _too_large()
                parts.append(part)
                if not message.get("more_body", False):
                    return b"".join(parts)
    except TimeoutError:
        raise Refusal("the request took too long to arrive; try again", status=408) from None


def _again(body: bytes, receive: Receive) -> Receive:
    """Gives the body once, then whatever else comes: that the page has gone away."""
    given = False

    async def once() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return once


def _with_headers(send: Send) -> Send:
    async def guarded(message: Message) -> None:
        if message["type"] == "http.response.start":
            message["headers"] = [*message.get("headers", ()), *_HEADERS]
        await send(message)

    return guarded


async def _answer(refusal: Refusal, send: Send) -> None:
    body = json.dumps(refusal.as_json()).encode()
    headers = [
        (b"content-type", b"application/json"),
        (b"content-length", str(len(body)).encode()),
        (b"connection", b"close"),
    ]
    await send({"type": "http.response.start", "status": refusal.status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
