"""Every option of ``arrange`` in every texture: it changes what comes out, or the player is told.

No option may be swallowed: the table names a value for each, and the textures in which it counts.
"""

import re
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path

import pytest

from solver.style import TEXTURES
from tests.undersong.running import run
from undersong.cli.asked import Asked

ALL = tuple(TEXTURES)
SUNG = ("solo", "drone")
HELD = ("song", "solo", "bass")

TUNE = """X:1
T:Try
M:4/4
L:1/4
Q:1/4=80
K:D
"D"d {e}f a f|"G"g b g d|"A7"e g "N.C."z2|"D"d4|]

X:2
T:Try the Other
M:3/4
L:1/4
Q:1/4=80
K:D
"D"d f a|"A7"g2 e|"D"d3|]
"""


@dataclass(frozen=True)
class Row:
    """asked: the option with a value; heard: textures in which it changes something; beside: what
    it is asked with."""

    asked: str
    heard: tuple[str, ...] = ALL
    beside: str = ""


ROWS = {
    "choose": Row("--choose 2", beside="--choose 1"),
    "tempo": Row("--tempo 200"),
    "transpose": Row("--transpose 5"),
    "instrument": Row("--instrument baritone"),
    "tuning": Row("--tuning D-A-A"),
    "capo": Row("--capo 1"),
    "scale": Row("--scale 1000", beside="--scale 500"),
    "hand": Row("--hand small"),
    "chords": Row("--chords drone"),
    "octave": Row("--octave all=-1", SUNG),
    "graces": Row("--graces", SUNG),
    "bass": Row("--bass roots", HELD),
    "right_hand": Row("--right-hand broken", HELD),
    "no_chord": Row("--no-chord carry", HELD),
    "bass_ceiling": Row("--bass-ceiling 2", HELD),
    "highest": Row("--highest 1", ("song", "solo")),
    "melody_highest": Row("--melody-highest 5", SUNG),
    "bass_above": Row(
        "--bass-above", ("song", "solo"), beside="--tuning 'D4 A3 D4' --weight bass-above=0"
    ),
    "weights": Row("--weights mine.toml"),
    "weight": Row("--weight finger-down=400"),
    "to": Row("--to try.json"),
    "melody_on_top": Row("--melody-on-top", ("song", "solo", "drone")),
    "from_capo": Row("--from-capo", beside="--capo 1"),
    "width": Row("--width 50"),
    "unicode": Row("--unicode"),
    "without_finger": Row("--without-finger T"),
    "shapes_used": Row("--shapes-used"),
    "left_handed": Row("--left-handed", beside="--shapes-used"),
}
"""Field of ``Asked`` → how it is asked."""

ELSEWHERE = {"tune", "texture", "form", "time_limit"}
"""Not for here: which tune and texture, how a file is read, how long it may take."""


@pytest.fixture(autouse=True)
def _somewhere_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("try.abc").write_text(TUNE, encoding="utf-8")
    Path("mine.toml").write_text("finger-down = 400\n", encoding="utf-8")


def words(text: str) -> list[str]:
    return [word.strip("'") for word in re.findall(r"'[^']*'|\S+", text)]


def arranged(texture: str, options: str) -> tuple[int, str, str]:
    chosen = "" if "--choose" in options else "--choose 1 "
    ended = run("arrange", "try.abc", "--texture", texture, *words(chosen + options))
    return ended.code, ended.out, re.sub(r"searched for .*", "", ended.told)


@cache
def plain(texture: str, options: str) -> tuple[int, str, str]:
    return arranged(texture, options)


def test_every_option_is_in_the_table() -> None:
    assert {field.name for field in fields(Asked)} == set(ROWS) | ELSEWHERE


@pytest.mark.parametrize("texture", ALL)
@pytest.mark.parametrize("name", ROWS)
def test_no_option_is_swallowed(name: str, texture: str) -> None:
    row = ROWS[name]
    before = plain(texture, row.beside)
    beside = "" if "--choose" in row.beside or "--scale" in row.beside else row.beside
    code, out, told = arranged(texture, f"{beside} {row.asked}".strip())
    option = row.asked.split()[0]
    if texture in row.heard:
        assert code in (0, 1), told
        assert (code, out) != before[:2], (told, before)
        assert "changed nothing" not in told
    elif code == 2:
        assert told.startswith(f"undersong: {option}: ")
        assert len(told.splitlines()) == 1
    else:
        assert out == before[1]
        assert f"note: {option} changed nothing" in told


@pytest.mark.parametrize(
    ("asked", "to", "told"),
    [
        ("--width 60", "a.json", "--width changed nothing: what was written is .json"),
        ("--unicode", "a.csv", "--unicode changed nothing"),
        ("--shapes-used --left-handed", "a.musicxml", "--shapes-used, --left-handed changed"),
        ("--melody-on-top", "a.json", "--melody-on-top changed nothing"),
        ("--melody-on-top", "a.musicxml", ""),
        ("--width 60", "a.txt", ""),
        ("--octave all=-1", "a.musicxml", ""),  # the staff that the voice sings from
        ("--octave all=-1", "a.csv", "--octave changed nothing"),
    ],
)
def test_what_a_file_does_not_show_is_told(asked: str, to: str, told: str) -> None:
    ended = run("arrange", "try.abc", "--choose", "1", *words(asked), "--to", to)
    assert ended.code == 0
    assert Path(to).is_file()
    assert told in ended.told
    assert ("changed nothing" in ended.told) == bool(told)


def test_levels_tell_what_no_page_shows() -> None:
    ended = run("levels", "try.abc", "--choose", "2", "--only", "1", "--unicode")
    assert "note: --unicode changed nothing: no page was written; name one with --to" in ended.told


def test_levels_ask_each_levels_texture(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    level = "[[level]]\nteaches = 'x'\nbass = 'held'\n"
    file.write_text(level, encoding="utf-8")
    asked = ("levels", "try.abc", "--choose", "2", "--levels", str(file), "--graces")
    assert run(*asked).lines == [
        "undersong: --graces: a song plays no melody; leave it out, or take --texture solo or drone"
    ]
    file.write_text(level + "texture = 'drone'\n", encoding="utf-8")
    assert run(*asked).code == 0
    file.write_text(level + "right-hand = 'full-strum'\n", encoding="utf-8")
    assert run(*asked[:-1], "--right-hand", "broken").lines == [
        "undersong: --right-hand: every level in the levels file has its own; leave it out"
    ]
