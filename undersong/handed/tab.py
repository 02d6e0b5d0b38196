"""A tab as it was read: bars of columns, every sign with its place in the text.

Public: Sign, Column, OddRow, TabBar, Tab, Beat, TabError, LINES, PAGE, SHAPES.
"""

from dataclasses import dataclass
from fractions import Fraction

from tune.errors import TuneError
from undersong.handed.numbers import PLAIN, Numbering

LINES, PAGE, SHAPES = "lines", "page", "shapes"
"""Lines of numbers; the same with a row of beats above; shapes over chord names."""


class TabError(TuneError):
    """A tab that cannot be read: one sentence with file, line, column, and the mend."""


@dataclass(frozen=True)
class Sign:
    """What stands on one string: fret: semitones above the nut, -1 for x; text: as it was typed;
    column: in the text, from 1; finger: its number, None where none is written; damped: the sound
    is ended at once."""

    fret: int
    text: str
    column: int
    finger: int | None = None
    damped: bool = False


@dataclass(frozen=True)
class Beat:
    """A place named by the row of beats: number: of the beat, from 1, 0 before any; signs: how many
    signs follow it up to here, this one included; of: how many follow in all; comma: this sign
    names no part of the beat; whole: a fraction of the beat where the sign says it."""

    number: int
    signs: int = 0
    of: int = 0
    comma: bool = False
    whole: Fraction | None = None


@dataclass(frozen=True)
class Column:
    """What stands at one place of a bar.

    strings: a sign each, None where nothing begins; line: of the text; column: in it; share: how
    far into the bar, 0 to 1, by columns; beat: where a row of beats names the place; sounds: on a
    page, whether each string sounds on from here, None where nothing is drawn; let_go: which
    strings are let go here; chord: the symbol that stands over a shape.
    """

    strings: tuple[Sign | None, ...]
    line: int
    column: int
    share: Fraction
    beat: Beat | None = None
    sounds: tuple[bool | None, ...] = ()
    let_go: tuple[bool, ...] = ()
    chord: str = ""

    @property
    def struck(self) -> bool:
        """Whether anything begins here."""
        return any(sign is not None for sign in self.strings)


@dataclass(frozen=True)
class OddRow:
    """A row that is not as wide as the others of its bar. course: which string; name: the row's,
    as it is written; wider: by so many columns, below 0 narrower; how: it is read
    (``undersong.handed.widths``); line, column: where its bar begins in the text."""

    course: int
    name: str
    wider: int
    how: str
    line: int
    column: int


@dataclass(frozen=True)
class TabBar:
    """A bar as it is written down; number, length: as repeats are followed by
    (``tune.played.RepeatedBar``); repeat_start, repeat_times, endings: the tab's own signs; odd:
    rows of another width than the others."""

    number: int
    line: int
    columns: tuple[Column, ...]
    repeat_start: bool = False
    repeat_times: int = 1
    endings: tuple[int, ...] = ()
    length: int = 1
    odd: tuple[OddRow, ...] = ()

    @property
    def struck(self) -> tuple[Column, ...]:
        """The columns in which something begins."""
        return tuple(column for column in self.columns if column.struck)


@dataclass(frozen=True)
class Tab:
    """form: LINES, PAGE or SHAPES; barred: the bars are the tab's own (shapes without bar lines
    are in one bar); file: its name for complaints; numbering: how its frets are written; turned:
    the melody string was read first, or on top; names: what its rows are called from the top, where
    every one has a name; named: these names say which way up it is; notices:
    sentences on what was read otherwise than it stands there."""

    form: str
    bars: tuple[TabBar, ...]
    barred: bool = True
    file: str = ""
    numbering: Numbering = PLAIN
    turned: bool = False
    names: tuple[str, ...] = ()
    named: bool = False
    notices: tuple[str, ...] = ()
