"""Workers: real processes of this machine under Dask, that die, are refused, or are not there."""

import logging
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from undersong.book import workers as room
from undersong.book.one_tune import OtherProgram
from undersong.book.workers import Died, NoWorkers, Workers, hired


@pytest.fixture(scope="module")
def two() -> Iterator[Workers]:
    with hired(2, "") as workers:
        yield workers


def _with(workers: Workers, do: Any) -> Workers:
    return Workers(workers.client, workers.busy, workers.scheduler, do)


def _doubled(task: Any) -> Any:
    return 2 * task


def _dies_over_three(task: Any) -> Any:
    if task == 3:
        os._exit(3)
    return 2 * task


def _dies_once(task: Any) -> Any:
    flag = Path(task)
    if not flag.exists():
        flag.touch()
        os._exit(3)
    return os.getpid()


def _of_another_program(task: Any) -> Any:
    raise OtherProgram("a worker runs another version of this program")


def _fails(task: Any) -> Any:
    raise ModuleNotFoundError("no undersong here")


def _slow(task: Any) -> Any:
    time.sleep(600)


def _numbered(count: int, taken: list[int]) -> Iterator[tuple[int, Any]]:
    for number in range(count):
        taken.append(number)
        yield number, number


def test_every_task_comes_back_and_few_are_out_at_once(two: Workers) -> None:
    taken: list[int] = []
    back: dict[int, Any] = {}
    for number, made in _with(two, _doubled).work(_numbered(40, taken)):
        back[number] = made
        assert len(taken) - len(back) < two.busy
    assert back == {number: 2 * number for number in range(40)}
    assert two.busy == 4


def test_dasks_log_is_silent_while_it_works_and_says_as_much_as_before_at_the_end() -> None:
    import distributed  # noqa: F401  whose loggers these are

    logger = logging.getLogger("distributed.core")
    own = logger.level
    logger.setLevel(logging.INFO)
    try:
        with room._library():
            assert logger.level == logging.CRITICAL
        assert logger.level == logging.INFO
    finally:
        logger.setLevel(own)


def test_a_task_that_kills_its_worker_each_time_ends_and_all_others_are_done(two: Workers) -> None:
    back = dict(_with(two, _dies_over_three).work(_numbered(8, [])))
    assert back[3] == Died()
    assert {number: made for number, made in back.items() if number != 3} == {
        number: 2 * number for number in range(8) if number != 3
    }


def test_a_task_whose_worker_dies_once_is_done_by_another(two: Workers, tmp_path: Path) -> None:
    tasks: Any = [(0, str(tmp_path / "flag"))]
    ((_, made),) = _with(two, _dies_once).work(iter(tasks))
    assert isinstance(made, int)


class Fetched:
    """Stands for the result of a worker that dies before it is fetched, so many times."""

    def __init__(self, times: int, waits: bool) -> None:
        self.key, self.status, self._times, self._waits = "tune-1", "finished", times, waits

    def add_done_callback(self, called: Any) -> None:
        self.status = "finished"
        called(self)

    def result(self, timeout: float) -> str:
        if self._times:
            self._times -= 1
            self.status = "pending" if self._waits else "finished"
            raise TimeoutError
        return "made"

    def release(self) -> None:
        pass


class Lending:
    """Stands for a connection that runs."""

    status = "running"

    def __init__(self, future: Fetched) -> None:
        self.future = future

    def submit(self, *_: Any, **__: Any) -> Fetched:
        return self.future


def test_a_result_that_is_lost_more_than_once_is_waited_for_again() -> None:
    lent: Any = Lending(Fetched(2, waits=True))
    assert list(Workers(lent, 1, "").work(iter([(7, None)]))) == [(7, "made")]  # type: ignore[list-item]


def test_a_worker_that_dies_once_more_over_a_lost_result_is_told_as_dead() -> None:
    from distributed.scheduler import KilledWorker

    class Killed(Fetched):
        def result(self, timeout: float) -> str:
            self.status = "error"
            raise KilledWorker("tune-1", None, 3)

        def exception(self, timeout: float) -> Exception:
            return KilledWorker("tune-1", None, 3)

    lent: Any = Lending(Killed(0, waits=True))
    assert list(Workers(lent, 1, "").work(iter([(7, None)]))) == [(7, Died())]  # type: ignore[list-item]


def test_a_result_that_is_there_and_never_comes_ends_the_run() -> None:
    lent: Any = Lending(Fetched(1, waits=False))
    assert list(Workers(lent, 1, "").work(iter([(7, None)]))) == [(7, "made")]  # type: ignore[list-item]
    lent = Lending(Fetched(2, waits=False))
    with pytest.raises(NoWorkers, match="the worker processes are gone"):
        list(Workers(lent, 1, "").work(iter([(7, None)])))  # type: ignore[list-item]


def test_what_cannot_be_handed_over_is_told_as_it_is() -> None:
    class Refusing(Lending):
        def submit(self, *_: Any, **__: Any) -> Fetched:
            raise RuntimeError("cannot pickle this")

    lent: Any = Refusing(Fetched(0, waits=True))
    with pytest.raises(NoWorkers, match=r"handed over \(RuntimeError: cannot pickle this\)"):
        list(Workers(lent, 1, "").work(iter([(7, None)])))  # type: ignore[list-item]


@pytest.mark.parametrize(
    ("do", "told"),
    [
        (_of_another_program, "another version of this program; let all have the same"),
        (_fails, r"cannot do the work \(ModuleNotFoundError: no undersong here\)"),
    ],
)
def test_workers_that_cannot_do_it_end_the_run(two: Workers, do: Any, told: str) -> None:
    with pytest.raises(NoWorkers, match=told):
        list(_with(two, do).work(_numbered(3, [])))


def test_workers_of_a_scheduler_are_taken_and_its_end_is_told(monkeypatch: Any) -> None:
    monkeypatch.setattr(room, "PATIENCE", 3.0)
    with _cluster(1) as cluster, hired(1, cluster.scheduler_address) as workers:
        assert workers.busy == 2
        back = dict(_with(workers, _doubled).work(_numbered(5, [])))
        assert back == {number: 2 * number for number in range(5)}
        work = _with(workers, _slow).work(_numbered(3, []))
        room._let_go(cluster)
        begun = time.monotonic()
        with pytest.raises(NoWorkers, match=r"the scheduler at tcp://.* or its workers are gone"):
            next(work)
        assert time.monotonic() - begun < 40


def test_a_scheduler_without_workers_is_told(monkeypatch: Any) -> None:
    monkeypatch.setattr(room, "PATIENCE", 1.0)
    with (
        _cluster(0) as cluster,
        pytest.raises(NoWorkers, match="has no workers"),
        hired(1, cluster.scheduler_address),
    ):
        pass


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:1", "nothing", "tcp://no host:9"])
def test_no_scheduler_is_told(monkeypatch: Any, address: str) -> None:
    monkeypatch.setattr(room, "PATIENCE", 1.0)
    with pytest.raises(NoWorkers, match="there is no scheduler at"), hired(1, address):
        pass


@contextmanager
def _cluster(workers: int) -> Iterator[Any]:
    import logging

    from distributed import LocalCluster

    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    cluster = LocalCluster(
        n_workers=workers,
        threads_per_worker=1,
        dashboard_address=None,
        scheduler_kwargs={"dashboard_address": "127.0.0.1:0"},
        host="127.0.0.1",
        silence_logs=logging.CRITICAL,
    )
    try:
        yield cluster
    finally:
        room._let_go(cluster)
