"""``undersong sets`` as a player types it; bad input in one sentence."""

import json
import re
import signal
import subprocess
import sys
import time
from importlib.resources import files
from pathlib import Path

import pytest

from fretboard.errors import FretboardError
from scoring.set_order import ABOUTS
from tests.undersong.advice.evenings import TUNES, write_tunes
from tests.undersong.running import run, spawn, surroundings
from undersong.advice.set_file import read_set


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    write_tunes(tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def order(out: str) -> list[str]:
    return re.findall(r"^ ?\d+  (.+?)  ", out, re.MULTILINE)


def test_tunes_on_the_command_line(here: Path) -> None:
    done = run("sets", "gate.chart", "coats.chart", "urn.chart", "--without-work")
    assert done.code == 0
    # keys A mixolydian, D, G: the same notes, then a fourth up; 100 + 100
    assert order(done.out) == ["The Tea Urn", "Gate Left Open", "Coats on Hooks"]
    assert "Proven best: 200 ms in all" in " ".join(done.out.split())
    assert "sit down in D-A-d (D3 A3 D4)" in done.out
    fixed = ["--first", "gate", "--last", "The Tea Urn"]
    ended = run("sets", "gate.chart", "coats.chart", "urn.chart", "--without-work", *fixed)
    assert order(ended.out) == ["Gate Left Open", "Coats on Hooks", "The Tea Urn"]


def test_a_list_a_set_file_and_both_kinds_of_report(here: Path) -> None:
    (here / "list.txt").write_text("# tonight\ngate.chart\n\ncoats.chart\nharrow-lane\n")
    listed = run("sets", "list.txt", "--without-work", "--to", "a.txt", "--to", "a.json")
    assert (listed.code, listed.out) == (0, "")
    assert len(order((here / "a.txt").read_text())) == 3
    assert json.loads((here / "a.json").read_text())["proven"] is True
    (here / "set.toml").write_text(
        'title = "Tonight"\nfirst = "urn"\nfrom_tuning = "D-A-A"\nin_a_row = 1\n'
        "[prices]\nstring = 1\n"
        '[[tune]]\ntune = "gate.chart"\ntunings = ["D-A-d", "D-A-A"]\n'
        '[[tune]]\ntune = "urn.chart"\ntuning = "D-A-d"\ncapos = [0, "1"]\n'
        '[[tune]]\ntune = "door.chart"\ntranspose = 5\n'
    )
    done = run("sets", "set.toml")
    assert done.code == 0
    assert done.out.startswith("Tonight\n")
    assert order(done.out)[0] == "The Tea Urn"
    assert "melody string from A3 up to D4, 5 semitones" in done.out
    assert re.search(r"Mind the Door +G major", done.out)
    again = run("sets", "set.toml", "--first", "door")
    assert order(again.out)[0] == "Mind the Door"  # what is typed holds before what is written


def test_a_chart_named_txt_is_a_chart(here: Path) -> None:
    (here / "one.txt").write_text(TUNES["gate"])
    done = run("sets", "one.txt", "--without-work")
    assert order(done.out) == ["Gate Left Open"]


ABC = """X:1
T:First Try
M:4/4
L:1/4
K:D
"D"D F A F|"G"G B "A7"A2|"D"d4|]

X:2
T:Second Helping
M:4/4
L:1/4
K:G
"G"G B d B|"D"A4|"G"G4|]
"""


def test_an_abc_file_is_all_its_tunes_or_one(here: Path) -> None:
    (here / "two.abc").write_text(ABC)
    every = run("sets", "two.abc", "--without-work")
    assert order(every.out) == ["First Try", "Second Helping"]
    one = run("sets", "two.abc:2", "gate.chart", "--without-work", "--first", "Second Helping")
    assert order(one.out) == ["Second Helping", "Gate Left Open"]
    (here / "list.txt").write_text("two.abc: First Try\ngate.chart\n")
    assert order(run("sets", "list.txt", "--without-work").out) == ["First Try", "Gate Left Open"]
    chosen = run("sets", "two.abc", "--choose", "2", "--without-work")
    assert order(chosen.out) == ["Second Helping"]


def test_the_page_keeps_to_its_width(here: Path) -> None:
    shown = {60: ("follows",), 80: ("follows", "work"), 56: (), 40: ()}
    for width, columns in shown.items():
        done = run("sets", "gate.chart", "coats.chart", "--width", str(width))
        assert max(map(len, done.out.splitlines())) <= width
        heads = done.out.splitlines()[0].split()
        assert tuple(head for head in ("follows", "work") if head in heads) == columns


def test_the_spring_concert() -> None:
    """The class's own tunes: the dances as one medley, the blues at the end."""
    names = ["tallow-and-rush", "candle-for-the-back-row", "third-tuesday-blues"]
    done = run("sets", *names, "--in-a-row", "2", "--last", "third-tuesday-blues")
    assert done.code == 0
    assert order(done.out)[-1] == "Third Tuesday Blues"
    assert "Proven best" in done.out
    assert all(len(line) <= 100 for line in done.out.splitlines())


@pytest.mark.slow
def test_the_whole_spring_concert(tmp_path: Path) -> None:
    """The page's own example, which is all that it says of itself."""
    example = re.search(r"```toml\n(.*?)```", _page(), re.DOTALL)
    assert example is not None
    (tmp_path / "concert.toml").write_text(example[1])
    done = run("sets", str(tmp_path / "concert.toml"))
    assert done.code == 0
    titles = order(done.out)
    assert (titles[0], titles[-1]) == ("Harrow Lane", "Third Tuesday Blues")
    dances = [titles.index(name) for name in ("Kettle On at Nine", "Through the Double Doors")]
    assert abs(dances[0] - dances[1]) == 1
    assert "> play on: from " in done.out


def _page() -> str:
    return files("undersong").joinpath("set.md").read_text(encoding="utf-8")


def test_the_page_names_every_price_and_its_example_can_be_read(tmp_path: Path) -> None:
    told = re.sub(r"\n {20,}", " ", _page())  # a meaning of several lines
    rows = re.findall(r"^  ([\w-]+) +(\d+)  ([\w ]+?)  +(.+)$", told, re.MULTILINE)
    assert rows == [(a.name, str(a.default), a.unit, a.meaning) for a in ABOUTS]
    example = re.search(r"```toml\n(.*?)```", _page(), re.DOTALL)
    assert example is not None
    (tmp_path / "set.toml").write_text(example[1])
    assert len(read_set(tmp_path / "set.toml").lines) == 5
    assert run("set-format").out.rstrip() == _page().rstrip()


def test_conditions_of_a_tune_in_a_set_file(here: Path) -> None:
    """Its own file, or the one beside it, as ``arrange`` takes them."""
    plain = run("sets", "gate.chart", "door.chart")
    assert "conditions" not in plain.told
    (here / "other.toml").write_text('forbid = "1: bass 0"\n')
    (here / "set.toml").write_text(f'{GOOD}conditions = "other.toml"\n')
    away = run("sets", "set.toml")
    assert away.code == 0, away.told
    (here / "other.toml").rename(here / "gate.conditions.toml")
    (here / "set.toml").write_text(GOOD)
    beside = run("sets", "set.toml")
    assert beside.out == away.out
    assert "note: with the conditions in gate.conditions.toml" in beside.told
    (here / "set.toml").write_text(f'{GOOD}conditions = "none"\n')
    without = run("sets", "set.toml")
    assert without.out != away.out
    assert "conditions" not in without.told
    assert run("sets", "gate.chart", "--conditions", "none").out == without.out
    (here / "gate.conditions.toml").write_text('pin = "1: bass 2"\n')
    never = run("sets", "gate.chart", "door.chart")
    assert never.code == 1
    assert "Gate Left Open in D-A-d: bar 1, beat 1: 'bar 1: bass 2'" in never.out
    assert "Mend: another tuning, capo or key, or ask less in conditions." in never.out
    (here / "gate.conditions.toml").write_text('pin = "99: bass 0"\n')
    strange = run("sets", "gate.chart", "door.chart")
    assert strange.code == 2
    (line,) = strange.lines
    assert "Gate Left Open: the tune has no bar 99; it has bars 1 to 4" in line


def test_an_unplayable_tune_is_left_out_and_told(here: Path) -> None:
    (here / "set.toml").write_text(
        f'{GOOD}tuning = "C#3 G#3 C#4"\n[[tune]]\ntune = "door.chart"\nmedley = "late"\n'
    )
    done = run("sets", "set.toml", "--to", "out.txt")
    assert done.code == 1
    assert done.lines[-1] == (
        "undersong: left out of the set, not to be played as asked: Gate Left Open; the page says "
        "why"
    )
    assert "note: Mind the Door is the only tune of its medley 'late'" in done.told
    assert "Left out of the set, not to be played as asked:" in (here / "out.txt").read_text()


GOOD = '[[tune]]\ntune = "gate.chart"\n'
BAD_FILES = {
    "": "set.toml: there is no tune; begin each with the line [[tune]]",
    "[[tune]]\n": 'set.toml, [[tune]] 1: say which tune, such as tune = "harrow-lane"',
    "[[song]]\n": "set.toml: there is no key 'song'; the keys are title, first, ",
    f"{GOOD}tunning = 'D-A-d'\n": "[[tune]] 1: there is no key 'tunning'; the keys are tune, ",
    f"{GOOD}tuning = 'D-A'\n": "[[tune]] 1: tuning: the tuning 'D-A' has 2 pitches",
    f"{GOOD}tunings = ['D-A-d', 'H']\n": "[[tune]] 1: tuning: ",
    f"{GOOD}tuning = 'D-A-d'\ntunings = ['D-A-A']\n": "write tuning or tunings, not both",
    f"{GOOD}capo = 99\n": "[[tune]] 1: capo",
    f"{GOOD}texture = 'solo'\n": "",
    f"{GOOD}texture = 'polka'\n": "[[tune]] 1: texture: there is no texture 'polka'",
    f"{GOOD}tempo = 5\n": "[[tune]] 1: tempo must be a whole number from 10 to 400, not 5",
    f"{GOOD}transpose = 'up'\n": "[[tune]] 1: transpose must be a whole number",
    f"in_a_row = 0\n{GOOD}": "in_a_row must be a whole number from 1, not 0",
    f"medley = 'yes'\n{GOOD}": "medley must be true or false, not 'yes'",
    f"[prices]\nstrng = 1\n{GOOD}": "[prices]: there is no price named 'strng'",
    f"[prices]\nstring = -1\n{GOOD}": "[prices]: the price string must lie between 0 and",
    f"{GOOD}{GOOD}": "is named twice; name it once",
    f"first = 'nobody'\n{GOOD}": "--first: no tune of the set is called 'nobody'",
    f"from_tuning = 'D'\n{GOOD}": "--from-tuning: the tuning 'D' has 1 pitch",
    f"{GOOD}conditions = 'gone.toml'\n": "[[tune]] 1: conditions: gone.toml: there is no such file",
    "[[tune]]\ntune = 'gone.chart'\n": "set.toml, [[tune]] 1: ",
    "[[tune\n": "set.toml: line 1, '[[tune', is no valid TOML",
}


@pytest.mark.parametrize(("text", "says"), BAD_FILES.items())
def test_a_set_file_that_cannot_be(here: Path, text: str, says: str) -> None:
    (here / "set.toml").write_text(text)
    done = run("sets", "set.toml", "--without-work")
    if not says:
        assert done.code == 0
        return
    assert done.code == 2
    assert done.out == ""
    (line,) = done.lines
    assert says in line


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([], "name the tunes, a list or a set file"),
        (["gate.chart", "set.toml"], "set.toml: a set file is named alone"),
        (["gate.chart", "gate.chart"], "gate.chart is named twice"),
        (["-"], "-: a set is made of files"),
        (["gone.chart"], "gone.chart"),
        (["gate.chart", "--in-a-row", "0"], "--in-a-row: write a whole number of tunes"),
        (["gate.chart", "--price", "string"], "--price: write a name and a whole number"),
        (["gate.chart", "--price", "a=1"], "--price: there is no price named 'a'"),
        (["gate.chart", "--prices", "gone.toml"], "--prices: gone.toml: the file cannot be read"),
        (["gate.chart", "--tunings", "D-A-d,"], "--tunings: write them with a comma between"),
        (["gate.chart", "--tunings", "D-A-d", "--tuning", "D-A-A"], "not both"),
        (["gate.chart", "--capos", "0,x"], "--capo"),
        (["gate.chart", "--from-tuning", "D-A-d-d"], "--from-tuning: the tuning has 4 pitches"),
        (["gate.chart", "door.chart", "--medley"], "--without-work: a medley's joins"),
        (["gate.chart", "door.chart", "--first", "gate", "--last", "gate"], "both first and last"),
        (["gate.chart", "--to", "gate.chart"], "--to gate.chart: the suffix says"),
        (["list.txt", "--to", "list.txt"], "--to list.txt: that is one of the tunes"),
        (["empty.txt"], "empty.txt: there is no tune in this list"),
        (["list.txt"], "list.txt, line 2: "),
    ],
)
def test_what_cannot_be_typed(here: Path, arguments: list[str], says: str) -> None:
    (here / "list.txt").write_text("gate.chart\nnonesuch\n")
    (here / "empty.txt").write_text("# nothing yet\n")
    (here / "set.toml").write_text(GOOD)
    done = run("sets", *arguments, "--without-work")
    assert done.code == 2
    assert done.out == ""
    (line,) = done.lines
    assert says in line


