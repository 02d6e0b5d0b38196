"""How shape diagrams are drawn, as far as the player may choose.

Public: DiagramOptions.
"""

from dataclasses import dataclass

from undersong.sheet.paper import A4, Paper


@dataclass(frozen=True)
class DiagramOptions:
    """paper: of the sheet; left_handed: the nut at the right; bass_on_top: the bass string is the
    top line (far from the player, as on the lap), else the melody string; from_capo: frets are
    counted from the capo; large: half as large again; contrast: black and white alone."""

    paper: Paper = A4
    left_handed: bool = False
    bass_on_top: bool = True
    from_capo: bool = False
    large: bool = False
    contrast: bool = False

    @property
    def enlarged(self) -> float:
        """By how much letters and lines grow."""
        return 1.5 if self.large else 1.0
