"""The command ``levels``: a teacher's own file, the files that it writes, and refusals in the words
of one arrangement."""

from pathlib import Path

import pytest

from fretboard.presets import instrument
from solver.style import Style
from tests.undersong.running import run
from undersong.compared import figures
from undersong.levels import levels_for, read_levels
from undersong.sheet.document import from_json

STANDARD = instrument()


def test_bundled_levels_go_with_their_texture() -> None:
    for texture in ("song", "solo", "bass", "drone"):
        levels = levels_for(texture)
        assert 1 <= len(levels) <= 5
        for number, level in enumerate(levels, 1):
            assert level.number == number
            assert level.style(Style(texture=texture, manner="held"), STANDARD).manner == level.bass
    assert levels_for("solo")[0].texture == "drone"


def test_a_teachers_own_file(lamps: Path, tmp_path: Path) -> None:
    file = tmp_path / "class.toml"
    file.write_text(
        '[[level]]\nteaches = "Roots,\\n gently."\nbass = "roots"\nhighest = "6+"\nreach = 80\n'
        '[[level]]\nteaches = "Fourths."\nbass = "alternating-fourth"\nright-hand = "full-strum"\n',
        encoding="utf-8",
    )
    one, two = read_levels(file, "class.toml")
    assert (one.teaches, one.highest, one.reach, one.barred) == ("Roots, gently.", 11, 80, True)
    assert two.right_hand is not None
    assert two.right_hand.name == "full-strum"
    ended = run("levels", str(lamps), "--levels", str(file))
    assert ended.code == 0, ended
    assert "the right hand plays full-strum" in ended.out


def test_the_command_writes_a_file_a_level(lamps: Path, tmp_path: Path) -> None:
    folder = tmp_path / "levels"
    ended = run("levels", str(lamps), "--to", str(folder), "--as", "txt", "--only", "2-3")
    assert ended.code == 0, ended
    assert sorted(file.name for file in folder.iterdir()) == [
        "level-2.json", "level-2.txt", "level-3.json", "level-3.txt",
    ]  # fmt: skip
    for level, manner in ((2, "roots"), (3, "alternating")):
        made = from_json((folder / f"level-{level}.json").read_text(encoding="utf-8"))
        assert made.style.manner == manner
        assert made.level is not None
        assert made.level.number == level
        row = next(line for line in ended.out.splitlines() if line.startswith(f"{level} "))
        assert row.split()[-1] == str(figures(made).shapes)
    assert "Level 2 to 3:\n  the bass goes root and fifth in turn" in ended.out
    assert "no nested set can cost less than" in ended.told
    assert "ms" not in ended.out, "work counts wishes too, and falls where levels rise"
    page = " ".join((folder / "level-2.txt").read_text(encoding="utf-8").split())
    assert "Level 2: The root struck anew on every bass beat" in page
    asked = page.partition("Asked ")[2].partition(" 1 ")[0]
    assert "each bar no harder than on the next level" in asked
    assert "never finger P" in asked
    assert "whole tune" not in asked


def test_the_command_ends_with_an_answer_where_a_level_cannot_be_met(
    lamps: Path, tmp_path: Path
) -> None:
    file = tmp_path / "class.toml"
    file.write_text(
        '[[level]]\nteaches = "Nothing."\nbass = "roots"\nfingers = 0\n'
        '[[level]]\nteaches = "Roots."\nbass = "roots"\n',
        encoding="utf-8",
    )
    ended = run("levels", str(lamps), "--levels", str(file), "--to", str(tmp_path / "out"))
    assert ended.code == 1, ended
    assert [file.name for file in (tmp_path / "out").iterdir()] == ["level-2.json"]
    assert "level 1 cannot be met" in ended.told
    assert "it can be met with 1 finger down at once" in ended.told


CHORDLESS = """X:1
T:Wheelbarrow Row
M:4/4
L:1/4
K:D
d2 A2|B2 d2|c2 e2|d4|]
"""


@pytest.mark.parametrize("texture", ["song", "bass"])
def test_a_tune_without_chords_is_refused_as_one_arrangement_is(
    tmp_path: Path, texture: str
) -> None:
    """The same sentence, which offers the mend, and nothing written; no search for other mends."""
    file = tmp_path / "row.abc"
    file.write_text(CHORDLESS, encoding="utf-8")
    asked = (str(file), "--texture", texture)
    ended, alone = run("levels", *asked, "--to", str(tmp_path / "out")), run("arrange", *asked)
    assert (ended.code, alone.code) == (2, 2), ended
    assert ended.told == alone.told
    assert "--chords proposed or --chords drone" in ended.told
    assert "mends" not in ended.told
    assert not list(tmp_path.glob("out/*"))
    assert run("levels", *asked, "--only", "1", "--chords", "drone").code == 0


@pytest.mark.parametrize("texture", ["solo", "drone"])
def test_a_tune_without_a_melody_is_refused_as_one_arrangement_is(texture: str) -> None:
    """In the words of the texture that was asked for, though a solo's first level is a drone."""
    asked = ("third-tuesday-blues", "--texture", texture)
    ended, alone = run("levels", *asked), run("arrange", *asked)
    assert (ended.code, alone.code) == (2, 2), ended
    assert ended.told == alone.told
    assert f"and a {texture} is made of one" in ended.told


def test_levels_that_need_no_chords_come_out_without(tmp_path: Path) -> None:
    """A solo's first level may be a drone; the others say what they lack."""
    file = tmp_path / "row.abc"
    file.write_text(CHORDLESS, encoding="utf-8")
    ended = run("levels", str(file), "--texture", "solo")
    assert ended.code == 1, ended
    assert "levels 2, 3, 4 and 5 cannot be met" in ended.told
    assert "--chords proposed or --chords drone" in ended.told
