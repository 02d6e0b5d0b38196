"""``undersong check`` as a command: its page, its endings, and whatever may be handed to it."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.undersong.bad_input import GOOD_CHART
from tests.undersong.running import run

SOUND = """Gate Left Open, as Nan plays it
|-0---4---|-3---4---|-0-------|
|---0---0-|---1---2-|---0---0-|
|---2---2-|---0---3-|---2---2-|
"""
WRONG = SOUND.replace("|---0---3-|", "|---1---3-|")
SHAPES = "| D     | G     A7    | D     |\n| 0-0-2 | 3-1-0 4-2-3 | 0-0-2 |\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "gate.chart").write_text(GOOD_CHART)
    (tmp_path / "sound.txt").write_text(SOUND)
    (tmp_path / "wrong.txt").write_text(WRONG)
    (tmp_path / "shapes.txt").write_text(SHAPES)
    return tmp_path


@pytest.mark.parametrize("name", ["sound.txt", "shapes.txt"])
def test_a_sound_tab_ends_with_0(folder: Path, name: str) -> None:
    ended = run("check", name, "--tune", "gate.chart")
    assert ended.code == 0, ended.out + ended.told
    assert "Sound: it is this tune, and this hand can play it as it stands" in ended.out
    assert "Difficulty: hardest " in ended.out
    assert "A reach setting is a preference, not medical advice" in ended.out
    assert ended.lines == []


def test_faults_end_with_1_and_their_mend(folder: Path) -> None:
    ended = run("check", "wrong.txt", "--tune", "gate.chart")
    assert ended.code == 1
    said = " ".join(ended.out.split())
    assert "fault beat 2: the melody string at fret 1 sounds E4, which the chord G does not" in said
    assert (
        "The smallest change that mends it (1 string):\n  bar 2, beat 2: melody 1 -> " in ended.out
    )
    assert "ms more than the best" in ended.out or "as little as can be" in ended.out
    assert all(len(line) <= 80 for line in ended.out.splitlines())


def test_the_tab_may_be_piped(folder: Path) -> None:
    ended = run("check", "-", "--tune", "gate.chart", stdin=SOUND)
    assert ended.code == 0


def test_our_own_page_is_sound(folder: Path) -> None:
    page = run("arrange", "gate.chart", "--to", "page.txt", "--bass", "walking")
    assert page.code == 0
    ended = run("check", "page.txt", "--tune", "gate.chart", "--bass", "walking")
    assert ended.code == 0
    assert "as little as can be" in ended.out


def test_the_page_that_says_how_tab_is_read() -> None:
    ended = run("tab-format")
    assert ended.code == 0
    page = (Path(__file__).parents[3] / "undersong" / "tab.md").read_text(encoding="utf-8")
    assert ended.out == page.rstrip() + "\n"
    assert all(len(line) <= 100 for line in page.splitlines())
    for option in ("--melody-on-top", "--melody-first", "--six-plus-is-7", "--right-hand"):
        assert option in page
        assert option in run("check", "--help").out


@pytest.mark.parametrize("example", [0, 1])
def test_the_examples_of_that_page_are_sound(folder: Path, example: int) -> None:
    page = (Path(__file__).parents[3] / "undersong" / "tab.md").read_text(encoding="utf-8")
    text = page.split("```")[1 + 2 * example]
    chords = "| D | G | A7 | D |" if example == 0 else "| D | G A7 | D |"
    Path("page.chart").write_text(f"title: Page\nkey: D\nmetre: 4/4\n{chords}\n")
    Path("page.txt").write_text(text)
    ended = run("check", "page.txt", "--tune", "page.chart")
    assert ended.code == 0, ended.out + ended.told


BAD = [
    (("check", "none.txt", "--tune", "gate.chart"), "none.txt: there is no such file"),
    (("check", ".", "--tune", "gate.chart"), ".: this is a folder; name the file"),
    (("check", "sound.txt"), "the tune is missing; see undersong check --help"),
    (("check", "sound.txt", "--tune", "nothing.abc"), "nothing.abc"),
    (("check", "-", "--tune", "-"), "standard input can be the tab or the tune, not both"),
    (("check", "empty.txt", "--tune", "gate.chart"), "empty.txt, line 1: no tab stands here"),
    (("check", "bytes.txt", "--tune", "gate.chart"), "bytes.txt: this is no text in UTF-8; save"),
    (("check", "two.txt", "--tune", "gate.chart"), "two.txt, line 1: 2 lines of numbers stand"),
    (("check", "fret.txt", "--tune", "gate.chart"), "fret.txt, line 3, column 3: '123' is no fret"),
    (("check", "sound.txt", "--tune", "gate.chart", "--instrument", "four-equidistant"),
     "sound.txt, line 2: 3 lines of numbers stand together here, and the instrument has 4"),
    (("check", "sound.txt", "--tune", "gate.chart", "--hand", "paw"), "--hand: "),
    (("check", "sound.txt", "--tune", "gate.chart", "--bass", "jumping"), "--bass: "),
    (("check", "sound.txt", "--tune", "gate.chart", "--texture", "solo"), "no melody"),
    (("check", "sound.txt", "--tune", "gate.chart", "--capo", "2½"), "--capo: "),
    (("check", "capo.txt", "--tune", "gate.chart", "--from-capo", "--capo", "x"), "--capo: "),
]  # fmt: skip


@pytest.mark.parametrize(("arguments", "says"), BAD)
def test_bad_input_is_one_sentence(folder: Path, arguments: tuple[str, ...], says: str) -> None:
    (folder / "empty.txt").write_text("")
    (folder / "bytes.txt").write_bytes(b"|-0-\xff\xfe\x00|")
    (folder / "two.txt").write_text("|-0-|\n|-2-|\n")
    (folder / "fret.txt").write_text("Gate\n|-0-|\n|-123-|\n|-2-|\n")
    (folder / "capo.txt").write_text(SOUND)
    ended = run(*arguments)
    assert ended.code == 2, ended.out
    assert ended.out == ""
    assert len(ended.lines) == 1
    assert says.casefold() in ended.told.casefold()


def test_a_tune_that_cannot_be_played_still_has_its_tab_judged(folder: Path) -> None:
    Path("flat.chart").write_text("title: Flat\nkey: Eb\nmetre: 4/4\n| Eb | Bb |\n")
    Path("flat.txt").write_text("|-0-|-0-|\n|-0-|-0-|\n|-2-|-2-|\n")
    ended = run("check", "flat.txt", "--tune", "flat.chart")
    assert ended.code == 1
    assert "which the chord Eb does not have" in " ".join(ended.out.split())
    assert "What it costs is not known: " in ended.out


SIGNS = st.sampled_from("0123456789+½.-–|:xX()*'> \n\tDAdGm7TIMRP,~é\u2500\u0000")


@st.composite
def damaged(draw: st.DrawFn) -> str:
    """A good tab with signs left out, put in and changed."""
    text = list(draw(st.sampled_from([SOUND, WRONG, SHAPES, PAGE])))
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(text) - 1))
        what = draw(st.sampled_from(("out", "in", "other")))
        if what == "out" and len(text) > 1:
            del text[at : at + draw(st.integers(1, 9))]
        elif what == "in":
            text.insert(at, draw(SIGNS))
        elif at < len(text):
            text[at] = draw(SIGNS)
        text = text or [" "]
    return "".join(text)


PAGE = """
       1                 2                 3
       D                 G       A7        D
       1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .
