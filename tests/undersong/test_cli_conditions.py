"""Conditions on the command line: what is kept on the page, and how refusals end."""

import re
from pathlib import Path

import pytest

from solver.conditions import Conditions
from solver.conditions.few_shapes import FewShapes
from solver.errors import NotFound
from solver.result import PROVEN
from tests.undersong.running import run
from undersong.compared import figures
from undersong.session import Session

CHART = """title: Harrow Lane Exercise
key: D
metre: 4/4
tempo: 100

| D | G | A7 | D |
"""


@pytest.fixture(autouse=True)
def mine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("mine.chart").write_text(CHART, encoding="utf-8")


def arrange(*arguments: str) -> tuple[int, str, str]:
    """(exit code, page, the first line said)."""
    ended = run("arrange", "mine.chart", "--to", "-", *arguments)
    return ended.code, ended.out, (ended.lines or [""])[0]


def test_the_conditions_beside_the_tune_are_kept() -> None:
    walking = arrange("--pin", "2: manner walking")
    plain = arrange()
    assert (walking[0], plain[0]) == (0, 0)
    assert walking[1] != plain[1]
    Path("mine.conditions.toml").write_text('pin = "2: manner walking"', encoding="utf-8")
    ended = run("arrange", "mine.chart", "--to", "-")
    assert (ended.code, ended.out) == walking[:2]
    assert "note: with the conditions in mine.conditions.toml" in ended.told
    without = run("arrange", "mine.chart", "--conditions", "none", "--to", "-")
    assert without.out == plain[1]
    assert "conditions in" not in without.told


@pytest.mark.parametrize(
    ("options", "code", "says"),
    [
        ("2 beat 2: middle 0", 1, ("bar 2, beat 2: ", "cannot be kept", "no tone of the chord G")),
        ("1: bass 3,1: bass 4", 2, ("'bar 1: bass 3' and 'bar 1: bass 4' contradict each other",)),
        ("1: bass 1+", 2, ("--pin: there is no fret 1+ under the bass string",)),
        ("99: bass 0", 2, ("the tune has no bar 99", "it has bars")),
        ("1 beat 9: bass 0", 2, ("nothing is struck on beat 9",)),
        ("1: manner walking,1: manner held", 2, ("cannot have two manners",)),
    ],
)
def test_pins_that_cannot_be_kept(options: str, code: int, says: tuple[str, ...]) -> None:
    pins = [word for pin in options.split(",") for word in ("--pin", pin)]
    ended, page, said = arrange(*pins)
    assert (ended, page) == (code, "")
    for phrase in says:
        assert phrase in said


def test_shapes_of_which_none_serves() -> None:
    code, page, said = arrange("--known", "7-7-9 MIT")
    assert (code, page) == (1, "")
    assert "none of the shapes that are known serves for" in said


def test_bars_are_kept_from_an_earlier_answer() -> None:
    assert run("arrange", "mine.chart", "--to", "first.json", "--to", "first.txt").code == 0
    other = ("--weight", "finger-down=400", "--weight", "third-missing=0", "--width", "200")
    changed = run("arrange", "mine.chart", "--to", "-", *other)
    kept = run("arrange", "mine.chart", "--to", "-", *other, "--keep", "first.json:1-4")
    assert kept.code == 0, kept.told
    first = run("arrange", "mine.chart", "--to", "-", "--width", "200").out.splitlines()
    tab = [line for line in first if "|" in line]
    assert [line for line in kept.out.splitlines() if "|" in line] == tab
    assert [line for line in changed.out.splitlines() if "|" in line] != tab


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("first.json", "write a JSON file and bars"),
        (":5", "write a JSON file and bars"),
        ("none.json:5", "none.json: the file cannot be read"),
        ("mine.chart:1", "mine.chart: "),
        ("mine.conditions.toml:1", "the file cannot be read"),
    ],
)
def test_an_answer_that_cannot_be_kept(text: str, says: str) -> None:
    code, page, said = arrange("--keep", text)
    assert (code, page) == (2, "")
    assert said.startswith("undersong: --keep")
    assert says in said


