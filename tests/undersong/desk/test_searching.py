"""Searches for the page: told line by line, stopped when nobody listens, limited in number."""

import asyncio
import json
import threading
import time
from collections.abc import Callable
from typing import Any

import pytest

from solver.errors import ArrangeError
from solver.watch import Standing, Watch
from undersong.desk import searching
from undersong.desk.limits import SEARCHES, WAITING
from undersong.desk.refused import Refusal
from undersong.desk.searching import Searches


def told(job: Callable[[Watch], dict[str, Any]], seconds: float = 5.0) -> list[dict[str, Any]]:
    """Every line of one search."""

    async def all_of_it() -> list[dict[str, Any]]:
        searches = Searches(lambda: None)
        return [json.loads(line) async for line in searches.lines(job, seconds)]

    return asyncio.run(all_of_it())


def test_how_it_stands_then_what_it_gave() -> None:
    def job(watch: Watch) -> dict[str, Any]:
        watch.look(Standing("weighing", 3, 8, bound=100, best=120))
        return {"answer": 7}

    standing = {
        "stage": "weighing",
        "done": 3,
        "total": 8,
        "bound": 100,
        "best": 120,
        "unit": "bar",
        "gap": 20,
    }
    assert told(job) == [{"standing": standing}, {"answer": 7}]


def test_a_refusal_is_the_last_line() -> None:
    def job(watch: Watch) -> dict[str, Any]:
        raise Refusal("there is no such capo", "capo")

    assert told(job)[-1]["refused"] == {
        "sentence": "there is no such capo", "field": "capo", "line": None, "column": None,
    }  # fmt: skip


def test_a_sentence_of_the_rooms_is_a_refusal() -> None:
    def job(watch: Watch) -> dict[str, Any]:
        raise ArrangeError("bar 3 has no beat 9")

    assert told(job)[-1]["refused"]["sentence"] == "bar 3 has no beat 9"


def test_a_fault_of_ours_shows_no_inside(caplog: pytest.LogCaptureFixture) -> None:
    def job(watch: Watch) -> dict[str, Any]:
        raise KeyError("secret")

    last = told(job)[-1]
    assert "secret" not in json.dumps(last)
    assert last["failed"]["sentence"]
    assert "secret" in caplog.text


def test_out_of_time_is_told() -> None:
    def job(watch: Watch) -> dict[str, Any]:
        while True:
            watch.look()
            time.sleep(0.01)

    assert "0.1 s were not enough" in told(job, 0.1)[-1]["failed"]["sentence"]


def test_the_search_stops_when_nobody_listens() -> None:
    stopped = threading.Event()

    def job(watch: Watch) -> dict[str, Any]:
        while not watch.stop.stopped:
            watch.look(Standing("weighing", 0, 1))
            time.sleep(0.01)
        stopped.set()
        return {}

    async def leave() -> None:
        lines = Searches(lambda: None).lines(job, 30.0)
        await anext(lines)
        await lines.aclose()
        await asyncio.to_thread(stopped.wait, 5.0)

    asyncio.run(leave())
    assert stopped.is_set()


def test_no_more_run_than_may_and_no_more_wait() -> None:
    running: list[int] = []
    most: list[int] = []
    go_on = threading.Event()
    lock = threading.Lock()

    def job(watch: Watch) -> dict[str, Any]:
        with lock:
            running.append(1)
            most.append(len(running))
        go_on.wait(5.0)
        with lock:
            running.pop()
        return {"answer": 1}

    async def crowd() -> list[Any]:
        searches = Searches(lambda: None)

        async def one() -> Any:
            try:
                searches.admit()
            except Refusal as refusal:
                return refusal.status
            return [json.loads(line) async for line in searches.lines(job, 20.0)][-1]

        tasks = []
        for _ in range(SEARCHES + WAITING + 3):
            tasks.append(asyncio.create_task(one()))
            await asyncio.sleep(0.01)
        go_on.set()
        return await asyncio.gather(*tasks)

    found = asyncio.run(crowd())
    assert max(most) == SEARCHES
    assert found.count(503) == 3
    assert found.count({"answer": 1}) == SEARCHES + WAITING


def test_too_much_memory_stops_a_search(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(searching, "held", lambda: 1 << 50)
    forgotten = []

    def job(watch: Watch) -> dict[str, Any]:
        while True:
            watch.look(Standing("weighing", 0, 1))
            time.sleep(0.01)

    async def all_of_it() -> list[Any]:
        searches = Searches(lambda: forgotten.append(True))
        return [json.loads(line) async for line in searches.lines(job, 20.0)]

    assert "memory" in asyncio.run(all_of_it())[-1]["failed"]["sentence"]
    assert forgotten
