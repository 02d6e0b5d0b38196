"""Tunes gathered from folders, lists and files; a file's tunes read alone as they are in the file.

Outside the project: ABC 2.1 §2.2 (what ends a tune, what a file's header holds for).
"""

import os
from pathlib import Path

import pytest

from fretboard.presets import instrument
from tests.undersong.book.books import TUNES, abc, found, settings, tunes_in
from tests.undersong.collections import COLLECTIONS
from tune.errors import TuneError
from tune.readers import read_data
from undersong.book.gathering import NoTunes, gathered
from undersong.book.parting import parted

ASKED = settings()
OUT = Path("nowhere")


def test_a_folder_gives_its_tunes_in_the_order_of_their_names(tmp_path: Path) -> None:
    folder = tmp_path / "tunes"
    folder.mkdir()
    for name in ("10 b", "2 a", "B", "a"):
        (folder / f"{name}.abc").write_text(abc("Lamp").replace("Lamp", name), encoding="utf-8")
    (folder / "notes.pdf").write_bytes(b"x")
    (folder / ".hidden.abc").write_text(abc("Gate"), encoding="utf-8")
    (folder / "below").mkdir()
    (folder / "below" / "c.abc").write_text(abc("Well"), encoding="utf-8")
    got = found(folder, OUT, ASKED)
    assert [each.title for each in got.sources] == ["2 a", "10 b", "a", "B", "Well"]
    assert got.sources[-1].shown == "below/c.abc"
    assert got.called == "tunes"
    assert got.notes == (f"{folder}: 1 file is left out, by the suffix no tune",)


def test_the_books_own_folder_is_no_source_of_tunes(tmp_path: Path) -> None:
    folder = tunes_in(tmp_path / "tunes", TUNES[:2])
    out = tunes_in(folder / "book", TUNES[2:])
    assert len(found(folder, out, ASKED).sources) == 2
    assert len(found(folder, OUT, ASKED).sources) == 5


