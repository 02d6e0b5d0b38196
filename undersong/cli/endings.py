"""How a command may end when something is wrong: an exit code and one line on stderr.

Public: Ending, ending, complaint, naming, say, not_proven, Refused, ANSWER, BAD_INPUT, UNPROVEN,
OUR_FAULT, INTERRUPTED, PIPE_GONE, STOPPED.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import NamedTuple, NoReturn

import click

ANSWER, BAD_INPUT, UNPROVEN, OUR_FAULT, INTERRUPTED, PIPE_GONE = 1, 2, 3, 4, 130, 141


STOPPED = "stopped; no file was left half written"


class Ending(NamedTuple):
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


def not_proven() -> NoReturn:
    """Ends a report that is not proven throughout."""
    say("not everything is proven; allow more time with --time-limit")
    raise click.exceptions.Exit(UNPROVEN)


def ending(error: BaseException) -> Ending | None:
    """How the command ends for an error of the rooms or the system; None for one that nobody
    expected, a fault of ours that keeps its traceback."""
    if isinstance(error, KeyboardInterrupt):
        return Ending(INTERRUPTED, STOPPED)
    if isinstance(error, BrokenPipeError):
        return Ending(PIPE_GONE, "")
    if isinstance(error, OSError):
        return Ending(BAD_INPUT, _system(error))
    return _of_the_rooms(error)


def _of_the_rooms(error: BaseException) -> Ending | None:
    """Errors of our own kinds. Imported here: where one was raised, they are there already."""
    from fretboard.errors import FretboardError
    from scoring.weights import WeightError
    from solver.errors import ArrangeError, NotFound, NotPlayable, Unfulfillable
    from solver.watch import OutOfTime, Stopped
    from tune.errors import TuneError
    from undersong.session import WrongAnswer
    from undersong.sheet.errors import SheetError

    if isinstance(error, NotPlayable | Unfulfillable):
        return Ending(ANSWER, str(error))
    if isinstance(error, NotFound | OutOfTime):
        return Ending(UNPROVEN, str(error))
    if isinstance(error, Stopped):
        return Ending(INTERRUPTED, str(error))
    if isinstance(error, TuneError | FretboardError | WeightError | ArrangeError | SheetError):
        return Ending(BAD_INPUT, str(error))
    if isinstance(error, WrongAnswer):
        return Ending(OUR_FAULT, str(error))
    return None


def complaint(error: click.ClickException, command: str) -> str:
    """click's complaint, with where to look: the help of ``command``; ours as it is."""
    message = error.format_message()
    if isinstance(error, Refused):
        return message
    if isinstance(error, click.MissingParameter) and error.param is not None:
        message = f"the {error.param.human_readable_name} is missing"
    message = message.replace(". Did you mean", ", did you mean").rstrip(".?")
    return f"{message}; see {command} --help"


def _system(error: OSError) -> str:
    what = error.strerror or type(error).__name__
    return f"{error.filename}: {what}" if error.filename else f"the system says: {what}"
