"""The command line: what it lists, what it arranges, and how it ends."""

import json
import shlex
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import click
import pytest

import corpus
from fretboard.hand import CAUTION, MEASURE
from fretboard.presets import hands, instruments, tunings
from scoring.terms import TERMS
from solver.manners import MANNERS
from solver.righthand import right_hands
from solver.search import Answer
from solver.style import TEXTURES
from tests.undersong.bad_input import GOOD_ABC, GOOD_CHART
from tests.undersong.running import run
from tune.readers import read
from undersong.check import Fault
from undersong.cli import COMMANDS, group


@pytest.fixture(autouse=True)
def _somewhere_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every test runs in an empty folder, which need not know where the program lies."""
    monkeypatch.chdir(tmp_path)


def first_words(text: str) -> list[str]:
    return [line.split()[0] for line in text.splitlines()[1:] if line.strip()]


def test_help_tells_every_command_in_its_own_words() -> None:
    ended = run("--help")
    assert ended.code == 0
    for name, (_, line) in COMMANDS.items():
        assert name in ended.out
        assert line in ended.out
        told = run(name, "--help")
        assert told.code == 0
        assert told.out.startswith(f"Usage: undersong {name} ")


def test_a_command_says_the_same_in_the_list_and_in_its_help() -> None:
    context = click.Context(group)
    for name, (_, line) in COMMANDS.items():
        command = group.get_command(context, name)
        assert command is not None
        assert command.name == name
        assert command.help is not None
        # the same first two words: "List the", "Turn a", "Show how"
        assert command.help.split()[:2] == line.split()[:2]


@pytest.mark.parametrize(
    ("command", "names"),
    [
        ("tunes", corpus.names()),
        ("instruments", tuple(info.name for info in instruments())),
        ("tunings", tuple(info.name for info in tunings())),
        ("textures", tuple(TEXTURES)),
        ("manners", tuple(MANNERS)),
        ("right-hands", tuple(hand.name for hand in right_hands())),
        ("weights", tuple(term.about.name for term in TERMS)),
    ],
)
def test_a_list_has_every_name_once(command: str, names: tuple[str, ...]) -> None:
    ended = run(command)
    assert (ended.code, ended.told) == (0, "")
    assert first_words(ended.out) == list(names)
    assert "\x1b" not in ended.out, "plain where it is no terminal"


def test_hands_come_with_the_caution() -> None:
    ended = run("hands")
    listed, measure, caution = ended.out.split("\n\n")
    assert first_words(listed) == [info.name for info in hands()]
    assert measure == MEASURE
    assert caution.strip() == CAUTION
    assert "not medical advice" in " ".join(run("arrange", "--help").out.split())


def test_weights_say_default_unit_and_meaning() -> None:
    lines = run("weights").out.splitlines()
    for term, line in zip(TERMS, lines[1:], strict=True):
        about = term.about
        assert line.split()[:2] == [about.name, str(about.default)]
        assert about.unit in line
        assert line.endswith(about.meaning)


def test_the_page_of_the_chart_format_is_the_whole_page_and_its_example_can_be_read() -> None:
    ended = run("chart-format")
    page = Path(__file__).parents[2] / "undersong" / "chart.md"
    assert ended.out.strip() == page.read_text(encoding="utf-8").strip()
    example = ended.out.split("```")[1].strip()
    Path("example.chart").write_text(example, encoding="utf-8")
    assert read("example.chart").title in example


def test_arranging_a_bundled_tune_prints_a_tab_and_a_verdict() -> None:
    ended = run("arrange", "harrow-lane")
    assert ended.code == 0, ended.told
    assert "Harrow Lane" in ended.out
    assert ended.out.isascii()
    assert max(map(len, ended.out.splitlines())) <= 80
    assert ended.lines[-1].startswith("undersong: proven best: ")
    assert "ms of hand work" in ended.lines[-1]


def test_the_same_tune_by_file_by_name_and_piped_in_gives_the_same_page() -> None:
    Path("gate.abc").write_text(GOOD_ABC, encoding="utf-8")
    by_file = run("arrange", "gate.abc")
    piped = run("arrange", "-", stdin=GOOD_ABC)
    assert by_file.code == piped.code == 0
    assert by_file.out == piped.out
    named = run("arrange", "lantern-path")
    assert named.out == run("arrange", str(corpus.path("lantern-path"))).out


def test_files_are_written_by_their_suffix_and_nothing_goes_to_stdout() -> None:
    Path("gate.chart").write_text(GOOD_CHART, encoding="utf-8")
    Path("gate.json").write_text("old", encoding="utf-8")
    ended = run("arrange", "gate.chart", "--to", "gate.txt", "--to", "gate.json")
    assert ended.code == 0, ended.told
    assert ended.out == ""
    assert "Gate Left Open" in Path("gate.txt").read_text(encoding="utf-8")
    assert json.loads(Path("gate.json").read_text(encoding="utf-8"))["format"]
    assert sorted(file.name for file in Path().iterdir()) == ["gate.chart", "gate.json", "gate.txt"]


def test_a_dash_is_standard_output_beside_files() -> None:
    ended = run("arrange", "lantern-path", "--to", "-", "--to", "tab.txt")
    assert ended.code == 0
    assert ended.out == Path("tab.txt").read_text(encoding="utf-8")


def test_options_reach_the_answer() -> None:
    plain = json_of("lantern-path")
    assert json_of("lantern-path", "--capo", "0", "--bass", "alternating") == plain
    for options in (
        ("--bass", "roots"),
        ("--capo", "3"),
        ("--transpose", "-5"),
        ("--tempo", "60"),
        ("--hand", "small"),
        ("--instrument", "1+6+"),
        ("--scale", "25in"),
        ("--right-hand", "full-strum"),
        ("--bass-ceiling", "6"),
        ("--highest", "6+"),
        ("--bass-above",),
        ("--weight", "high-bass=99"),
    ):
        assert json_of("lantern-path", *options) != plain, options


def test_single_weights_stand_above_the_file() -> None:
    Path("mine.toml").write_text("high-bass = 5\nfinger-up = 7\n", encoding="utf-8")
    both = json_of("lantern-path", "--weights", "mine.toml", "--weight", "high-bass=11")
    apart = json_of("lantern-path", "--weight", "finger-up=7", "--weight", "high-bass=11")
    assert both == apart
    assert tomllib.loads(Path("mine.toml").read_text(encoding="utf-8"))["high-bass"] == 5


def test_frets_of_limits_are_counted_from_the_nut_or_from_the_capo() -> None:
    from_nut = json_of("lantern-path", "--capo", "3", "--highest", "8")
    # fret 3 is 5 semitones and fret 8 is 14: nine semitones above the capo is fret 5
    from_capo = json_of("lantern-path", "--capo", "3", "--highest", "5", "--from-capo")
    assert from_nut["style"] == from_capo["style"]


def test_a_tune_that_cannot_be_played_is_an_answer_and_no_bad_input() -> None:
    ended = run("arrange", "the-vicars-piano", "--to", "tab.txt", "--time-limit", "1")
    assert ended.code == 1
    assert ended.out == ""
    assert "bar 1" in ended.lines[0]
    assert "Eb" in ended.lines[0]
    assert not any("clash: " in line for line in ended.lines), "the first line says it"
    *mends, last = ended.lines[1:]
    assert all(line.startswith("undersong: mend: ") for line in mends)
    assert "could not be tried to the end" in last
    assert not Path("tab.txt").exists()


def test_notes_of_the_reader_are_told_once_each() -> None:
    Path("gate.chart").write_text(GOOD_CHART, encoding="utf-8")
    notes = read("gate.chart").notices
    assert notes, "a chart without a tempo gives one"
    told = run("arrange", "gate.chart").told.splitlines()
    for note in notes:
        assert told.count(f"undersong: note: gate.chart: {note}") == 1


def json_of(tune: str, *options: str) -> dict[str, object]:
    ended = run("arrange", tune, *options, "--to", "answer.json")
    assert ended.code == 0, ended.told
    found: dict[str, object] = json.loads(Path("answer.json").read_text(encoding="utf-8"))
    return found


def test_a_time_limit_before_the_proof_gives_the_answer_and_says_what_it_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from solver import search as room

    honest = room.Search.solve

    def stopped(*arguments: Any, **named: Any) -> Answer:
        assert named["watch"].seconds == 0.5
        answer = honest(*arguments, **(named | {"watch": None}))
        return replace(answer, optimal=False, bound=answer.bound - 70)

    monkeypatch.setattr(room.Search, "solve", stopped)
    ended = run("arrange", "lantern-path", "--time-limit", "0.5", "--to", "tab.txt")
    assert ended.code == 3
    assert Path("tab.txt").exists()
    assert "best so far" in ended.lines[-1]
    assert "at most 70 ms above the best" in ended.lines[-1]


def test_an_answer_that_fails_its_check_is_not_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    fault = Fault(3, 0, "reach", "the thumb is further from the index finger than it reaches")
    monkeypatch.setattr("undersong.check.check", lambda _: (fault,))
    ended = run("arrange", "lantern-path", "--to", "-", "--to", "tab.txt")
    assert ended.code == 4
    assert ended.out == ""
    assert not Path("tab.txt").exists()
    assert len(ended.lines) == 1
    assert "fault of the program" in ended.lines[0]


def test_the_examples_of_the_help_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    lines = [line.strip() for line in run("arrange", "--help").out.splitlines()]
    examples = [line for line in lines if line.startswith("undersong arrange ")]
    assert len(examples) == 3
    for line in examples:
        ended = run(*shlex.split(line)[1:])
        assert ended.code == 0, ended
        assert "proven best" in ended.told
    assert (tmp_path / "harrow-lane.txt").read_text(encoding="utf-8").startswith("Harrow Lane\n")


def test_strings_far_from_their_pitch_are_told_and_played() -> None:
    asked = ("arrange", "harrow-lane", "--instrument", "baritone", "--tuning", "D-A-A")
    ended = run(*asked)
    assert ended.code == 0
    assert "warning: the bass and middle strings, tuned to D3 and A3, are a fourth" in ended.told
    assert "safe" not in ended.told
    assert "warning:" not in run("arrange", "harrow-lane", "--instrument", "baritone").told
