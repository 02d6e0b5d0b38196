"""One tune of a book before it is read: its own text, and where that stands.

Public: Source, names_a_line, MOST_LETTERS.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from tune.errors import Place, TuneError
from tune.tune import Tune
from undersong.conditions_file import Wishes

MOST_LETTERS = 60
"""Letters that the name of a tune's files has at the most, before what tells versions apart."""

_LINE = re.compile(r"\blines? [0-9]")


def names_a_line(notices: Iterable[str]) -> bool:
    """Whether any of them says in which line of the file something stands."""
    return any(_LINE.search(notice) for notice in notices)


@dataclass(frozen=True)
class Source:
    """name: what its files are called, without a suffix; title: what it is called until it is read;
    shown: where it came from, as the book says it; file: what complaints call its file; form: a key
    of ``tune.readers.FORMS``, or nothing where the trouble is that there is none; data: its bytes,
    of an ABC file that tune's alone; head: what of that file's head holds for it; line: in that
    file, from 1, where its text begins; choose: which tune, where the bytes hold several; wishes:
    in the file of conditions beside it; trouble: why it cannot be read, as far as that is known."""

    name: str
    title: str
    shown: str
    file: str
    form: str = ""
    data: bytes = b""
    head: bytes = b""
    line: int = 1
    choose: str | None = None
    wishes: Wishes | None = None
    trouble: str = ""

    @property
    def matters(self) -> tuple[object, ...]:
        """All that decides what becomes of it, but for the line, which only complaints name."""
        return (
            self.name, self.shown, self.file, self.form, self.data, self.head, self.choose,
            self.wishes, self.trouble,
        )  # fmt: skip

    def read(self) -> Tune:
        """The tune; TuneError, one sentence with file, line and place."""
        if self.trouble:
            raise TuneError(self.trouble, Place())
        try:
            tune = self._read(0)
        except TuneError:
            tune = None
        missing = max(0, self.line - 1 - self.head.count(b"\n"))
        if tune is None or (missing and names_a_line(tune.notices)):
            return self._read(missing)
        return tune

    def _read(self, missing: int) -> Tune:
        """missing: so many empty lines in the place of what stands between head and tune, so that
        lines are numbered as in the file."""
        from tune.readers import read_data

        text = self.head + b"\n" * missing + self.data
        return read_data(text, self.file, self.choose, self.form)
