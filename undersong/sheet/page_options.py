"""How engraved pages are printed, as far as the player may choose.

Public: PageOptions, PARTS, LARGE, NATURAL.
"""

from dataclasses import dataclass
from types import MappingProxyType

from undersong.sheet.errors import SheetError
from undersong.sheet.options import SheetOptions
from undersong.sheet.paper import A4, Paper

PARTS: MappingProxyType[str, str] = MappingProxyType(
    {
        "staff-and-tab": "notes on a staff above the tab",
        "tab": "the tab alone",
        "staff": "the staff alone",
    }
)
"""Name → meaning."""

NATURAL, LARGE = 1.0, 1.4
"""How much everything is enlarged; figures, letters and words still more in large print."""


@dataclass(frozen=True)
class PageOptions:
    """paper: the sheet; large: large print; contrast: nothing but black on white, lines heavier;
    parts: a key of ``PARTS`` (a tune without a melody has no staff); bass_on_top: the bass string
    is the top line, else the melody string; from_capo: frets are counted from the capo; bass_part:
    the bass string alone with the chords above, for whoever plays the bass in a group; level: what
    a level of a tune is called in the head; bound: the pages are bound into a book, which numbers
    them and says once, for all of its tunes, what the signs mean and the caution.
    """

    paper: Paper = A4
    large: bool = False
    contrast: bool = False
    parts: str = "staff-and-tab"
    bass_on_top: bool = True
    from_capo: bool = False
    bass_part: bool = False
    level: str = ""
    bound: bool = False

    def __post_init__(self) -> None:
        if self.parts not in PARTS:
            raise SheetError(f"there is no part {self.parts!r}; choose {', '.join(PARTS)}")

    @property
    def enlarged(self) -> float:
        return LARGE if self.large else NATURAL

    @classmethod
    def of(cls, options: SheetOptions) -> "PageOptions":
        """What the options of every sheet say of an engraved page."""
        return cls(bass_on_top=options.bass_on_top, from_capo=options.from_capo)