def test_bars_kept_from_an_answer_in_another_manner_say_which_pin_asks_for_it() -> None:
    assert run("arrange", "mine.chart", "--bass", "walking", "--to", "walked.json").code == 0
    keep = ("mine.chart", "--keep", "walked.json:1-2")
    ended = run("arrange", *keep, "--to", "-")
    assert (ended.code, ended.out) == (1, "")
    assert "the right hand strikes other strings here" in ended.lines[0]
    assert "goes no higher than fret" not in ended.told  # which has nothing to do with it
    told = "note: bars 1-2 were made in the manner walking: --pin '1-2: manner walking' asks for it"
    assert told in ended.told
    mends = run("mends", *keep)
    assert told in mends.told
    assert "mend: another bass manner" in mends.out
    assert told in run("learn", *keep).told
    assert run("arrange", *keep, "--pin", "1-2: manner walking", "--to", "-").code == 0
    more = ("--keep", "walked.json:4", "--pin", "1: manner walking")
    said = run("arrange", *keep, *more, "--to", "-").told
    assert "note: bars 2, 4 were made in the manner walking: " in said
    assert "--pin '2: manner walking' --pin '4: manner walking' asks for it there" in said


def test_a_pinned_manner_of_another_texture_in_a_file_is_not_called_an_option() -> None:
    Path("mine.conditions.toml").write_text('pin = "2: manner figure"', encoding="utf-8")
    code, page, said = arrange()
    assert (code, page) == (2, "")
    assert said.startswith("undersong: conditions 'bar 2: manner figure': ")
    assert "ask for --texture bass, or pin another" in said


def test_bars_kept_that_have_other_strokes_say_which_pin_asks_for_them() -> None:
    assert run("arrange", "mine.chart", "--texture", "bass", "--to", "part.json").code == 0
    code, page, said = arrange(
        "--texture", "bass", "--bass", "walking", "--keep", "part.json:1-4", "--pin", "1: bass 0"
    )
    assert (code, page) == (2, "")
    assert "--pin '1-4: manner alternating' asks for it there" in said


@pytest.mark.parametrize("option", ["--pin", "--forbid"])
@pytest.mark.parametrize("bars", ["2-80", "80"])
def test_a_bar_that_the_tune_does_not_have_is_bad_input(option: str, bars: str) -> None:
    """Even where the rest of the range clashes, or could be kept."""
    for what in ("bass 3", "finger P" if option == "--forbid" else "bass 0"):
        code, page, said = arrange(option, f"{bars}: {what}")
        assert (code, page) == (2, "")
        assert "the tune has no bar 80; it has bars 1 to 4" in said
        assert ("so write bars 2-4" in said) == (bars == "2-80")


def test_an_answer_to_another_tune_cannot_be_kept() -> None:
    other = CHART.replace("Harrow Lane Exercise", "Gate Left Open").replace("| G |", "| Em |")
    Path("other.chart").write_text(other, encoding="utf-8")
    assert run("arrange", "other.chart", "--to", "other.json").code == 0
    code, page, said = arrange("--keep", "other.json:1-2")
    assert (code, page) == (2, "")
    assert said == (
        "undersong: --keep other.json: this is an answer to 'Gate Left Open', and the tune here is "
        "'Harrow Lane Exercise'; name a file that was written for this tune"
    )
    assert arrange("--keep", "other.json:3-4")[0] == 0  # bars that the tunes share


def test_far_too_few_shapes_are_told_a_number_that_can_be_had(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Half way up to what the easiest way uses; it is what it is said to cost."""

    def out_of_time(*_: object, **__: object) -> None:
        raise NotFound("nothing was found in the time there was")

    plain = Session("mine.chart")
    used = figures(plain.arrange()).shapes
    with monkeypatch.context() as patched:
        patched.setattr(Session, "arrange", out_of_time)
        ended = run("arrange", "mine.chart", "--to", "-", "--shapes", "5")
    assert ended.code == 3
    told = [line for line in ended.told.splitlines() if "note: " in line]
    assert f"the easiest way uses {used} shapes" in told[0]
    had = re.search(r"note: (\d+) can be had: for (\d+) ms of hand work, as far as", told[1])
    assert had is not None
    many, cost = int(had[1]), int(had[2])
    assert 1 < many < used
    best = plain.arrange(conditions=Conditions(shapes=FewShapes(most=many)))
    assert figures(best).shapes <= many
    assert best.proof.status == PROVEN
    assert best.cost == cost
