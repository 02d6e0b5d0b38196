"""Books made in this process: what is kept, what is made anew, what goes wrong."""

import errno
import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from fretboard.hand import Hand
from scoring.weights import Weights
from solver.errors import NotFound
from solver.result import PROVEN, Arrangement
from solver.search import Search
from tests.undersong.book.books import (
    TUNES,
    abc,
    contents,
    lines_of,
    make,
    settings,
    tunes_in,
    with_hand,
)
from tune.tune import Tune
from undersong.book import binding
from undersong.book import one_tune as room
from undersong.book.bound import Bound
from undersong.book.entry import Entry
from undersong.book.lock import InUse, locked
from undersong.book.making import Unfinished
from undersong.book.one_tune import Made, TuneTask, one_tune
from undersong.book.settings import Settings
from undersong.book.state import STATE
from undersong.levels import levels_for
from undersong.session import Session, WrongAnswer
from undersong.sheet.document import from_json
from undersong.sheet.errors import SheetError
from undersong.sheet.write import put_file

FEW = TUNES[:3]
DRAWN = (
    "test_a_book_is_made_and_its_parts_are_what_the_entries_say",
    "test_a_run_that_is_stopped_goes_on_and_gives_the_same_bytes",
)


@pytest.fixture(autouse=True)
def light(request: Any, monkeypatch: Any) -> None:
    """Pages that cost nothing, but in the tests of ``DRAWN``."""
    if request.function.__name__ in DRAWN:
        return

    def drawn(arrangements: list[Arrangement], _: object, asked: Settings) -> bytes:
        return repr([(each.choices, asked.look) for each in arrangements]).encode()

    def bind(entries: Sequence[Entry], folder: Path, title: str, _: object) -> Bound:
        put_file(folder / "book.pdf", repr((title, entries)).encode())
        return Bound(0, {})

    monkeypatch.setattr(room, "_drawn", drawn)
    monkeypatch.setattr(room, "_pages_in", lambda _: 1)
    monkeypatch.setattr(binding, "bind", bind)


@pytest.fixture
def source(tmp_path: Path) -> Path:
    return tunes_in(tmp_path / "tunes", FEW)


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "book"


def test_a_book_is_made_and_its_parts_are_what_the_entries_say(source: Path, out: Path) -> None:
    made, worked = make(source, out, settings("song", "drone"))
    assert sorted(worked.titles) == sorted(FEW)
    assert [entry.number for entry in made.entries] == [1, 2, 3]
    for entry in made.entries:
        assert [part.texture for part in entry.parts] == ["song", "drone"]
        for part in entry.parts:
            kept = from_json((out / part.file).read_text(encoding="utf-8"))
            assert (kept.cost, kept.proof.status == PROVEN) == (part.cost, part.proven)
            assert part.tuning == "D3 A3 D4"
        assert (out / entry.pages).is_file()
    assert {"book.pdf", "summary.json", "table.csv", STATE} <= set(contents(out))


def test_nothing_is_made_twice(source: Path, out: Path) -> None:
    make(source, out)
    before = contents(out)
    made, worked = make(source, out)
    assert worked.tasks == []
    assert made.kept == 3
    assert contents(out) == before


def test_a_run_that_is_stopped_goes_on_and_gives_the_same_bytes(
    source: Path, out: Path, tmp_path: Path
) -> None:
    make(source, tmp_path / "undisturbed")
    for done in (1, 2):
        with pytest.raises(Unfinished, match=f"{done} of 3 .* same command goes on") as stopped:
            make(source, out, ends=1)
        assert stopped.value.interrupted
    _, worked = make(source, out)
    assert len(worked.tasks) == 1
    assert contents(out) == contents(tmp_path / "undisturbed")


def test_the_state_can_be_deleted(source: Path, out: Path) -> None:
    make(source, out)
    before = contents(out)
    (out / STATE).unlink()
    _, worked = make(source, out)
    assert len(worked.tasks) == 3
    assert contents(out) == before


def test_a_file_that_was_touched_or_lost_is_made_anew(source: Path, out: Path) -> None:
    made, _ = make(source, out)
    before = contents(out)
    (out / made.entries[0].pages).write_bytes(b"x")
    (out / made.entries[1].parts[0].file).unlink()
    _, worked = make(source, out)
    assert worked.titles == [entry.title for entry in made.entries[:2]]
    assert set(worked.tasks[0].kept) == {"song"}  # drawn anew, not solved
    assert set(worked.tasks[1].kept) == set()
    assert contents(out) == before


def test_a_torn_line_and_half_a_file_are_passed_over(source: Path, out: Path) -> None:
    make(source, out)
    before = contents(out)
    lines = lines_of(out)
    (out / STATE).write_text("\n".join([*lines[:2], lines[2][:40]]), encoding="utf-8")
    (out / "parts" / f".lamp.pdf.{'0' * 12}.part").write_bytes(b"half")
    _, worked = make(source, out)
    assert len(worked.tasks) == 1
    assert contents(out) == before


