"""The proof under a clock, a stop and an ear for progress: nothing false is said, by what brute
force finds."""

import threading
from dataclasses import replace

import pytest

from solver.search import search
from solver.watch import OutOfTime, Standing, Stopped, Watch
from tests.solver.brute import Page
from tests.solver.conditioned import Conditioned, tiny_conditioned


def conditioned(count: int, first: int) -> list[tuple[Conditioned, int]]:
    """Cases with what their best costs, where there is one."""
    found, seed = [], first
    while len(found) < count:
        asked = tiny_conditioned(seed)
        seed += 1
        told = Page(asked.book, asked.case.tune).best(asked.conditions)
        if told is not None:
            found.append((asked, told.cost))
    return found


@pytest.fixture(scope="module")
def cases() -> list[tuple[Conditioned, int]]:
    return conditioned(6, 8_000)


def honest(asked: Conditioned, true: int, watch: Watch) -> str:
    """Searches under the watch; what came of it."""
    try:
        answer = search(*asked.case.asked, asked.conditions, watch=watch)
    except (OutOfTime, Stopped) as error:
        return type(error).__name__
    assert answer.bound <= true <= answer.cost
    if answer.optimal:
        assert answer.bound == answer.cost
    return "proven" if answer.optimal else "best so far"


@pytest.mark.parametrize("seconds", [0.0, 0.003, 0.01, 0.03])
def test_in_hardly_any_time_nothing_false_is_said(cases, seconds: float) -> None:
    ends = {honest(asked, true, Watch(seconds)) for asked, true in cases}
    assert ends <= {"proven", "best so far", "OutOfTime"}
    if not seconds:
        assert ends == {"OutOfTime"}


def test_cancelled_from_another_thread_in_the_first_millisecond(cases) -> None:
    ends = set()
    for asked, true in cases[:4]:
        watch = Watch(30.0)
        timer = threading.Timer(0.001, watch.stop.now)
        timer.start()
        ends.add(honest(asked, true, watch))
        timer.join()
    assert "Stopped" in ends
    assert ends <= {"proven", "best so far", "Stopped"}


def test_cancelled_wherever_progress_is_told(cases) -> None:
    """At some of the standings: an answer that is honest, or one sentence."""
    ends = set()
    for asked, true in cases:
        told: list[Standing] = []
        honest(asked, true, Watch(30.0, told.append))
        for last in range(0, len(told), 1 + len(told) // 3):
            watch, heard = Watch(30.0), []

            def tell(standing: Standing, last=last, watch=watch, heard=heard) -> None:
                heard.append(standing)
                if len(heard) > last:
                    watch.stop.now()

            watch.tell = tell
            end = honest(asked, true, watch)
            ends.add(end)
            assert len(heard) == last + 1, "nothing goes on after it was stopped"
            if heard[-1].best is not None:
                assert end != "Stopped", "an answer that was met is handed over"
    assert {"Stopped", "best so far"} <= ends


def test_out_of_time_after_an_answer_was_met_hands_it_over(cases, monkeypatch) -> None:
    """The clock is turned on as soon as a standing has an answer."""
    ends = set()
    for asked, true in cases:
        watch = Watch(30.0)

        def tell(standing: Standing, watch=watch) -> None:
            if standing.best is not None:
                watch.begun = -1e9

        watch.tell = tell
        ends.add(honest(asked, true, watch))
    assert ends <= {"best so far", "proven"}
    assert "best so far" in ends


def test_standings_only_get_better(cases) -> None:
    """But for the costliest moment, which is searched in several turns."""
    for asked, true in cases:
        told: list[Standing] = []
        plain = replace(asked.conditions, costliest=None)
        answer = search(*asked.case.asked, plain, watch=Watch(30.0, told.append))
        if plain == asked.conditions:
            assert answer.cost == true
        bounds = [s.bound for s in told if s.bound is not None]
        bests = [s.best for s in told if s.best is not None]
        assert bounds == sorted(bounds)
        assert bests == sorted(bests, reverse=True)
        assert all(bound <= answer.cost for bound in bounds)
        assert all(best >= answer.cost for best in bests)
        assert all(s.gap == s.best - s.bound for s in told if s.gap is not None)
