"""Requests to a desk without a socket, through its whole application."""

import asyncio
import json
from pathlib import Path
from typing import Any

import httpx

from undersong.desk.app import Desk, make_app
from undersong.desk.guard import Door
from undersong.desk.keeping import Keeping
from undersong.desk.work import Work, work_out

HOST = "127.0.0.1:8474"
TOKEN = "a-token"


class Asking:
    """A desk that keeps its works in that folder. All requests of one call run in one loop."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def all(self, *requests: tuple[str, str, Any]) -> list[httpx.Response]:
        """The answers to (method, path, body) each, in turn; body: bytes as they are."""

        async def ask() -> list[httpx.Response]:
            desk = Desk(Door(frozenset({HOST}), TOKEN), Keeping(self.folder))
            transport = httpx.ASGITransport(make_app(desk), raise_app_exceptions=False)
            headers = {"Undersong-Token": TOKEN, "Content-Type": "application/json"}
            async with httpx.AsyncClient(
                transport=transport, base_url=f"http://{HOST}", headers=headers, timeout=120
            ) as client:
                found = []
                for method, path, body in requests:
                    content = body if isinstance(body, bytes | type(None)) else json.dumps(body)
                    found.append(await client.request(method, path, content=content))
                return found

        return asyncio.run(ask())

    def get(self, path: str) -> httpx.Response:
        return self.all(("GET", path, None))[0]

    def post(self, path: str, body: Any) -> httpx.Response:
        return self.all(("POST", path, body))[0]

    def last(self, path: str, body: Any) -> Any:
        """The JSON of the last line."""
        answer = self.post(path, body)
        assert answer.status_code == 200, answer.text
        return json.loads(answer.text.splitlines()[-1])

    def arranged(self, work: Work, before: str | None = None) -> Any:
        """The answer to that work."""
        asked = {"work": work_out(work), "before": before, "seconds": 60, "width": 190}
        last = self.last("/arrange", asked)
        assert "answer" in last, last
        return last["answer"]