def test_out_of_time_and_no_order(here: Path) -> None:
    late = run("sets", "gate.chart", "door.chart", "--time-limit", "0.000001")
    assert late.code == 3
    assert "were not enough" in late.told
    none = run("sets", "gate.chart", "door.chart", "--in-a-row", "1", "--without-work")
    assert none.code == 1
    assert none.lines == [
        "undersong: at most 1 of one key in a row cannot be: 2 of 2 tunes are in D major; the "
        "least that works is 2"
    ]


def test_ctrl_c_leaves_what_was_written(here: Path) -> None:
    (here / "out.txt").write_text("earlier\n")
    long = ["long-way-round-the-green", "lantern-path", "stacking-the-chairs"]
    names = ["harrow-lane", "kettle-on-at-nine", *long, "gate.chart"]
    process = subprocess.Popen(
        [sys.executable, "-m", "undersong", "sets", *names, "--to", "out.txt"],
        stderr=subprocess.PIPE, text=True, cwd=here, env=surroundings(),
    )  # fmt: skip
    assert process.stderr is not None
    assert "no tempo is given" in process.stderr.readline()  # the last tune was read
    time.sleep(0.3)
    process.send_signal(signal.SIGINT)
    _, told = process.communicate(timeout=30)
    assert process.returncode == 130
    assert "stopped" in told
    assert (here / "out.txt").read_text() == "earlier\n"


def test_the_same_bytes_from_two_processes(here: Path) -> None:
    names = ["gate.chart", "door.chart", "raffle.chart", "coats.chart"]
    runs = {spawn("sets", *names, "--without-work", cwd=here).out for _ in range(2)}
    assert len(runs) == 1
    assert order(runs.pop())


def test_a_capo_at_fret_1_may_be_a_number(tmp_path: Path) -> None:
    """1 is no true, though Python holds them equal."""
    file = tmp_path / "set.toml"
    file.write_text(
        '[[tune]]\ntune = "harrow-lane"\ncapo = 1\n'
        '[[tune]]\ntune = "lantern-path"\ncapos = [0, 1, 3]\n'
    )
    assert [line.capos for line in read_set(file).lines] == [("1",), ("0", "1", "3")]
    file.write_text('[[tune]]\ntune = "harrow-lane"\ncapo = true\n')
    with pytest.raises(FretboardError, match="capo must be a list of texts"):
        read_set(file)
