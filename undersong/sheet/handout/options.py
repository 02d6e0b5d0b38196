"""How a handout is printed, as far as the player may choose.

Public: HandoutOptions.
"""

from dataclasses import dataclass, field

from undersong.practice import Wishes
from undersong.practice.pages import PageLook
from undersong.sheet.boxes import DiagramOptions
from undersong.sheet.options import SheetOptions
from undersong.sheet.page_options import PageOptions
from undersong.sheet.paper import A4, Paper

PLACES = 2
"""That each level's practice plan has where nothing was asked: few, for there are many levels."""


@dataclass(frozen=True)
class HandoutOptions:
    """paper: of every page; left_handed: the nut of the diagrams at the right; bass_on_top: the
    bass string is the top line, else the melody string; from_capo: frets are counted from the capo;
    large: large print; contrast: black and white alone; wishes: of every level's practice plan."""

    paper: Paper = A4
    left_handed: bool = False
    bass_on_top: bool = True
    from_capo: bool = False
    large: bool = False
    contrast: bool = False
    wishes: Wishes = field(default_factory=lambda: Wishes(spots=PLACES))

    @property
    def enlarged(self) -> float:
        """By how much the words grow."""
        return self.diagrams.enlarged

    @property
    def room(self) -> float:
        """mm between the margins."""
        return self.paper.room_mm[0]

    @property
    def diagrams(self) -> DiagramOptions:
        return DiagramOptions(
            paper=self.paper,
            left_handed=self.left_handed,
            bass_on_top=self.bass_on_top,
            from_capo=self.from_capo,
            large=self.large,
            contrast=self.contrast,
        )

    @property
    def practice(self) -> PageLook:
        sheet = SheetOptions(bass_on_top=self.bass_on_top, from_capo=self.from_capo)
        return PageLook(self.paper, sheet, self.large)

    def page(self, level: str) -> PageOptions:
        """level: what it is called in the page's head."""
        return PageOptions(
            paper=self.paper,
            large=self.large,
            contrast=self.contrast,
            bass_on_top=self.bass_on_top,
            from_capo=self.from_capo,
            level=level,
        )
