"""The workers of a book: processes of this machine, or those of a Dask scheduler somewhere.

Public: Workers, hired, Died, NoWorkers.
"""

import logging
import os
import queue
import signal
import time
import warnings
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from typing import Any

from undersong.book.one_tune import Made, OtherProgram, TuneTask, one_tune
from undersong.processes import deaf

DEATHS = 3
"""So often a local worker may die over one tune before that is given up."""

PATIENCE = 20.0
"""Seconds without any worker, or without the scheduler, after which a run ends."""


class NoWorkers(RuntimeError):  # noqa: N818  what there is not
    """There is nobody to do the work, or nobody who can; one sentence."""


@dataclass(frozen=True)
class Died:
    """The workers that took up a tune died over it."""


class Workers:
    """client: connected; busy: how many tunes are given out at once; scheduler: its address as
    typed, empty for processes of our own; do: what a worker does with a task."""

    def __init__(
        self, client: Any, busy: int, scheduler: str, do: Callable[[TuneTask], Made] = one_tune
    ) -> None:
        self.client, self.busy, self.scheduler, self.do = client, busy, scheduler, do
        self._out: dict[str, tuple[int, Any]] = {}
        self._back: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._given = 0
        self._missed = 0.0

    def work(self, tasks: Iterator[tuple[int, TuneTask]]) -> Iterator[tuple[int, Made | Died]]:
        """What came of each task, with its number, in the order in which they end. No more are
        taken from ``tasks`` than are given out. Raises NoWorkers."""
        for number, task in tasks:
            self._give(number, task)
            while len(self._out) >= self.busy:
                yield self._next()
        while self._out:
            yield self._next()

    def _give(self, number: int, task: TuneTask) -> None:
        self._given += 1
        key = f"tune-{self._given}-{time.monotonic_ns()}"
        with warnings.catch_warnings(), self._reached():
            warnings.filterwarnings("ignore", "Sending large graph", UserWarning)
            future = self.client.submit(self.do, task, key=key, pure=False)
        self._wait_for(future, number)

    def _next(self) -> tuple[int, Made | Died]:
        from distributed.scheduler import KilledWorker

        number, future = self._ended()
        while future.status == "finished":
            made = self._made(future)
            if made is not None:
                return number, made
            if future.status == "error":
                break
            self._wait_for(future, number)
            number, future = self._ended()
        if future.status != "error":
            raise NoWorkers(self._gone)
        with self._reached():
            error = future.exception(timeout=PATIENCE)
        future.release()
        if isinstance(error, KilledWorker):
            return number, Died()
        if isinstance(error, OtherProgram):
            raise NoWorkers(f"{error}; let all have the same, and start again")
        raise NoWorkers(
            f"a worker cannot do the work ({_words(error)}); is Undersong installed there?"
        )

    def _made(self, future: Any) -> Made | None:
        """What came of a tune; None where its worker died before that could be fetched: it is made
        anew, which may take long, or fails then."""
        with self._reached():
            try:
                made = self._fetched(future)
            except Exception as error:
                again = isinstance(error, TimeoutError) and future.status != "finished"
                if again or future.status == "error":
                    return None
                raise
        future.release()
        return made

    def _fetched(self, future: Any) -> Made:
        """A result that was lost and made anew while it was asked for comes when it is asked for
        once more; Dask does not hear of it otherwise."""
        try:
            made: Made = future.result(timeout=PATIENCE)
        except TimeoutError:
            if future.status != "finished":
                raise
            made = future.result(timeout=PATIENCE)
        return made

    def _ended(self) -> tuple[int, Any]:
        """The next that has ended, with its number, and is not being made anew since its worker
        died."""
        while True:
            try:
                key = self._back.get(timeout=1.0)
            except queue.Empty:
                self._look()
                continue
            self._missed = 0.0
            number, future = self._out.pop(key)
            if future.status not in ("lost", "pending"):
                return number, future
            self._wait_for(future, number)

    def _wait_for(self, future: Any, number: int) -> None:
        self._out[future.key] = number, future
        future.add_done_callback(lambda done: self._back.put(str(done.key)))

    def _look(self) -> None:
        """Raises NoWorkers where scheduler or workers have been gone for long."""
        there = False
        if self.client.status == "running":
            with suppress(Exception):
                there = bool(self.client.scheduler_info(n_workers=-1)["workers"])
        elif self.client.status == "closed":
            raise NoWorkers(self._gone)
        if there:
            self._missed = 0.0
        elif not self._missed:
            self._missed = time.monotonic()
        elif time.monotonic() - self._missed > PATIENCE:
            raise NoWorkers(self._gone)

    @contextmanager
    def _reached(self) -> Iterator[None]:
        """Says in a sentence that the scheduler cannot be reached, or what else is wrong with what
        comes from there."""
        from asyncio import CancelledError as Cancelled

        try:
            yield
        except (OSError, Cancelled):
            raise NoWorkers(self._gone) from None
        except RuntimeError as error:
            if self.client.status != "running":
                raise NoWorkers(self._gone) from None
            raise NoWorkers(f"the work cannot be handed over ({_words(error)})") from None

    @property
    def _gone(self) -> str:
        return (
            f"the scheduler at {self.scheduler} or its workers are gone"
            if self.scheduler
            else "the worker processes are gone"
        )


