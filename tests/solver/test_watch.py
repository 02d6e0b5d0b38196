"""The watch: the clock, who is told, and who may stop."""

import threading

import pytest

import solver.watch as watching
from solver.errors import ArrangeError
from solver.watch import OutOfTime, Standing, Stopped, Watch


class Clock:
    """Stands for the clock."""

    def __init__(self) -> None:
        self.now = 100.0

    def perf_counter(self) -> float:
        return self.now


@pytest.fixture
def clock(monkeypatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(watching.time, "perf_counter", clock.perf_counter)
    return clock


STANDING = Standing("proving", 3, 8, bound=100, best=120)


def test_time_runs_from_when_the_watch_was_made(clock: Clock) -> None:
    watch = Watch(5.0, begun=clock.now)
    assert watch.left == 5.0
    clock.now += 3.5
    assert watch.left == 1.5
    watch.look()
    clock.now += 3.5
    assert watch.left == 0.0
    with pytest.raises(OutOfTime) as ended:
        watch.look(STANDING)
    assert str(ended.value) == (
        "5 s were not enough to find any arrangement; allow more time, or ask for less"
    )


@pytest.mark.parametrize("seconds", [0.0, -1.0])
def test_no_time_at_all(seconds: float) -> None:
    with pytest.raises(OutOfTime):
        Watch(seconds).look()


def test_it_tells_what_it_is_told_in_order_and_nothing_when_there_is_nothing() -> None:
    heard: list[Standing] = []
    watch = Watch(60.0, heard.append)
    watch.look(STANDING)
    watch.look()
    watch.look(Standing("weighing", 0, 8))
    assert [standing.stage for standing in heard] == ["proving", "weighing"]


def test_stopped_comes_before_out_of_time_and_nobody_is_told() -> None:
    heard: list[Standing] = []
    watch = Watch(0.0, heard.append)
    watch.stop.now()
    with pytest.raises(Stopped, match=r"^the search was stopped$"):
        watch.look(STANDING)
    assert heard == []


def test_it_may_be_stopped_from_another_thread_and_more_than_once() -> None:
    watch = Watch()
    watch.look()
    threads = [threading.Thread(target=watch.stop.now) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with pytest.raises(Stopped):
        watch.look()


def test_each_watch_has_a_stop_of_its_own() -> None:
    one, other = Watch(), Watch()
    one.stop.now()
    other.look()


def test_a_listener_that_raises_ends_the_search() -> None:
    class Enough(Exception):  # noqa: N818
        pass

    def tell(_: Standing) -> None:
        raise Enough

    with pytest.raises(Enough):
        Watch(60.0, tell).look(STANDING)


def test_both_ends_are_answers_to_the_caller_not_faults() -> None:
    assert issubclass(OutOfTime, ArrangeError)
    assert issubclass(Stopped, ArrangeError)


@pytest.mark.parametrize(
    ("bound", "best", "gap"),
    [(100, 120, 20), (100, 100, 0), (100, 99, 0), (None, 100, None), (100, None, None)],
)
def test_the_gap_is_what_the_best_may_be_above_the_best_there_is(bound, best, gap) -> None:
    assert Standing("proving", 1, 2, bound, best).gap == gap


def test_a_solver_that_is_at_work_is_told_to_stop() -> None:
    """And one that begins afterwards has no time at all (``test_model``)."""

    class Solver:
        told = 0

        def stop_search(self) -> None:
            self.told += 1

    watch, solver = Watch(), Solver()
    watch.stop.watch(solver)  # type: ignore[arg-type]
    watch.stop.now()
    assert solver.told == 1
    watch.stop.watch(None)
    watch.stop.now()
    assert solver.told == 1
