"""``undersong keys``: what it prints and writes, and one sentence for whatever is wrong."""

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from tests.undersong.advice.keyed import chart
from tests.undersong.running import run
from undersong.advice.keys_document import keys_schema

FEW = ("--tunings", "D-A-d,C-G-c", "--capos", "0,3")


def _file(folder: Path) -> str:
    chart(folder)
    return str(folder / "tune.chart")


def test_the_page_tells_rows_retuning_and_all_others(tmp_path: Path) -> None:
    done = run("keys", _file(tmp_path), "--key", "G", "--rows", "2", *FEW)
    assert done.code == 0
    assert "Hall Keys, in D major" in done.out
    assert "1 proven; 5 semitones up; put the capo at fret 3" in done.out
    assert "4 combinations of tuning, capo and key" in done.out
    assert max(map(len, done.out.splitlines())) <= 80


def test_the_document_says_the_same_and_keeps_its_schema(tmp_path: Path) -> None:
    to = tmp_path / "keys.json"
    done = run(
        "keys", _file(tmp_path), "--rows", "2", *FEW, "--extra", "8+", "--to", str(to), "--to", "-"
    )
    document = json.loads(to.read_text(encoding="ascii"))
    Draft202012Validator(keys_schema()).validate(document)
    assert done.code == 0
    for row in document["rows"]:
        assert row["proven"]
        assert f"{row['cost']} ms" in done.out
    shown = sum(1 + len(row["same_for_the_hand"]) for row in document["rows"])
    cannot = sum(each["count"] for each in document["cannot_be_played"])
    more_frets = document["no_better_with_more_frets"]
    assert shown + cannot + document["ruled_out"] + more_frets == document["looked_at"] == 96


def test_a_key_that_none_can_play_is_an_answer(tmp_path: Path) -> None:
    done = run("keys", _file(tmp_path), "--key", "Ab", *FEW[:2], "--capos", "0")
    assert done.code == 1
    assert "So none is left" in done.out


def test_a_voice_wants_a_melody() -> None:
    done = run("keys", "third-tuesday-blues", "--voice", "tenor", *FEW)
    assert done.code == 2
    assert "--voice: third-tuesday-blues: Third Tuesday Blues has no melody" in done.told


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (("--voice", "whistle"), "--voice: there is no voice 'whistle'; choose soprano"),
        (("--lowest-note", "A3"), "--highest-note: a range has two ends"),
        (("--lowest-note", "H3", "--highest-note", "D5"), "--lowest-note: 'H3' is no pitch"),
        (("--lowest-note", "D5", "--highest-note", "A3"), "--highest-note: a voice goes from"),
        (("--voice", "alto", "--lowest-note", "A3"), "--voice: name a voice or type its notes"),
        (("--key", "H"), "--key: a key is written as in"),
        (("--key", "Em"), "--key: the tune is major and stays so"),
        (("--tunings", "D-A"), "--tunings: the tuning 'D-A' has 2 pitches"),
        (("--capos", "2+"), "--capos: there is no fret 2+"),
        (("--extra", "3"), "--extra: 3 is a whole-number fret"),
        (("--rows", "0"), "--rows"),
        (("--to", "keys.pdf"), "--to keys.pdf: the suffix says what to write"),
    ],
)
def test_bad_input_gets_one_sentence(
    tmp_path: Path, options: tuple[str, ...], sentence: str
) -> None:
    done = run("keys", _file(tmp_path), *options)
    assert done.code == 2
    (line,) = done.lines
    assert sentence in line
    assert not done.out
