"""The one door to all readers: suffixes, forms, standard input, errors that name the file."""

import io
import subprocess
import sys
import zipfile
from importlib import import_module
from pathlib import Path

import pytest

from tests.tune.musicxml_score import chord, measure, note, score, valid
from tune.errors import TuneError
from tune.readers import FORMS, read, sniff

CHART = "title: Harrow Lane\nkey: D\nmetre: 4/4\ntempo: 100\n| D | A7 |\n"
ABC = 'X:1\nT:Harrow Lane\nM:4/4\nL:1/4\nQ:1/4=100\nK:D\n"D"D4|"A7"E4|\n'
XML = valid(
    score(
        measure(chord("D") + note("D4", 48)), measure(chord("A", "dominant") + note("E4", 48), "2")
    )
)


def archive() -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("harrow.xml", XML)
    return stream.getvalue()


FILES: dict[str, bytes] = {
    "harrow.chart": CHART.encode(),
    "harrow.txt": CHART.encode(),
    "harrow.abc": ABC.encode(),
    "harrow.musicxml": XML,
    "harrow.xml": XML,
    "harrow.mxl": archive(),
    "HARROW.MXL": archive(),
}


def feed(monkeypatch: pytest.MonkeyPatch, data: bytes) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))


def chords(path: str, form: str | None = None) -> list[str]:
    tune = read(path, form=form)
    assert tune.title == "Harrow Lane"
    return [str(change.chord) for bar in tune.bars for change in bar.chords]


@pytest.mark.parametrize("name", FILES)
def test_the_suffix_chooses_the_reader(name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    path.write_bytes(FILES[name])
    assert chords(str(path)) == ["D", "A7"]


@pytest.mark.parametrize("name", FILES)
def test_standard_input_is_known_by_how_it_begins(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    feed(monkeypatch, FILES[name])
    assert chords("-") == ["D", "A7"]


def test_a_form_can_be_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "harrow.song"
    path.write_text(CHART)
    assert chords(str(path), "chart") == ["D", "A7"]
    feed(monkeypatch, ABC.encode())
    assert chords("-", "abc") == ["D", "A7"]


@pytest.mark.parametrize(
    ("data", "form"),
    [
        (b"PK\x03\x04rest", "mxl"),
        (b"<?xml version='1.0'?>", "musicxml"),
        (b"\xef\xbb\xbf \n<score-partwise/>", "musicxml"),
        ("<score-partwise/>".encode("utf-16"), "musicxml"),
        (b"% remark\nX:1\nT:t\n", "abc"),
        ("X:1\nT:t".encode("utf-16"), "abc"),
        (b"\xef\xbb\xbfX:1", "abc"),
        (b"title: X: a letter\n| D |", "chart"),
        (b"", "chart"),
    ],
)
def test_forms_are_told_apart(data: bytes, form: str) -> None:
    assert sniff(data) == form


def test_utf_16_is_read_in_every_form_that_is_text(tmp_path: Path) -> None:
    for name, text in (("h.chart", CHART), ("h.abc", ABC)):
        (tmp_path / name).write_bytes(text.encode("utf-16"))
        assert chords(str(tmp_path / name)) == ["D", "A7"]
    wide = XML.decode().replace("UTF-8", "UTF-16").encode("utf-16")
    (tmp_path / "h.xml").write_bytes(wide)
    assert chords(str(tmp_path / "h.xml")) == ["D", "A7"]


def test_what_the_text_lost_is_among_the_notices(tmp_path: Path) -> None:
    path = tmp_path / "harrow.chart"
    path.write_bytes(CHART.replace("Harrow", "Härrow").encode("latin-1"))
    tune = read(str(path))
    assert tune.title == "Härrow Lane"
    assert len(tune.notices) == 1
    assert "Latin-1" in tune.notices[0]


def test_the_choice_goes_to_the_reader(tmp_path: Path) -> None:
    path = tmp_path / "two.abc"
    path.write_text(ABC + "\n" + ABC.replace("X:1", "X:2").replace("Harrow Lane", "Wet Boots"))
    assert read(str(path), choose="2").title == "Wet Boots"


@pytest.mark.parametrize(
    ("name", "data", "sentence"),
    [
        ("tune.pdf", b"%PDF", "a tune's file ends in one of .abc, .musicxml, .xml, .mxl, .chart, "
         ".txt; rename it or say its form"),
        ("tune", b"x", "a tune's file ends in one of .abc, .musicxml, .xml, .mxl, .chart, .txt; "
         "rename it or say its form"),
        ("tune.mxl", b"not zipped", "the .mxl archive is damaged or no zip archive; save it again, "
         "or as .musicxml"),
        ("tune.xml", b"<a/>", "this XML is not MusicXML: it begins with <a>, not "
         "<score-partwise>"),
    ],
)  # fmt: skip
def test_errors_name_the_file(name: str, data: bytes, sentence: str, tmp_path: Path) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    with pytest.raises(TuneError) as caught:
        read(str(path))
    assert str(caught.value) == f"{path}: {sentence}"


def test_errors_name_the_line_too(tmp_path: Path) -> None:
    path = tmp_path / "tune.chart"
    path.write_text(CHART + "| H |\n")
    with pytest.raises(TuneError) as caught:
        read(str(path))
    assert str(caught.value) == (
        f"{path}, line 6, bar 3, column 3: the chord 'H' does not begin with a note name A to G"
    )


def test_errors_name_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    feed(monkeypatch, b"| D |")
    with pytest.raises(TuneError, match=r"^standard input, line 1: say the title"):
        read("-")


def test_a_missing_file_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(TuneError, match="there is no such file"):
        read(str(tmp_path / "none.abc"))


def test_a_form_that_is_not_there_is_a_sentence() -> None:
    with pytest.raises(TuneError) as caught:
        read("-", form="midi")
    assert str(caught.value) == ("there is no form 'midi'; choose one of abc, musicxml, mxl, chart")


def test_every_row_of_the_table_names_a_reader_and_no_suffix_stands_twice() -> None:
    suffixes = [suffix for form in FORMS.values() for suffix in form.suffixes]
    assert len(set(suffixes)) == len(suffixes)
    for form in FORMS.values():
        assert callable(getattr(import_module(form.module), form.function))


@pytest.mark.parametrize("name", ["harrow.chart", "harrow.musicxml"])
def test_reading_imports_nothing_heavy(name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    path.write_bytes(FILES[name])
    code = (
        "import sys; from tune.readers import read; read(sys.argv[1]); "
        "print([m for m in ('music21', 'numpy', 'ortools', 'lxml') if m in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True
    )
    assert run.stdout == "[]\n"
