"""Whatever is handed in, the check ends in one of three ways, and says so in order."""

import re
from pathlib import Path
from random import Random

import pytest

from tests.undersong.handed.mangled import mangled
from tests.undersong.running import run

CHART = "title: Harrow Lane Round\nkey: D\nmetre: 4/4\ntempo: 1/4 = 100\n| D | G | A7 | D |\n"
SUNG = """X:1
T:Harrow Lane Round
M:4/4
L:1/4
Q:1/4=90
K:D
"D"D F A F|"G"G B "A7"A2|"D"d4|]
"""
SETTINGS: tuple[tuple[str, ...], ...] = (
    (), (), (), ("--six-plus-is-7",), ("--melody-on-top",), ("--melody-first",),
    ("--instrument", "chromatic"), ("--instrument", "four-equidistant"), ("--hand", "small"),
    ("--texture", "bass"), ("--capo", "1", "--from-capo"), ("--tempo", "400"),
    ("--tuning", "D-A-A"), ("--texture", "solo"), ("--width", "40"),
)  # fmt: skip


def settles(seed: int, folder: Path) -> int:
    """Its exit code; an exception that nobody expected is raised by ``run``."""
    chance = Random(f"handed {seed}")
    (folder / "lane.chart").write_text(CHART)
    (folder / "lane.abc").write_text(SUNG)
    asked = chance.choice(SETTINGS)
    tune = "lane.abc" if "solo" in asked else "lane.chart"
    text = mangled(chance).encode("utf-8")
    ended = run("check", "-", "--tune", str(folder / tune), *asked, stdin=text)
    assert ended.code in (0, 1, 2), (seed, ended)
    assert "Traceback" not in ended.told
    if ended.code == 2:
        assert (ended.out, len(ended.lines)) == ("", 1), seed
        return 2
    assert ended.lines == [], seed
    assert "A reach setting is a preference, not medical advice" in " ".join(ended.out.split())
    width = 40 if "--width" in asked else 80
    assert all(len(line) <= width for line in ended.out.splitlines()), seed
    faults = len(re.findall(r"^  fault", ended.out, re.MULTILINE))
    page = " ".join(ended.out.split())
    sound = any(
        words in page
        for words in (
            "Sound: it is this tune", "It is this tune, and ",
            "What is there is sound: it is a part of this tune",
            "What is there is a part of this tune, and ",
        )
    )  # fmt: skip
    assert sound == (ended.code == 0), seed
    assert not (faults and ended.code == 0), seed
    return ended.code


def test_mangled_tabs_settle(tmp_path: Path) -> None:
    codes = {settles(seed, tmp_path) for seed in range(12)}
    assert codes >= {1, 2}


@pytest.mark.slow
def test_many_mangled_tabs_settle(tmp_path: Path) -> None:
    codes = [settles(seed, tmp_path) for seed in range(500)]
    assert all(codes.count(code) > 20 for code in (0, 1, 2))
