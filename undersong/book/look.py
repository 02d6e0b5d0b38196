"""What the pages before and behind a book's tunes look like: sizes of type, columns, inks; in mm.

Public: Look, look_for, LINE, BETWEEN.
"""

from dataclasses import dataclass
from functools import cached_property

from undersong.book.feet import SOFT, foot_size
from undersong.sheet.engraved.look import look_of
from undersong.sheet.lettering import POINT
from undersong.sheet.page_options import PageOptions
from undersong.sheet.paper import Paper

LINE = 1.42
"""From one base line to the next, in sizes of the type."""

BETWEEN = 9.0
"""mm between two columns, before anything is enlarged."""

_NARROWEST = 76.0
"""mm of a column, likewise."""


@dataclass(frozen=True)
class Look:
    """Sizes of type, in mm, and inks; k: how much everything is enlarged."""

    paper: Paper
    k: float
    soft: str
    accent: str
    foot: float

    @property
    def room(self) -> float:
        return self.paper.room_mm[0]

    @property
    def bottom(self) -> float:
        """mm from the upper edge that text reaches at the most."""
        return self.paper.height_mm - self.paper.margin_mm - 2.6 * self.foot

    @property
    def whole(self) -> float:
        """mm from the upper margin to there."""
        return self.bottom - self.paper.margin_mm

    @property
    def title(self) -> float:
        return 20 * POINT * self.k

    @property
    def text(self) -> float:
        return 10 * POINT * self.k

    @property
    def small(self) -> float:
        return 8.5 * POINT * self.k

    def column(self, many: int) -> float:
        """mm that each of so many columns is wide."""
        return (self.room - BETWEEN * self.k * (many - 1)) / many

    @cached_property
    def most_columns(self) -> int:
        """As many as leave each a line that is long enough to read."""
        between = BETWEEN * self.k
        return max(1, int((self.room + between) / (_NARROWEST * self.k + between)))


def look_for(options: PageOptions) -> Look:
    """The look of single pages."""
    accent = look_of(options).accent
    soft = "#000" if options.contrast else SOFT
    return Look(options.paper, options.enlarged, soft, accent, foot_size(options))
