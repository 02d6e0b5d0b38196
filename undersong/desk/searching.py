"""Searches for the page: each in a thread, told about line by line, stopped when the page lets go.

Public: Searches, Job, OUR_FAULT.
"""

import asyncio
import json
import logging
import threading
from collections.abc import AsyncIterator, Callable
from contextlib import suppress
from dataclasses import asdict
from typing import Any

from solver.watch import OutOfTime, Standing, Stopped, Watch
from undersong.desk.limits import MOST_MEMORY, SEARCHES, SECONDS, WAITING
from undersong.desk.memory import held
from undersong.desk.refused import Refusal, refusal_of

log = logging.getLogger("undersong.desk")

Job = Callable[[Watch], dict[str, Any]]
"""A search: gives the last line, and raises what the rooms raise."""

BETWEEN = 0.1
"""Seconds between two lines that say how it stands."""

OUR_FAULT = (
    "the desk made a mistake of its own, which is told where it was started; please report it"
)

TOO_MUCH = "the search took too much memory and was stopped; ask for less, or for a shorter tune"


class Searches:
    """forget: called where memory runs short, to let go of what can be made anew."""

    def __init__(self, forget: Callable[[], None]) -> None:
        self._forget = forget
        self._turns = asyncio.Semaphore(SEARCHES)
        self._waiting = 0
        self._running: list[Watch] = []

    def admit(self) -> None:
        """Refusal where too many wait already."""
        if self._waiting >= WAITING:
            raise Refusal("the desk is busy with other searches; stop one of them", status=503)

    async def lines(self, job: Job, seconds: float) -> AsyncIterator[bytes]:
        """How the search stands, then what it gave, one JSON value a line. When nobody reads on,
        the search is stopped."""
        self._waiting += 1
        try:
            await self._turns.acquire()
        finally:
            self._waiting -= 1
        loop, told = asyncio.get_running_loop(), asyncio.Queue[dict[str, Any] | None]()

        def hand_over(value: dict[str, Any] | None) -> None:
            if not loop.is_closed():
                loop.call_soon_threadsafe(told.put_nowait, value)

        watch = Watch(seconds=min(seconds, SECONDS))
        too_large = threading.Event()
        watch.tell = _teller(watch, hand_over, too_large)
        self._running.append(watch)

        def run() -> None:
            try:
                hand_over(self._outcome(job, watch, too_large))
            finally:
                hand_over(None)
                if not loop.is_closed():
                    loop.call_soon_threadsafe(self._ended, watch)

        threading.Thread(target=run, name="search", daemon=True).start()
        try:
            while (value := await told.get()) is not None:
                yield json.dumps(value).encode() + b"\n"
        finally:
            watch.stop.now()

    def stop_all(self) -> None:
        for watch in self._running:
            watch.stop.now()

    def _ended(self, watch: Watch) -> None:
        """The next may begin only when this one's thread is done, not when its page has gone."""
        self._running.remove(watch)
        self._turns.release()

    def _outcome(self, job: Job, watch: Watch, too_large: threading.Event) -> dict[str, Any]:
        try:
            return job(watch)
        except (OutOfTime, Stopped) as error:
            if not too_large.is_set():
                return {"failed": {"sentence": str(error)}}
            self._forget()
            return {"failed": {"sentence": TOO_MUCH}}
        except Exception as error:
            return _refused(error)


def _refused(error: Exception) -> dict[str, Any]:
    """A sentence of the rooms' own as it is; all else is a fault of ours, told where the desk was
    started."""
    if isinstance(error, ValueError):
        with suppress(ValueError):
            return refusal_of(error).as_json()
    log.error("a search failed", exc_info=error)
    return {"failed": {"sentence": OUR_FAULT}}


def _teller(
    watch: Watch, hand_over: Callable[[dict[str, Any]], None], too_large: threading.Event
) -> Callable[[Standing], None]:
    """Hands on how the search stands, now and then; memory is looked at then too, and a search
    that goes beyond it is stopped."""
    next_time = 0.0

    def tell(standing: Standing) -> None:
        nonlocal next_time
        spent = watch.seconds - watch.left
        if spent < next_time:
            return
        next_time = spent + BETWEEN
        if held() > MOST_MEMORY:
            too_large.set()
            watch.stop.now()
        hand_over({"standing": _standing(standing)})

    return tell


def _standing(at: Standing) -> dict[str, Any]:
    return {**asdict(at), "gap": at.gap}
