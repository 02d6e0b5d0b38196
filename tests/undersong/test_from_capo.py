"""``--from-capo``: all that one command reads and says of frets is counted from the capo.

The tune is of our own scenario. With a capo at 1 G is at fret 3 of the D string, the second fret
past the capo.
"""

import json
import re
from pathlib import Path

import pytest

from tests.undersong.running import run

MINOR = """title: Evening Lamps
key: Em
metre: 3/4
tempo: 100
| Em | G | D | Em | Am | G | D | Em |
"""
AT_1 = ("--capo", "1", "--from-capo")


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("lamps.chart").write_text(MINOR, encoding="utf-8")


def frets_in(page: str) -> list[str]:
    """The frets of a text tab, line by line."""
    rows = re.findall(r"^[A-G]\d +\|(.*)$", page, re.MULTILINE)
    return re.findall(r"\d+\+?", " ".join(rows))


def test_the_frets_past_the_capo_are_counted_on_the_page() -> None:
    counted = run("arrange", "lamps.chart", *AT_1)
    assert counted.code == 0
    from_nut = run("arrange", "lamps.chart", "--capo", "1")
    frets = frets_in(from_nut.out)
    assert "3" in frets
    assert {"6", "6+"} & set(frets)
    assert frets_in(counted.out) == [
        f"{int(fret.rstrip('+')) - 1}{fret.lstrip('0123456789')}" for fret in frets
    ]


def test_a_document_has_the_real_frets() -> None:
    run("arrange", "lamps.chart", *AT_1, "--to", "a.json")
    run("arrange", "lamps.chart", "--capo", "1", "--to", "b.json")
    from_capo, from_nut = (json.loads(Path(name).read_text()) for name in ("a.json", "b.json"))
    assert from_capo["moments"] == from_nut["moments"]


@pytest.mark.parametrize("seven", [False, True])
def test_a_page_reads_back_as_it_was_written(seven: bool) -> None:
    """The page says that it is counted from the capo; where 6+ is called 7 it is not meant so."""
    page = run("arrange", "lamps.chart", *AT_1, "--to", "page.txt")
    assert page.code == 0
    options = ("--six-plus-is-7",) if seven else ()
    checked = run("check", "page.txt", "--tune", "lamps.chart", *AT_1, *options)
    assert checked.code == (1 if seven else 0), checked.out


def test_a_highest_fret_is_one_past_the_capo() -> None:
    """D is fret 7 of the D string, the sixth past the capo."""
    assert run("arrange", "lamps.chart", *AT_1, "--bass-ceiling", "6").code == 0
    assert run("arrange", "lamps.chart", "--capo", "1", "--bass-ceiling", "7").code == 0
    assert run("arrange", "lamps.chart", *AT_1, "--bass-ceiling", "5").code == 1


def test_a_pin_is_read_as_the_page_is_written() -> None:
    assert run("arrange", "lamps.chart", *AT_1, "--pin", "2: bass 2").code == 0


@pytest.mark.parametrize(
    ("options", "says", "never"),
    [
        pytest.param(
            ("--pin", "2: bass 3+"), ("no fret 3+ under the bass string",), "fret 4+",
            id="a fret that is not there",
        ),
        pytest.param(
            ("--pin", "2: bass 1+"),
            ("no fret 1+ from the capo at 1; from the nut: there is no fret 2+",), "",
            id="a fret that no fretboard has",
        ),
        pytest.param(
            ("--bass-ceiling", "5"),
            ("no D up to fret 5;", "no higher than fret 5;", "(--bass-ceiling 6)"), "6+",
            id="a ceiling",
        ),
        pytest.param(
            ("--known", "0-0-2, 3-0-3, 3-0-5, 3-3-5"),
            ("one such as 2-0-2 or 2-0-4 or 2-2-4 would",), "such as 3",
            id="known shapes",
        ),
        pytest.param(
            ("--pin", "2: 5-0-0"),
            ("'bar 2: 5-0-0' cannot be kept", "the pin 'bar 2: 5-0-0'", "fret 5 is C",
             "leave out --pin 'bar 2: 5-0-0'"), "6-1-1",
            id="a shape",
        ),
        pytest.param(
            ("--pin", "2: bass 5", "--pin", "2: bass 2"),
            ("'bar 2: bass 5' and 'bar 2: bass 2' contradict",), "bass 6",
            id="two pins",
        ),
    ],
)  # fmt: skip
def test_what_is_said_of_frets_is_counted_as_they_are_asked_for(
    options: tuple[str, ...], says: tuple[str, ...], never: str
) -> None:
    ended = run("arrange", "lamps.chart", *AT_1, *options)
    assert ended.code in (1, 2), ended.out
    for text in says:
        assert text in ended.told
    assert not never or never not in ended.told


def test_a_melody_that_lies_too_high_is_told_so() -> None:
    solo = ("arrange", "lantern-path", "--texture", "solo", "--capo", "3")
    says = "above the melody's highest allowed, fret {}"
    ended = run(*solo, "--from-capo", "--melody-highest", "1")
    assert says.format(1) in ended.told
    assert says.format(4) in run(*solo, "--melody-highest", "4").told


