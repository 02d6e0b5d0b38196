"""How sheets are printed, as far as the player may choose.

Public: SheetOptions.
"""

from dataclasses import dataclass

from undersong.sheet.errors import SheetError

NARROWEST, WIDEST = 40, 400


@dataclass(frozen=True)
class SheetOptions:
    """bass_on_top: the bass string is the top line (far from the player, as on the lap), else the
    melody string; from_capo: frets are counted from the capo, not from the nut; width: columns of
    a text page; unicode: drawn lines and real sharp and flat signs, else plain ASCII; shapes_used:
    a box for each shape stands on the text page; left_handed: those boxes have the nut at the
    right.
    """

    bass_on_top: bool = True
    from_capo: bool = False
    width: int = 80
    unicode: bool = False
    shapes_used: bool = False
    left_handed: bool = False

    def __post_init__(self) -> None:
        if not NARROWEST <= self.width <= WIDEST:
            raise SheetError(
                f"a text page is {NARROWEST} to {WIDEST} columns wide, not {self.width}"
            )
        if self.left_handed and not self.shapes_used:
            raise SheetError(
                "left-handed printing turns the boxes of the shapes used; ask for those as well"
            )