def test_a_list_names_files_folders_bundled_tunes_and_one_of_several(tmp_path: Path) -> None:
    tunes_in(tmp_path / "tunes", TUNES[:2])
    several = "\n".join(abc(title, at) for at, title in enumerate(TUNES, 1))
    (tmp_path / "all.abc").write_text(several, encoding="utf-8")
    listed = tmp_path / "evening.txt"
    listed.write_text(
        "# the evening\n\nharrow-lane\ntunes/lamp.abc\nall.abc: Well\ntunes\ngone.abc\n",
        encoding="utf-8",
    )
    got = found(listed, OUT, ASKED).sources
    assert [each.read().title for each in got[:5]] == [
        "Harrow Lane",
        "Lamp",
        "Well",
        "Gate",
        "Lamp",
    ]
    assert got[5].trouble.startswith("gone.abc: there is no such file")
    assert len({each.name for each in got}) == 6


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        (
            "evening.txt",
            "gone.abc\n",
            "nothing in it can be read; the first: gone.abc: there is no",
        ),
        ("evening.txt", "# nothing\n", "there is no tune in it"),
        ("evening.txt", "", "the file is empty"),
        ("tune.pdf", "x", "this is no folder, no list"),
        ("gone.abc", None, "there is no such file"),
    ],
)
def test_what_holds_no_tune_is_refused(
    tmp_path: Path, name: str, text: str | None, told: str
) -> None:
    if text is not None:
        (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(NoTunes, match=told):
        found(tmp_path / name, OUT, ASKED)


@pytest.mark.skipif(os.name == "nt" or os.getuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_stops_nothing_by_its_permissions(tmp_path: Path) -> None:
    folder = tunes_in(tmp_path / "tunes", TUNES[:2])
    (folder / "gate.abc").chmod(0)
    assert "may not be read" in found(folder, OUT, ASKED).sources[0].trouble


def test_a_file_that_cannot_be_read_stops_nothing(tmp_path: Path) -> None:
    folder = tunes_in(tmp_path / "tunes", TUNES[:2])
    (folder / "empty.abc").write_bytes(b"")
    (folder / "binary.abc").write_bytes(b"\0\1\2")
    (folder / "lamp.conditions.toml").write_text("shapess = 1\n", encoding="utf-8")
    got = {each.shown: each.trouble for each in found(folder, OUT, ASKED).sources}
    assert got["empty.abc"] == "empty.abc: the file is empty"
    assert got["binary.abc"] == "binary.abc: this is no text file"
    assert got["lamp.abc"].startswith("lamp.conditions.toml: there is no key 'shapess'")
    assert got["gate.abc"] == ""


def test_conditions_beside_a_tune_come_with_it_unless_they_are_not_wanted(tmp_path: Path) -> None:
    folder = tunes_in(tmp_path / "tunes", TUNES[:2])
    (folder / "lamp.conditions.toml").write_text("shapes = 3\n", encoding="utf-8")
    wished = {each.title: each.wishes for each in found(folder, OUT, ASKED).sources}
    assert wished["Lamp"].shapes == 3
    assert wished["Gate"] is None
    plain = gathered(str(folder), instrument(), False, OUT).sources
    assert all(each.wishes is None for each in plain)


def test_one_more_tune_in_an_abc_file_leaves_all_others_as_they_are(tmp_path: Path) -> None:
    file = tmp_path / "all.abc"
    file.write_text("\n".join(abc(t, n) for n, t in enumerate(TUNES[:3], 1)), encoding="utf-8")
    before = found(file, OUT, ASKED).sources
    more = [abc("Hedge", 9), *(abc(t, n) for n, t in enumerate(TUNES[:3], 1)), abc("Stile", 7)]
    file.write_text("\n\n\n".join(more), encoding="utf-8")
    after = found(file, OUT, ASKED).sources
    assert [each.matters for each in after[1:4]] == [each.matters for each in before]
    assert [each.line for each in after[1:4]] != [each.line for each in before]


def test_what_the_head_of_an_abc_file_says_holds_for_its_tunes(tmp_path: Path) -> None:
    file = tmp_path / "all.abc"
    own = "\n".join(abc(t, n) for n, t in enumerate(TUNES[:2], 1)).replace("M:3/4\n", "")
    file.write_text(f"M:3/4\nC:Nobody\n\n{own}", encoding="utf-8")
    got = found(file, OUT, ASKED).sources
    assert [str(each.read().metre) for each in got] == ["3/4", "3/4"]
    assert {each.read().composer for each in got} == {"Nobody"}


def test_complaints_name_the_line_of_the_file(tmp_path: Path) -> None:
    file = tmp_path / "all.abc"
    text = abc("Lamp") + "\n" + abc("Gate", 2).replace('"D"D3', '"D"D3(')
    broken = abc("Well", 3).replace("A2", "A").replace('"D"D3', ">|")
    file.write_text(text + "\n" + broken, encoding="utf-8")
    bad = found(file, OUT, ASKED).sources[2]
    with pytest.raises(TuneError) as alone:
        bad.read()
    with pytest.raises(TuneError) as whole:
        read_data(file.read_bytes(), "all.abc", "3", "abc")
    assert str(alone.value) == str(whole.value)
    assert "line" in str(alone.value)


@pytest.mark.parametrize("name", sorted(COLLECTIONS))
def test_tunes_of_a_collection_read_alone_as_in_their_file(name: str) -> None:
    """Against the files of music21's own package: read whole, and cut into tunes."""
    import music21

    folder = Path(music21.__file__).parent / "corpus" / name
    paths = sorted(folder.glob("*.abc"))
    for path in paths[:: max(1, len(paths) // 3)]:
        data = path.read_bytes()
        got = list(parted(data, path.name))
        for one in got[:: max(1, len(got) // 8)]:
            number = one.shown.rpartition(" ")[2] if len(got) > 1 else None
            assert _read(lambda one=one: one.read()) == _read(
                lambda data=data, path=path, number=number: read_data(
                    data, path.name, number, "abc"
                )
            )


def _read(reading) -> object:
    try:
        tune = reading()
    except TuneError as error:
        return str(error)
    return tune
