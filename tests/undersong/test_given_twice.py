"""An option with one value that is given twice is refused, in every command; the last would be
taken in silence, and whoever typed the first would not know."""

import click
import pytest

from tests.undersong.running import run
from undersong.cli import COMMANDS, group

SINGLE = [
    (name, param)
    for name in COMMANDS
    for param in group.get_command(click.Context(group), name).params  # type: ignore[union-attr]
    if isinstance(param, click.Option) and not param.is_flag and not param.multiple
]


def test_there_are_such_options_in_many_commands() -> None:
    assert len({name for name, _ in SINGLE}) > 15
    assert ("arrange", "--chords") in {(name, param.opts[-1]) for name, param in SINGLE}


@pytest.mark.parametrize(
    ("command", "param"), SINGLE, ids=[f"{name} {param.opts[-1]}" for name, param in SINGLE]
)
def test_it_is_refused_and_named(command: str, param: click.Option) -> None:
    option = param.opts[-1]
    ended = run(command, option, "1", f"{option}=2", "harrow-lane")
    assert (ended.code, ended.out) == (2, "")
    assert ended.lines == [f"undersong: {option}: this is given twice; give it once"]


def test_the_same_value_twice_is_refused_too() -> None:
    ended = run("arrange", "harrow-lane", "--hand", "small", "--hand", "small")
    assert ended.lines == ["undersong: --hand: this is given twice; give it once"]


def test_switches_and_what_may_be_given_again_are_not() -> None:
    again = ("--weight", "hand-shift=1", "--weight", "high-bass=2", "--unicode", "--unicode")
    assert run("arrange", "lantern-path", *again).code == 0


@pytest.mark.parametrize("asked", ["--help", "-h"])
def test_whoever_asks_for_help_gets_it(asked: str) -> None:
    ended = run("arrange", "--hand", "small", "--hand", "large", asked)
    assert ended.code == 0
    assert "Usage" in ended.out
