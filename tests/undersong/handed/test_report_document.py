"""The report on a tab as JSON: it fits its schema, and says what the page says."""

import json
from pathlib import Path
from random import Random
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from tests.undersong.arranged import chart
from tests.undersong.handed.mangled import mangled
from tests.undersong.running import run
from undersong import TabOrder, check_tab
from undersong.handed.document import report_json, report_schema
from undersong.handed.tab import TabError

TUNE = chart("key: D\nmetre: 4/4\n| D | G | A7 | D |")
GOOD = """
D  |-0---4---|-3---0---|-4---1---|-0---0---|
A  |---0---0-|---1---1-|---2---2-|---0---0-|
d  |---2---2-|---0---0-|---3---3-|---2---2-|
"""
WRONG = GOOD.replace("|---3---3-|", "|---3---2-|").replace("-3---0---", "-3---0-1-")


def document(text: str, **settings: object) -> dict[str, Any]:
    made: dict[str, Any] = json.loads(report_json(check_tab(text, TUNE, **settings)))  # type: ignore[arg-type]
    Draft202012Validator(report_schema()).validate(made)
    return made


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(report_schema())


def test_a_sound_tab() -> None:
    made = document(GOOD)
    assert (made["sound"], made["in_time"], made["findings"]) == (True, True, [])
    assert made["cost"]["mended"] >= made["cost"]["best"]
    assert made["mend"]["changes"] == []


def test_a_fault_and_its_mend_are_at_the_same_line_and_column() -> None:
    """A7's melody at beat 4, typed in line 2; of the text the line of the bass string is told."""
    made = document(WRONG)
    assert not made["sound"]
    places = [
        (one["where"], one["line"], one["column"]) for one in made["findings"] if one["fault"]
    ]
    assert places == [("bar 2, beat 4", 2, 22), ("bar 3, beat 4", 2, 32)]
    (change,) = made["mend"]["changes"]
    assert (change["where"], change["line"], change["column"]) == places[1]
    assert (change["string"], change["old"], change["new"]) == (2, "2", "3")
    assert made["mend"]["besides"] == [
        {"where": "bar 2, beat 4", "string": 0, "old": "1", "new": ["0", "3"]}
    ]


def test_parts_other_numbers_and_no_answer() -> None:
    made = document("|-0---4---|\n|---0---0-|\n|---2---2-|")
    assert made["missing_bars"] == [2, 3, 4]
    seven = document(
        GOOD.replace("---2---2-|\n", "---2---8-|\n"), order=TabOrder(seven_is_six_plus=True)
    )
    assert seven["tab"]["six_plus_is_7"]
    flat = check_tab(GOOD, chart("key: Eb\nmetre: 4/4\n| Eb | Bb | Eb | Bb |"))
    made = json.loads(report_json(flat))
    Draft202012Validator(report_schema()).validate(made)
    assert (made["mend"], made["cost"], made["difficulty"], made["in_time"]) == (None,) * 4
    assert made["unknown"]


def test_whatever_is_typed_fits_the_schema() -> None:
    fitted = 0
    for seed in range(6):
        try:
            document(mangled(Random(seed)))
        except TabError:
            continue
        fitted += 1
    assert fitted >= 2


def test_the_command_writes_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("lane.chart").write_text("title: Lane\nkey: D\nmetre: 4/4\n| D | G | A7 | D |\n")
    Path("tab.txt").write_text(WRONG)
    asked = ("check", "tab.txt", "--tune", "lane.chart")
    ended = run(*asked, "--to", "out.json", "--to", "out.txt")
    assert (ended.code, ended.out) == (1, "")
    Draft202012Validator(report_schema()).validate(json.loads(Path("out.json").read_text()))
    assert Path("out.txt").read_text() == run(*asked).out
    for target, says in (
        ("tab.txt", "--to tab.txt: that is one of the files handed in"),
        ("lane.chart", "--to lane.chart: the suffix says what to write"),
        ("out.pdf", "--to out.pdf: the suffix says what to write"),
        ("none/out.json", "--to none/out.json: there is no folder none"),
    ):
        ended = run(*asked, "--to", target)
        assert (ended.code, ended.out) == (2, "")
        assert says in ended.told
    assert Path("tab.txt").read_text() == WRONG
