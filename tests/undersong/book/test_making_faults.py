"""Books made in this process while something goes wrong: tunes that cannot be played or read, time
that ends, answers and steps that fail, a full disk, a folder or worker of another run."""

import errno
import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from solver.errors import NotFound
from solver.search import Search
from tests.undersong.book.books import FEW, abc, contents, lines_of, make, never, settings, tunes_in
from tune.tune import Tune
from undersong.book import binding
from undersong.book import one_tune as room
from undersong.book.lock import InUse, locked
from undersong.book.making import Unfinished
from undersong.book.one_tune import Made, TuneTask, one_tune
from undersong.book.state import STATE
from undersong.levels import levels_for
from undersong.session import Session, WrongAnswer
from undersong.sheet.errors import SheetError

pytestmark = pytest.mark.usefixtures("light")


def test_what_cannot_be_played_is_told_with_mends_that_were_solved(source: Path, out: Path) -> None:
    high = abc("Gate").replace('"A"E2', '"Eb"E2')
    (source / "gate.abc").write_text(high, encoding="utf-8")
    made, _ = make(source, out, settings(mends=2))
    assert [bool(entry.parts) for entry in made.entries] == [False, True, True]
    failure = made.entries[0].failures[0]
    assert "Eb cannot be played" in failure.reason
    assert len(failure.mends) == 2
    _, worked = make(source, out, settings(mends=2))
    assert worked.tasks == []


def test_what_cannot_be_played_is_not_tried_again_for_another_texture(
    monkeypatch: Any, source: Path, out: Path
) -> None:
    high = abc("Gate").replace('"A"E2', '"Eb"E2')
    (source / "gate.abc").write_text(high, encoding="utf-8")
    make(source, out)
    asked: list[str] = []
    answered = room.answered

    def counted(tune: Tune, asking: Any, *rest: Any) -> Any:
        asked.append(asking.name)
        return answered(tune, asking, *rest)

    monkeypatch.setattr(room, "answered", counted)
    made, _ = make(source, out, settings("song", "drone"))
    assert asked == ["drone"] * 3
    assert "Eb cannot be played" in made.entries[0].failures[0].reason


def test_a_tune_that_cannot_be_read_is_told_with_its_line_wherever_that_is_now(
    tmp_path: Path, out: Path
) -> None:
    file = tmp_path / "all.abc"
    bad = abc("Gate", 2).replace('"D"D3', '"D"D3>|')
    file.write_text(f"{abc('Lamp')}\n{bad}", encoding="utf-8")
    made, _ = make(file, out)
    assert "line 15" in made.entries[1].failures[0].reason
    file.write_text(f"{abc('Lamp')}\n\n\n{bad}", encoding="utf-8")
    made, worked = make(file, out)
    assert "line 17" in made.entries[1].failures[0].reason
    assert worked.titles == ["Gate"]


def test_the_time_of_one_tune_ends_and_more_time_tries_that_again(source: Path, out: Path) -> None:
    asked = settings(seconds=1e-6)
    made, _ = make(source, out, asked)
    assert all(entry.out_of_time for entry in made.entries)
    assert "not enough" in made.entries[0].failures[0].reason
    _, worked = make(source, out, asked)
    assert worked.tasks == []
    made, worked = make(source, out, settings(seconds=60.0))
    assert len(worked.tasks) == 3
    assert all(entry.proven for entry in made.entries)
    _, worked = make(source, out, settings(seconds=30.0))
    assert worked.tasks == []  # what is proven does not hang on the limit


def test_an_answer_that_fails_its_check_is_a_failure(
    monkeypatch: Any, source: Path, out: Path
) -> None:
    def wrong(*_: object, **__: object) -> None:
        raise WrongAnswer(("no string sounds",))

    monkeypatch.setattr(Session, "arrange", wrong)
    made, _ = make(source, out)
    assert "failed its check: no string sounds" in made.entries[0].failures[0].reason
    assert made.entries[0].failures[0].ours


def test_a_fault_of_ours_is_told_and_tried_again(monkeypatch: Any, source: Path, out: Path) -> None:
    with monkeypatch.context() as patched:
        patched.setattr(Session, "arrange", never)
        made, _ = make(source, out)
    assert "please report it" in made.entries[0].failures[0].reason
    assert all(entry.ours for entry in made.entries)
    made, worked = make(source, out)
    assert len(worked.tasks) == 3
    assert not any(entry.failures for entry in made.entries)


def test_what_is_not_kept_is_not_told_as_finished(
    monkeypatch: Any, source: Path, out: Path
) -> None:
    with monkeypatch.context() as patched:
        patched.setattr(Session, "arrange", never)
        with pytest.raises(Unfinished, match="0 of 3 tunes are finished and kept"):
            make(source, out, ends=2)
    assert not (out / STATE).exists()


