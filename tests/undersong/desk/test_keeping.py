"""Kept works: written whole, the newest written over for a while, old ones let go."""

import os
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tests.undersong.desk.works import work
from undersong.desk.keeping import MOST_KEPT, Keeping
from undersong.desk.refused import Refusal
from undersong.desk.work import Source
from undersong.sheet import write
from undersong.sheet.errors import SheetError


class Clock:
    """Stands still until it is moved."""

    def __init__(self) -> None:
        self.time = datetime(2026, 11, 26, 19, 30)

    def __call__(self) -> datetime:
        return self.time


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def keeping(tmp_path: Path, clock: Clock) -> Keeping:
    return Keeping(tmp_path / "kept", clock)


def test_what_is_kept_is_opened_again(keeping: Keeping) -> None:
    name = keeping.keep(work(tempo=90), "an answer\n")
    assert name == "20261126-193000-two-chairs-by-the-stove"
    assert keeping.open(name) == (work(tempo=90), "an answer\n")


def test_nothing_is_kept_before_anything_was(keeping: Keeping) -> None:
    assert keeping.kept() == ()


def test_the_newest_is_written_over_for_a_while(keeping: Keeping, clock: Clock) -> None:
    first = keeping.keep(work(tempo=90), None)
    clock.time += timedelta(minutes=9)
    assert keeping.keep(work(tempo=91), None) == first
    clock.time += timedelta(minutes=2)
    later = keeping.keep(work(tempo=92), None)
    assert [one.name for one in keeping.kept()] == [later, first]
    assert keeping.open(first)[0] == work(tempo=91)


def test_another_tune_is_never_written_over(keeping: Keeping) -> None:
    keeping.keep(work(), None)
    other = replace(work(), tune=Source(bundled="harrow-lane"))
    keeping.keep(other, None)
    assert len(keeping.kept()) == 2


def test_of_two_in_one_second_the_last_one_is_the_newest(keeping: Keeping) -> None:
    """The clock stands still, and by name the first one would come after the other."""
    first = keeping.keep(work(), None)
    os.utime(keeping.folder / f"{first}.json", ns=(0, 1_000))
    last = keeping.keep(replace(work(), tune=Source(bundled="harrow-lane")), None)
    assert [one.name for one in keeping.kept()] == [last, first]
    assert first > last


def test_the_oldest_are_let_go(keeping: Keeping, clock: Clock) -> None:
    for _ in range(MOST_KEPT + 3):
        clock.time += timedelta(hours=1)
        keeping.keep(work(), None)
    assert len(keeping.kept()) == MOST_KEPT
    assert keeping.kept()[0].when == clock.time


@pytest.mark.parametrize("name", ["../secret", "/etc/passwd", "20261126-193000-other", "", ".."])
def test_only_what_is_in_the_list_is_opened(keeping: Keeping, name: str) -> None:
    keeping.keep(work(), None)
    (keeping.folder.parent / "secret.json").write_text("{}")
    with pytest.raises(Refusal):
        keeping.open(name)


def test_a_full_disk_leaves_what_was_kept(
    keeping: Keeping, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = keeping.keep(work(tempo=90), "an answer")

    def full(number: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(write.os, "fsync", full)
    with pytest.raises(Refusal, match="cannot be kept"):
        keeping.keep(work(tempo=91), None)
    assert keeping.open(name) == (work(tempo=90), "an answer")
    assert [path.name for path in keeping.folder.iterdir()] == [f"{name}.json"]


def test_a_folder_that_cannot_be_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(Refusal) as refused:
        Keeping(tmp_path / "file" / "kept").keep(work(), None)
    assert "cannot be kept" in refused.value.sentence


def test_foreign_and_broken_files_are_left_alone(keeping: Keeping) -> None:
    name = keeping.keep(work(), None)
    (keeping.folder / "notes.json").write_text("{}")
    (keeping.folder / "99999999-999999-x.json").write_text("{}")
    (keeping.folder / f"{name}.json").write_text("{")
    assert [one.name for one in keeping.kept()] == [name]
    with pytest.raises(SheetError):
        keeping.open(name)


def test_the_folder_is_the_players_own(keeping: Keeping) -> None:
    keeping.keep(work(), None)
    assert keeping.folder.stat().st_mode & 0o077 == 0


def test_a_folder_is_tried_before_anything_is_kept(tmp_path: Path) -> None:
    assert Keeping(tmp_path / "kept").trouble() == ""
    assert list((tmp_path / "kept").iterdir()) == []
    (tmp_path / "file").write_text("")
    assert "cannot be kept" in Keeping(tmp_path / "file" / "kept").trouble()
    assert "cannot be kept" in Keeping(Path("/proc/self")).trouble()


def test_kept_works_are_called_by_their_tunes_titles(keeping: Keeping, clock: Clock) -> None:
    """The title that the tune gives itself, not what its file is called."""
    abc = b'X:1\nT:Doing the Flowers\nM:4/4\nL:1/4\nK:D\n"D"D F A2|\n'
    for source in (
        Source(bundled="the-vicars-piano"),
        Source(bundled="kettle-on-at-nine"),
        Source(name="church.abc", data=abc),
        work().tune,
    ):
        clock.time += timedelta(hours=1)
        keeping.keep(replace(work(), tune=source), None)
    assert [keeping.title(one) for one in keeping.kept()] == [
        "Two Chairs by the Stove", "Doing the Flowers", "Kettle On at Nine", "The Vicar's Piano",
    ]  # fmt: skip
    (keeping.folder / f"{keeping.kept()[2].name}.json").write_text("{")
    assert keeping.title(keeping.kept()[2]) == "Kettle on at nine"


def test_a_work_whose_tune_cannot_be_read_is_kept_all_the_same(keeping: Keeping) -> None:
    """Such as one of a file that was changed by hand: its settings are still hers."""
    broken = replace(work(), tune=Source(written='{"title": "\\q"}'))
    name = keeping.keep(broken, None)
    assert keeping.open(name) == (broken, None)