def _words(error: BaseException) -> str:
    """What went wrong, in one line."""
    return " ".join(f"{type(error).__name__}: {error}".split())


def _settings() -> dict[str, object]:
    """Dask's: nothing that watches the work all the time and costs some of it, and no page that
    shows it."""
    return {
        "distributed.scheduler.allowed-failures": DEATHS - 1,
        "distributed.scheduler.worker-saturation": 1.0,  # a tune waits where none dies of it
        "distributed.comm.timeouts.connect": f"{PATIENCE:g}s",
        "distributed.scheduler.http.routes": [],
        "distributed.worker.http.routes": [],
        "distributed.worker.profile.enabled": False,
        "distributed.admin.tick.interval": "500ms",
        "distributed.admin.system-monitor.interval": "5s",
        "distributed.admin.system-monitor.disk": False,
        "distributed.admin.system-monitor.gil.enabled": False,
    }


@contextmanager
def hired(workers: int, scheduler: str) -> Iterator[Workers]:
    """workers: so many processes of this machine, let go at the end; scheduler: the address of one
    that runs, whose workers are taken instead, or nothing. Raises NoWorkers."""
    import dask

    with ExitStack() as open_here:
        library = open_here.enter_context(_library())
        open_here.enter_context(dask.config.set(_settings()))
        try:
            if scheduler:
                client = library.Client(scheduler, timeout=PATIENCE, set_as_default=False)
            else:
                with deaf():
                    cluster = library.LocalCluster(
                        n_workers=workers,
                        threads_per_worker=1,
                        processes=True,
                        dashboard_address=None,
                        scheduler_kwargs={"dashboard_address": "127.0.0.1:0"},  # any free port
                        host="127.0.0.1",
                        memory_limit=None,  # a worker that is paused would never go on
                        silence_logs=logging.CRITICAL,
                    )
                open_here.callback(_let_go, cluster)
                client = library.Client(cluster, set_as_default=False)
        except (OSError, TimeoutError, ValueError, RuntimeError) as error:
            where = f"there is no scheduler at {scheduler}" if scheduler else "no worker starts"
            words = " ".join(str(error).split())
            raise NoWorkers(f"{where} ({words})") from None
        open_here.callback(_quietly, client.close, 2)
        yield Workers(client, 2 * _count(client, workers, scheduler), scheduler)


@contextmanager
def _library() -> Iterator[Any]:
    """Dask's distributed, most of which says nothing of its types; its own log is silent meanwhile,
    since whatever matters is told in a sentence, and says as much as before at the end."""
    import distributed

    loggers = [
        logging.getLogger(name)
        for name in list(logging.root.manager.loggerDict)
        if name.partition(".")[0] == "distributed"
    ]
    before = [logger.level for logger in loggers]
    for logger in loggers:
        logger.setLevel(logging.CRITICAL)
    try:
        yield distributed
    finally:
        for logger, level in zip(loggers, before, strict=True):
            logger.setLevel(level)


def _count(client: Any, workers: int, scheduler: str) -> int:
    """How many workers there are; waits a while for the first."""
    if not scheduler:
        return workers
    try:
        client.wait_for_workers(1, timeout=PATIENCE)
    except (OSError, TimeoutError):
        raise NoWorkers(f"the scheduler at {scheduler} has no workers; start some") from None
    return sum(each["nthreads"] for each in client.scheduler_info(n_workers=-1)["workers"].values())


def _let_go(cluster: Any) -> None:
    """Ends the processes at once, whatever they are at: nothing that they hold is needed, and
    asked politely they would finish their tunes first."""
    for nanny in list(cluster.workers.values()):
        with suppress(Exception):
            nanny.auto_restart = False
            if nanny.pid:
                os.kill(nanny.pid, getattr(signal, "SIGKILL", signal.SIGTERM))
    _quietly(cluster.close, 5)


def _quietly(close: Any, seconds: float) -> None:
    """Closes what may be gone already."""
    with suppress(Exception):
        close(timeout=seconds)