def test_levels_tell_what_fret_would_do_as_their_file_counts_it() -> None:
    text = '[[level]]\nteaches = "Roots."\nbass = "roots"\nhighest = 3\n'
    Path("one.toml").write_text(text, encoding="utf-8")
    ended = run("levels", "lamps.chart", *AT_1, "--levels", "one.toml")
    assert "no D up to fret 3;" in ended.told
    assert "it can be met with fret 6 from the capo (highest)" in ended.told


def test_the_same_from_the_nut_is_as_it_was() -> None:
    ended = run("arrange", "lamps.chart", "--capo", "1", "--bass-ceiling", "6")
    assert "no D up to fret 6;" in ended.told
    assert "(--bass-ceiling 7)" in ended.told
    ended = run("arrange", "lamps.chart", "--capo", "1", "--pin", "2: 6-1-1")
    assert "the pin 'bar 2: 6-1-1'" in ended.told


@pytest.mark.parametrize(
    ("pin", "says"),
    [
        ("2: bass 4+", "no fret 4+ from the nut under the bass string"),
        ("2: 0-0-0", "fret 0 lies behind the capo at fret 1; frets are counted from the nut"),
    ],
)
def test_a_file_is_read_from_the_nut_and_complained_of_so(pin: str, says: str) -> None:
    Path("mine.toml").write_text(f'pin = ["{pin}"]\n', encoding="utf-8")
    ended = run("arrange", "lamps.chart", *AT_1, "--conditions", "mine.toml")
    assert ended.code == 2
    assert says in ended.told


def test_a_page_tells_its_pins_as_its_frets() -> None:
    page = run("arrange", "lamps.chart", *AT_1, "--pin", "2: bass 2").out
    assert "bar 2: bass 2" in " ".join(page.split())


def test_ideas_speak_of_frets_as_their_table_does() -> None:
    out = run("alternatives", "lamps.chart", *AT_1, "--by-idea").out
    nut = run("alternatives", "lamps.chart", "--capo", "1", "--by-idea").out
    above = r"no finger above fret (\d+)"
    counted, from_nut = (re.findall(above, text) for text in (out, nut))
    assert [int(fret) + 1 for fret in counted] == [int(fret) for fret in from_nut] != []


def test_answers_side_by_side_tell_their_settings_as_their_frets() -> None:
    run("arrange", "lamps.chart", *AT_1, "--to", "a.json")
    run("arrange", "lamps.chart", *AT_1, "--bass-ceiling", "6", "--pin", "2: bass 2",
        "--to", "b.json")  # fmt: skip
    text = run("compare", "a.json", "b.json", "--from-capo").out
    assert "bass ceiling - 1: 7; 2: 6" in text
    assert "bar 2: bass 2" in text
    text = run("compare", "a.json", "b.json").out
    assert "bass ceiling - 1: 8; 2: 7" in text
    assert "bar 2: bass 3" in text
    run("compare", "a.json", "b.json", "--from-capo", "--to", "c.json")
    assert "bass 3" in Path("c.json").read_text(encoding="utf-8")


IDLE = "undersong: note: --from-capo changed nothing: there is no capo; put one on with --capo\n"


@pytest.mark.parametrize(
    "command",
    [
        ("arrange", "lamps.chart"),
        ("why", "lamps.chart", "--bar", "3"),
        ("shapes", "lamps.chart", "--to", "shapes.svg"),
        ("arrange", "lamps.chart", "--to", "again.json"),
        ("why", "plain.json", "--bar", "3"),
        ("page", "plain.json", "--to", "page.svg"),
        ("compare", "plain.json", "plain.json"),
        ("check", "plain.txt", "--tune", "lamps.chart"),
    ],
    ids=" ".join,
)
def test_without_a_capo_it_is_told_that_nothing_changed(command: tuple[str, ...]) -> None:
    assert run("arrange", "lamps.chart", "--to", "plain.json", "--to", "plain.txt").code == 0
    assert IDLE in run(*command, "--from-capo").told
    assert "--from-capo" not in run(*command).told


@pytest.mark.parametrize(
    "command", [("arrange", "lamps.chart"), ("why", "capo.json", "--bar", "3")]
)
def test_with_a_capo_nothing_is_said(command: tuple[str, ...]) -> None:
    assert run("arrange", "lamps.chart", "--capo", "1", "--to", "capo.json").code == 0
    capo = () if command[1].endswith(".json") else ("--capo", "1")
    assert "changed nothing" not in run(*command, *capo, "--from-capo").told


def test_keys_reads_its_frets_from_the_capo_anyway_and_says_nothing_of_it() -> None:
    told = run("keys", "lamps.chart", "--capos", "0", "--tunings", "D-A-d", "--rows", "1").told
    assert "--from-capo" not in told


@pytest.mark.parametrize("highest", ["6+", "21"])
def test_keys_limits_frets_past_every_capo_that_it_looks_at(highest: str) -> None:
    """Past a capo at 3 no half fret has the number 6, and none has the number 21."""
    ended = run("keys", "lamps.chart", "--capos", "0,3", "--tunings", "D-A-d", "--key", "Em",
                "--highest", highest, "--rows", "1")  # fmt: skip
    assert ended.code == 0, ended.told
    assert run("keys", "lamps.chart", "--highest", "2+").code == 2


def test_what_is_liked_is_named_as_it_was_asked_for() -> None:
    out = run("learn", "lamps.chart", *AT_1, "--pin", "2: bass 2", "--rounds", "1").out
    assert "'bar 2: bass 2': the best now" in out
