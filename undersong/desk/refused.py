"""What the desk answers where it cannot do what was asked: one sentence, and where to mend it.

Public: Refusal, refusing, refusal_of, here.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from fretboard.errors import FretboardError
from scoring.weights import WeightError
from solver.errors import ArrangeError
from tune.errors import TuneError, UnchosenTuneError
from undersong.sheet.errors import SheetError


class Refusal(ValueError):  # noqa: N818  what it is, not only that something failed
    """One sentence with its mend. field: which setting of the page it is about, nothing where it
    is none; line, column: in text that she typed; status: of HTTP."""

    def __init__(
        self,
        sentence: str,
        field: str = "",
        line: int | None = None,
        column: int | None = None,
        status: int = 400,
    ) -> None:
        super().__init__(sentence)
        self.sentence, self.field, self.status = sentence, field, status
        self.line, self.column = line, column

    def as_json(self) -> dict[str, Any]:
        return {
            "refused": {
                "sentence": self.sentence,
                "field": self.field or None,
                "line": self.line,
                "column": self.column,
            }
        }


@contextmanager
def refusing(field: str) -> Iterator[None]:
    """Turns whatever sentence the rooms complain with into a refusal about that field."""
    try:
        yield
    except ValueError as error:
        raise refusal_of(error, field) from None


def refusal_of(error: ValueError, field: str = "") -> Refusal:
    """The same complaint, a Refusal as it is; re-raises what is none of the rooms' own sentences, a
    fault of ours."""
    if isinstance(error, Refusal):
        return error
    if isinstance(error, UnchosenTuneError):
        return Refusal(here(str(error)), "choose")
    if isinstance(error, TuneError):
        return Refusal(str(error), field, error.place.line, error.place.column)
    if not isinstance(error, ArrangeError | FretboardError | SheetError | WeightError):
        raise error
    return Refusal(here(str(error)), field)


_HERE = (
    (" take --chords proposed or --chords drone", " choose proposed or drone under Chords"),
    (
        "take --texture drone, or a hand of fingers",
        "choose drone under Texture, or a hand of fingers",
    ),
    (", and fix what matters there with --pin", ", and fix what matters there under This bar"),
    ("; --keep may be given again", ""),
    (", or from the capo with --from-capo", ""),
    (
        "; write one in a file and name it with --right-hand ('undersong own-files' shows how)",
        "; a drone needs none",
    ),
    ("write --tuning '", "set the tuning to '"),
)
"""What a command takes, and what the page has instead of it."""


def here(sentence: str) -> str:
    """The sentence without the options of commands."""
    for option, words in _HERE:
        sentence = sentence.replace(option, words)
    return sentence