@pytest.mark.parametrize("broken", ["part_of", "_told", "_read_back", "_drawn", "names_a_line"])
def test_a_fault_in_any_step_of_one_tune_is_told_and_stops_no_other(
    monkeypatch: Any, source: Path, out: Path, broken: str
) -> None:
    """Whatever step of Gate's goes wrong, the book is made, and the next run tries that again."""
    real = getattr(room, broken)
    if broken == "_read_back":  # what is kept is read only where pages are drawn anew
        make(source, out)
        (out / "parts" / "gate.pdf").unlink()
    making: list[str] = []
    begin = room._made

    def noting(tune: Tune, task: TuneTask) -> Made:
        making.append(tune.title)
        return begin(tune, task)

    def breaks(*given: Any) -> Any:
        if making[-1] == "Gate":
            raise LookupError("no such place")
        return real(*given)

    with monkeypatch.context() as patched:
        patched.setattr(room, "_made", noting)
        patched.setattr(room, broken, breaks)
        made, _ = make(source, out)
    assert [entry.ours for entry in made.entries] == [True, False, False]
    (failure,) = made.entries[0].failures
    assert "a fault of this program (LookupError: no such place); please" in failure.reason
    again, worked = make(source, out)
    assert worked.titles == ["Gate"]
    assert not any(entry.failures for entry in again.entries)


def test_a_fault_in_one_texture_leaves_the_others(
    monkeypatch: Any, source: Path, out: Path
) -> None:
    real = room._told

    def breaks(result: Any, asking: Any, *more: Any) -> Any:
        if asking.name == "song":
            raise LookupError("no such place")
        return real(result, asking, *more)

    monkeypatch.setattr(room, "_told", breaks)
    made, _ = make(source, out, settings("song", "drone"))
    for entry in made.entries:
        assert [part.texture for part in entry.parts] == ["drone"]
        assert [(failure.texture, failure.ours) for failure in entry.failures] == [("song", True)]


def test_levels_that_the_time_took_say_so(monkeypatch: Any, tmp_path: Path, out: Path) -> None:
    """Where there was no time at all each level says it; where one level was not found and not
    proven impossible, that level does."""
    source = tunes_in(tmp_path / "one", FEW[:1])
    asked = settings(mends=0)
    asking = replace(asked.askings[0], levels=levels_for("song")[:2])
    asked = replace(asked, askings=(asking,))
    made, _ = make(source, out, replace(asked, seconds=1e-6))
    found = [(each.level, each.out_of_time) for each in made.entries[0].failures]
    assert found == [(1, True), (2, True)]
    assert "not enough" in made.entries[0].failures[0].reason

    def losing(real: Any) -> Any:
        def lost(self: Search, *given: Any, **named: Any) -> Any:
            if given[1].limits.fingers == 2:  # that level alone has so few
                raise NotFound("no arrangement was found, nor is it proven that there is none")
            return real(self, *given, **named)

        return lost

    for way in ("cheapest", "solve"):  # the level's own search, and what asks why
        monkeypatch.setattr(Search, way, losing(getattr(Search, way)))
    made, worked = make(source, out, asked)
    assert [part.level for part in made.entries[0].parts] == [2]
    (failure,) = made.entries[0].failures
    assert (failure.level, failure.out_of_time, failure.ours) == (1, True, False)
    assert not made.entries[0].proven
    _, worked = make(source, out, replace(asked, seconds=90.0))
    assert len(worked.tasks) == 1  # more time might do
    assert not worked.tasks[0].kept


def test_a_full_disk_ends_the_run_in_a_sentence_and_loses_nothing(
    monkeypatch: Any, source: Path, out: Path, tmp_path: Path
) -> None:
    make(source, tmp_path / "undisturbed")
    sync, count = os.fsync, [0]

    def full(number: int) -> None:
        count[0] += 1
        if count[0] > 4:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        sync(number)

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        with pytest.raises(Unfinished, match=r"No space left on device.*1 of 3 tunes are finished"):
            make(source, out)
    assert len(lines_of(out)) == 1
    _, worked = make(source, out)
    assert len(worked.tasks) == 2
    assert contents(out) == contents(tmp_path / "undisturbed")


def test_a_full_disk_while_binding_keeps_every_tune(
    monkeypatch: Any, source: Path, out: Path
) -> None:
    with monkeypatch.context() as patched:
        patched.setattr(binding, "bind", _full)
        with pytest.raises((SheetError, Unfinished), match="no room"):
            make(source, out)
    _, worked = make(source, out)
    assert worked.tasks == []


def test_a_second_run_in_the_folder_is_refused(source: Path, out: Path) -> None:
    make(source, out)
    before = contents(out)
    with locked(out), pytest.raises(InUse, match=f"process {os.getpid()}"):
        make(source, out)
    make(source, out)
    assert contents(out) == before


def test_a_worker_of_another_program_is_refused(source: Path) -> None:
    from tests.undersong.book.books import found

    task = TuneTask(found(source, source / "x", settings()).sources[0], settings(), "another")
    with pytest.raises(room.OtherProgram):
        one_tune(task)


def _full(*_: object) -> None:
    raise SheetError("no room")
