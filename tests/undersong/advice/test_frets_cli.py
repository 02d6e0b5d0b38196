"""The command ``frets``: against ``arrange`` for each tune, the published form of its document, and
bad input."""

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from tests.undersong.advice.fretted import OWN, piece
from tests.undersong.running import run
from undersong.advice.frets import one_tune
from undersong.advice.frets_document import advice_schema
from undersong.api import read_tune

TWO = """X:1
T:Gate Left Open
M:4/4
L:1/4
K:D
"D"D F A F|"G"G B "A7"A2|"D"d4|]

X:2
T:Gate Shut
M:4/4
L:1/4
K:Dm
"Dm"D F A F|"F"F A "C"G2|"Dm"d4|]
"""


def test_the_command_on_one_tune_agrees_with_arrange(tmp_path: Path) -> None:
    (tmp_path / "two.abc").write_text(TWO)
    file, out = str(tmp_path / "two.abc"), tmp_path / "out.json"
    ended = run("frets", file, "--choose", "Gate Left Open", "--to", str(out), "--to", "-")
    assert (ended.code, ended.lines) == (0, [])
    document = json.loads(out.read_text())
    Draft202012Validator(advice_schema()).validate(document)
    for place, name in enumerate(("traditional", "1+6+")):
        answer = tmp_path / f"{name}.json"
        asked = ("arrange", file, "--choose", "1", "--instrument", name, "--to", str(answer))
        assert run(*asked).code == 0
        alone = json.loads(answer.read_text())
        outcome = document["tunes"][0]["others"][place]
        assert outcome["cost"] == alone["cost"]["total"]
    assert "Gate Left Open: song, standard instrument (extra frets: 6+)" in ended.out


def test_the_command_on_a_folder_names_every_tune(tmp_path: Path) -> None:
    (tmp_path / "two.abc").write_text(TWO)
    (tmp_path / "third.chart").write_text("title: Third\nkey: D\nmetre: 4/4\n| D | G | D |\n")
    (tmp_path / "wrong.chart").write_text("title: Wrong\nkey: D\nmetre: 4/4\n| Q |\n")
    (tmp_path / "notes.md").write_text("no tune")
    out = tmp_path / "out.json"
    ended = run("frets", str(tmp_path), "--with", "1+", "--to", str(out), "--to", "-")
    assert ended.code == 0
    assert "One fret more to ask a maker for: 1+ would help: 1 more tune can be played" in ended.out
    assert "Gate Shut, as it is: bar 2: F cannot be played" in ended.out
    document = json.loads(out.read_text())
    Draft202012Validator(advice_schema()).validate(document)
    assert [tune["title"] for tune in document["tunes"]] == ["Third", "Gate Left Open", "Gate Shut"]
    (wrong,) = document["left_out"]
    assert "wrong.chart" in wrong["name"]
    assert document["helps_most"] == ["1+"]


def test_tunes_of_one_number_and_conditions_beside_a_file_are_each_tunes_own(
    tmp_path: Path,
) -> None:
    inside = tmp_path / "more"
    inside.mkdir()
    (inside / "same.abc").write_text(TWO.replace("X:2", "X:1").replace("Gate Shut", "Gate Ajar"))
    (inside / "same.conditions.toml").write_text('forbid = ["all: finger P"]\n')
    out = tmp_path / "out.json"
    for conditions, same in ((("--conditions", "none"), True), ((), False)):
        assert run("frets", str(tmp_path), *conditions, "--with", "1+", "--to", str(out)).code == 0
        tunes = json.loads(out.read_text())["tunes"]
        assert [tune["title"] for tune in tunes] == ["Gate Left Open", "Gate Ajar"]
        alone = tmp_path / "alone.json"
        chosen = ("--choose", "Gate Left Open", *conditions, "--to", str(alone))
        assert run("arrange", str(inside / "same.abc"), *chosen).code == 0
        assert tunes[0]["own"]["cost"] == json.loads(alone.read_text())["cost"]["total"]
        free = one_tune(piece(read_tune(inside / "same.abc", "Gate Left Open")), OWN, ())
        assert (free.own.cost == tunes[0]["own"]["cost"]) == same


def test_a_tune_lost_among_many_is_told_with_the_way_to_its_mends(tmp_path: Path) -> None:
    (tmp_path / "two.abc").write_text(TWO)
    file = str(tmp_path / "two.abc")
    ended = run("frets", file, "--instrument", "1+6+", "--without", "1+")
    assert "Gate Shut, without 1+: bar 2: F cannot be played" in ended.out
    assert "'undersong frets' with such a tune alone looks for what would mend it" in ended.out
    assert "1 fewer" in ended.out
    asked = ("frets", file, "--choose", "2", "--instrument", "1+6+", "--without", "1+")
    alone = run(*asked, "--width", "200")
    assert "mend: play F/C for F in bar 2" in alone.out or "mend: play F/A for F" in alone.out


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((), "name a tune, several, a folder"),
        (("nosuch",), "there is no bundled tune 'nosuch'"),
        (("harrow-lane", "nosuch.abc"), "nosuch.abc"),
        (("harrow-lane", "--without", "1+"), "--without: standard has no fret 1+"),
        (("harrow-lane", "--without", "7"), "--without: write extra frets such as 6+"),
        (("harrow-lane", "--with", "6+"), "--with: standard has the fret 6+ under every course"),
        (("harrow-lane", "--with", "15+"), "--with: there is no room for an extra fret 15+"),
        (("harrow-lane", "--with", "x"), "--with: 'x' is no fret number"),
        (("harrow-lane", "--capo", "6+", "--without", "6+"), "--without: a capo cannot sit"),
        (("harrow-lane", "--to", "a.pdf"), ".txt or .json"),
        (("harrow-lane", "--texture", "loud"), "--texture"),
        ((".", "--choose", "1"), "a folder has no tune to choose"),
        (("harrow-lane", "--form", "tab"), "--form: there is no form 'tab'"),
        (("harrow-lane", "--pin", "99: bass 3"), "bar 99"),
        (("harrow-lane", "lantern-path", "--octave", "99=1"), "harrow-lane: --octave"),
    ],
)
def test_bad_input_is_one_sentence(arguments: tuple[str, ...], says: str) -> None:
    ended = run("frets", *arguments)
    assert (ended.code, ended.out) == (2, "")
    assert len(ended.lines) == 1, ended.told
    assert says in ended.lines[0]


def test_an_empty_folder_says_so(tmp_path: Path) -> None:
    ended = run("frets", str(tmp_path))
    assert ended.code == 2
    assert "there is no tune in it" in ended.lines[0]
