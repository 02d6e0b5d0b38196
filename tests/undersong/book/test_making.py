"""Books made in this process: what is kept and what is made anew, by the bytes of every file."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from fretboard.hand import Hand
from scoring.weights import Weights
from solver.result import PROVEN
from tests.undersong.book.books import (
    FEW,
    abc,
    contents,
    lines_of,
    make,
    never,
    settings,
    tunes_in,
    with_hand,
)
from undersong.book import one_tune as room
from undersong.book.making import Unfinished
from undersong.book.one_tune import TuneTask, one_tune
from undersong.book.state import STATE
from undersong.levels import levels_for
from undersong.session import Session
from undersong.sheet.document import from_json

pytestmark = pytest.mark.usefixtures("light")


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
    monkeypatch.setattr(Session, "arrange", never)
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