def test_a_tune_that_changes_is_made_anew_alone(source: Path, out: Path) -> None:
    make(source, out)
    file = source / "gate.abc"
    file.write_text(abc("Gate").replace("E2 A", "E E A"), encoding="utf-8")
    _, worked = make(source, out)
    assert worked.titles == ["Gate"]


def test_one_more_tune_in_the_file_is_made_alone(tmp_path: Path, out: Path) -> None:
    file = tmp_path / "all.abc"
    own = [abc(t, n) for n, t in enumerate(FEW, 1)]
    own[1] = own[1].replace('"D"', '"D"!sign!', 1)  # whose reader has a notice
    file.write_text("\n".join(own), encoding="utf-8")
    first, _ = make(file, out)
    assert [bool(entry.notices) for entry in first.entries] == [False, True, False]
    more = [abc("Hedge", 9), *own]
    file.write_text("\n".join(more), encoding="utf-8")
    made, worked = make(file, out)
    assert worked.titles == ["Hedge"]
    assert [entry.title for entry in made.entries] == ["Hedge", *FEW]
    assert [entry.number for entry in made.entries] == [1, 2, 3, 4]


def test_conditions_beside_a_tune_change_that_tune_alone(source: Path, out: Path) -> None:
    make(source, out)
    (source / "lamp.conditions.toml").write_text('forbid = "all: finger P"\n', encoding="utf-8")
    _, worked = make(source, out)
    assert worked.titles == ["Lamp"]


def test_another_weight_or_hand_changes_every_tune(source: Path, out: Path) -> None:
    make(source, out)
    for asked in (
        with_hand(settings(), "small"),
        settings(weights=Weights.of({"stretch": 99})),
        settings(chords="drone"),
    ):
        _, worked = make(source, out, asked)
        assert len(worked.tasks) == 3
        assert all(not task.kept for task in worked.tasks)


def test_other_pages_are_drawn_without_solving(monkeypatch: Any, source: Path, out: Path) -> None:
    made, _ = make(source, out)
    asked = settings()
    monkeypatch.setattr(Session, "arrange", _never)
    large = replace(asked, look=replace(asked.look, large=True))
    again, worked = make(source, out, large)
    assert len(worked.tasks) == 3
    assert [entry.parts for entry in again.entries] == [entry.parts for entry in made.entries]


def test_one_more_texture_leaves_what_is_solved(source: Path, out: Path) -> None:
    make(source, out)
    _, worked = make(source, out, settings("song", "drone"))
    assert all(set(task.kept) == {"song"} for task in worked.tasks)


def test_what_no_tune_needs_any_more_is_removed_unless_somebody_changed_it(
    source: Path, out: Path
) -> None:
    make(source, out)
    (source / "gate.abc").unlink()
    (source / "lamp.abc").unlink()
    own = out / "parts" / "lamp-song.json"
    own.write_text("mine", encoding="utf-8")
    made, _ = make(source, out)
    assert made.removed == 3
    left = set(contents(out / "parts"))
    assert left == {"lamp-song.json", "well-song.json", "well.pdf"}


def test_another_title_of_the_book_makes_no_tune_anew(source: Path, out: Path) -> None:
    make(source, out)
    _, worked = make(source, out, title="Another")
    assert worked.tasks == []


def test_levels_come_with_their_numbers(tmp_path: Path, out: Path) -> None:
    source = tunes_in(tmp_path / "one", FEW[:1])
    asked = settings()
    asking = replace(asked.askings[0], levels=levels_for("song")[:2])
    made, _ = make(source, out, replace(asked, askings=(asking,)))
    assert [part.level for part in made.entries[0].parts] == [1, 2]
    assert (out / "parts" / "lamp-song-level-2.json").is_file()


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
        patched.setattr(Session, "arrange", _never)
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
        patched.setattr(Session, "arrange", _never)
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


def test_each_texture_has_its_own_time(source: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is kept of one must not hang on how long the one before it took."""
    from tests.undersong.book.books import found

    asked = settings("song", "drone")
    watches = []
    real = room.answered

    def noting(*given: Any) -> object:
        watches.append(given[-1])
        return real(*given)

    monkeypatch.setattr(room, "answered", noting)
    one_tune(TuneTask(found(source, source / "x", asked).sources[0], asked, ""))
    first, second = watches
    assert first is not second


def _never(*_: object, **__: object) -> Made:
    raise LookupError("this is never asked")


def _full(*_: object) -> None:
    raise SheetError("no room")


def test_settings_and_tunes_travel(source: Path) -> None:
    """As Dask sends it to a worker, everything stays the same."""
    from distributed.protocol import pickle

    from tests.undersong.book.books import found

    asked = replace(
        settings("solo", "bass"),
        hand=Hand(not_used="P"),
        askings=tuple(
            replace(each, levels=levels_for(each.name)) for each in settings("solo", "bass").askings
        ),
    )
    task = TuneTask(found(source, source / "x", asked).sources[0], asked, "")
    assert pickle.loads(pickle.dumps(task)) == task
