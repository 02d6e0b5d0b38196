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
    a text page; unicode: drawn lines and real sharp and flat signs, else plain ASCII.
    """

    bass_on_top: bool = True
    from_capo: bool = False
    width: int = 80
    unicode: bool = False

    def __post_init__(self) -> None:
        if not NARROWEST <= self.width <= WIDEST:
            raise SheetError(
                f"a text page is {NARROWEST} to {WIDEST} columns wide, not {self.width}"
            )
