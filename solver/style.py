"""Style: how the player wants the tune played, apart from what it costs her.

Public: Style.
"""

from dataclasses import dataclass, field

from solver.errors import StyleError
from solver.manners import MANNERS
from solver.righthand import RightHand, right_hand

OCTAVE = 12


@dataclass(frozen=True)
class Style:
    """manner: the bass manner, a key of ``MANNERS``; right_hand: the pattern struck; no_chord:
    ``rest`` or ``carry`` (the chord before goes on); bass_ceiling and highest: the highest fret
    of the bass string and of the others, in semitones above the open string (or capo);
    bass_lowest: no string may sound below the bass (else that has a price).
    """

    manner: str = "alternating"
    right_hand: RightHand = field(default_factory=lambda: right_hand("bass-then-strum"))
    no_chord: str = "rest"
    bass_ceiling: int = OCTAVE
    highest: int = OCTAVE + 5
    bass_lowest: bool = True

    def __post_init__(self) -> None:
        if self.manner not in MANNERS:
            raise StyleError(
                f"there is no bass manner {self.manner!r}; the names are {', '.join(MANNERS)}"
            )
        if self.no_chord not in ("rest", "carry"):
            raise StyleError(
                f"where no chord is, the bass can rest or carry, not {self.no_chord!r}"
            )
        for name in ("bass_ceiling", "highest"):
            if not 0 <= getattr(self, name) <= 36:
                raise StyleError(f"{name} must lie between 0 and 36 semitones")
