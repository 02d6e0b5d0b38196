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