D3   |.0-------4-------|-3-------4-------|-0-------0-------||
A3   |.....0-------0---|-----1---)...2---|-)...0-------0---||
D4   |.....2-------2---|-)...0---)...3---|-)...2-------2---||
D3             T         T       T
A3                           I       R
D4         I       I                 I         I       I
bass   R       5         R       R         R       R
"""


def test_the_page_that_is_damaged_is_sound(folder: Path) -> None:
    ended = run("check", "-", "--tune", "gate.chart", stdin=PAGE)
    assert ended.code == 0, ended.out + ended.told


def hold_together(text: str) -> None:
    ended = run("check", "-", "--tune", "gate.chart", stdin=text.encode("utf-8"))
    assert ended.code in (0, 1, 2)
    if ended.code == 2:
        assert ended.out == ""
        assert len(ended.lines) == 1
    else:
        assert "A reach setting is a preference" in ended.out


NEVER = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]


@settings(max_examples=40, deadline=None, suppress_health_check=NEVER)
@given(text=damaged())
def test_whatever_is_damaged_ends_in_one_of_three_ways(folder: Path, text: str) -> None:
    hold_together(text)


@pytest.mark.slow
@settings(max_examples=1500, deadline=None, suppress_health_check=NEVER)
@given(text=damaged() | st.text(SIGNS, max_size=200))
def test_whatever_is_damaged_ends_in_one_of_three_ways_often(folder: Path, text: str) -> None:
    hold_together(text)


def test_a_sound_part_of_the_tune_ends_with_0(folder: Path) -> None:
    (folder / "part.txt").write_text("|-0---4---|\n|---0---0-|\n|---2---2-|\n")
    ended = run("check", "part.txt", "--tune", "gate.chart")
    assert ended.code == 0
    assert "remark   the tab has 1 bar, and the tune 3 bars;" in ended.out
    assert "What is there is sound: it is a part of this tune" in ended.out
