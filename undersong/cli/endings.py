"""How a command may end when something is wrong: an exit code and one line on stderr.

Public: Ending, ending, naming, say, Refused.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import click

ANSWER, BAD_INPUT, OUR_FAULT, INTERRUPTED, PIPE_GONE = 1, 2, 3, 130, 141


@dataclass(frozen=True)
class Ending:
    """code: the process's exit code; line: what stands on stderr, nothing where empty."""

    code: int
    line: str


class Refused(click.ClickException):
    """An option or argument that cannot be used: one sentence that names it and the mend."""

    exit_code = BAD_INPUT


@contextmanager
def naming(option: str) -> Iterator[None]:
    """Puts the option's name before whatever sentence the rooms complain with."""
    try:
        yield
    except ValueError as error:
        raise Refused(f"{option}: {error}") from None


def say(line: str) -> None:
    """One line on stderr, whatever line breaks a file's name or a library put into it."""
    print("undersong: " + " ".join(line.split()), file=sys.stderr)


def ending(error: BaseException) -> Ending | None:
    """How the command ends for an error; None for one that nobody expected, a fault of ours that
    keeps its traceback."""
    if isinstance(error, click.ClickException):
        return Ending(BAD_INPUT, _complaint(error))
    if isinstance(error, KeyboardInterrupt):
        return Ending(INTERRUPTED, "stopped; no file was left half written")
    if isinstance(error, BrokenPipeError):
        return Ending(PIPE_GONE, "")
    if isinstance(error, OSError):
        return Ending(BAD_INPUT, _system(error))
    return _of_the_rooms(error)


def _of_the_rooms(error: BaseException) -> Ending | None:
    """Errors of our own kinds. Imported here: where one was raised, they are there already."""
    from fretboard.errors import FretboardError
    from scoring.weights import WeightError
    from solver.errors import ArrangeError, NotPlayable
    from tune.errors import TuneError
    from undersong.api import WrongAnswer

    if isinstance(error, NotPlayable):
        return Ending(ANSWER, str(error))
    if isinstance(error, TuneError | FretboardError | WeightError | ArrangeError):
        return Ending(BAD_INPUT, str(error))
    if isinstance(error, WrongAnswer):
        return Ending(OUR_FAULT, str(error))
    return None


def _complaint(error: click.ClickException) -> str:
    """click's complaint, with where to look; our own as it is."""
    message = error.format_message().rstrip(".")
    if isinstance(error, Refused) or not isinstance(error, click.UsageError):
        return message
    if isinstance(error, click.MissingParameter) and error.param_hint is None:
        param = error.param
        if param is not None and param.param_type_name == "argument":
            message = f"the {param.human_readable_name} is missing"
    command = error.ctx.command_path if error.ctx else "undersong"
    return f"{message}; see {command} --help"


def _system(error: OSError) -> str:
    what = error.strerror or type(error).__name__
    return f"{error.filename}: {what}" if error.filename else f"the system says: {what}"
