"""The page that says how to write files of one's own: whole, and its examples are files."""

import re
from pathlib import Path

import pytest

from fretboard.hand import CAUTION, MEASURE, Movement
from fretboard.load_hand import HAND_KEYS
from fretboard.load_instrument import INSTRUMENT_KEYS
from fretboard.presets import hand, instrument
from solver.righthand import STRINGS, right_hand
from tests.undersong.running import run
from tune.time import Metre

PAGE = (Path(__file__).parents[2] / "undersong" / "own.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)


@pytest.fixture
def files(tmp_path: Path) -> list[str]:
    """The three examples as files."""
    names = []
    for kind, text in zip(("hand", "instrument", "right"), EXAMPLES, strict=True):
        file = tmp_path / f"my-{kind}.toml"
        file.write_text(text, encoding="utf-8")
        names.append(str(file))
    return names


def test_the_command_prints_the_whole_page() -> None:
    ended = run("own-files")
    assert (ended.code, ended.out, ended.told) == (0, PAGE.rstrip() + "\n", "")


def test_every_key_stands_on_the_page_and_the_caution_where_reach_is_set() -> None:
    for key in (*HAND_KEYS, *INSTRUMENT_KEYS, *vars(Movement())):
        assert re.search(rf"\b{key}\b", PAGE), key
    for strings in STRINGS:
        assert re.search(rf"^  .*{re.escape(strings)}\b", PAGE, re.MULTILINE), strings
    words = " ".join(PAGE.split())
    assert MEASURE in words
    assert CAUTION in words


def test_the_examples_are_read_as_they_say(files: list[str]) -> None:
    mine = hand(files[0])
    assert (mine.name, mine.span_mm, mine.may_bar, mine.not_used) == ("my-hand", 205, "IMR", "P")
    assert mine.movement == Movement()
    assert (mine.comfortable[0, 1], mine.greatest[0, 1]) == (1090, 1360)
    strung = instrument(files[1])
    assert strung.tuning == (50, 57, 62)
    assert [course.doubled for course in strung.courses] == [False, False, True]
    labels = [[strung.label(fret) for fret in course.frets] for course in strung.courses]
    assert [label for label in labels[0] if "+" in label] == ["6+", "13+"]
    assert [label for label in labels[2] if "+" in label] == ["1+", "6+", "13+"]
    assert strung.scale_mm == pytest.approx(685.8)
    right = right_hand(files[2])
    assert (right.name, right.damped) == ("slow-waltz", False)
    assert [s.strings for s in right.strokes(Metre(6, 8))] == ["bass", "upper"]


def test_a_tune_is_played_with_all_three(files: list[str]) -> None:
    own = ("--hand", files[0], "--instrument", files[1], "--right-hand", files[2])
    ended = run("arrange", "lantern-path", *own)
    assert ended.code == 0
    assert "slow-waltz" in ended.out
    assert "my-instrument" in ended.out
    assert "P little finger" not in " ".join(ended.out.split())
