"""The tune while it is being read: events, bars and what has to be told to the user.

Drafts are mutable and never leave the ABC reader; ``bars`` turns them into the frozen tune.
Lengths are exact fractions of a quarter note.

Public: Event, DraftBar, Draft, Spot, fail.
"""

from dataclasses import dataclass, field
from fractions import Fraction
from typing import NoReturn

from tune.errors import Place, TuneError
from tune.key import Key
from tune.time import Metre, Tempo

MOST_NOTICES = 50


@dataclass(frozen=True)
class Spot:
    """A line and a column of the file."""

    line: int
    column: int


def fail(message: str, spot: Spot) -> NoReturn:
    """Raise a TuneError at a line and column."""
    raise TuneError(message, Place(line=spot.line, column=spot.column))


@dataclass
class Event:
    """A note, rest or grace note; ``chord`` is the text of the symbol above it, not yet read."""

    spot: Spot
    length: Fraction
    midi: int | None = None
    name: str = ""
    grace: bool = False
    tied: bool = False
    tuplet: tuple[int, int] | None = None
    marks: list[str] = field(default_factory=list)
    lyrics: list[str] = field(default_factory=list)
    chord: str | None = None
    chord_spot: Spot | None = None


@dataclass
class DraftBar:
    """A bar; ``left_sign`` and ``right_sign`` tell of more than a plain bar line at that edge.

    started: a note or rest stands in it, not only grace notes.
    """

    metre: Metre
    key: Key
    free: bool = False
    events: list[Event] = field(default_factory=list)
    section: str = ""
    repeat_start: bool = False
    repeat_times: int = 1
    endings: tuple[int, ...] = ()
    tempo: Tempo | None = None
    left_sign: bool = False
    right_sign: bool = False
    whole_rest: bool = False
    started: bool = False

    @property
    def length(self) -> Fraction:
        """Quarters that the bar's events last."""
        return sum((event.length for event in self.events if not event.grace), Fraction(0))

    @property
    def full(self) -> Fraction:
        """Quarters that the metre asks for."""
        return Fraction(4 * self.metre.beats, self.metre.unit)

    @property
    def short(self) -> bool:
        return not self.free and self.length < self.full


@dataclass
class Draft:
    """All bars so far, and notices as (index of the bar or None, sentence), each kind once."""

    bars: list[DraftBar] = field(default_factory=list)
    notices: list[tuple[int | None, str]] = field(default_factory=list)
    told: set[str] = field(default_factory=set)

    def tell(self, bar: int | None, sentence: str, kind: str = "") -> None:
        """Note ``sentence`` for the user unless one of its kind has been noted already.

        After ``MOST_NOTICES`` one more says that there is more.
        """
        kind = kind or sentence
        if kind in self.told or len(self.told) > MOST_NOTICES:
            return
        self.told.add(kind)
        if len(self.told) > MOST_NOTICES:
            bar, sentence = None, "there is more that could not be used"
        self.notices.append((bar, sentence))
