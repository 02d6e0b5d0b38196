"""Style: how the player wants the tune played, apart from what it costs her.

Public: Style, TEXTURES, OCTAVE, usual_manner, manners_in.
"""

from dataclasses import dataclass, field
from types import MappingProxyType

from fretboard.frets import HIGHEST_SEMITONE
from solver.errors import StyleError
from solver.manners import MANNERS
from solver.righthand import RightHand, right_hand

OCTAVE = 12

TEXTURES: MappingProxyType[str, str] = MappingProxyType(
    {
        "song": "chords with a moving bass, under a voice or another instrument",
        "solo": "the melody on top, chords and bass fitted around it",
        "bass": "one bass note at a time, for playing bass in a group",
        "drone": "the melody on one string, the others open and ringing",
    }
)
"""Name → meaning."""

BASS_ONLY = ("figure",)
"""Manners of the bass texture alone."""


@dataclass(frozen=True)
class Style:
    """manner: the bass manner, a key of ``MANNERS``; right_hand: the pattern struck; no_chord:
    ``rest`` or ``carry`` (the chord before goes on); bass_ceiling and highest: the highest fret
    of the bass string and of the others, in semitones above the open string (or capo);
    bass_lowest: no string may sound below the bass (else that has a price). texture: what the
    player is doing, a key of ``TEXTURES``; melody_highest: the highest fret of a string that
    carries the melody; graces: grace notes are played.
    """

    manner: str = "alternating"
    right_hand: RightHand = field(default_factory=lambda: right_hand("bass-then-strum"))
    no_chord: str = "rest"
    bass_ceiling: int = OCTAVE
    highest: int = OCTAVE + 5
    bass_lowest: bool = True
    texture: str = "song"
    melody_highest: int = HIGHEST_SEMITONE
    graces: bool = False

    def __post_init__(self) -> None:
        if self.manner not in MANNERS:
            raise StyleError(
                f"there is no bass manner {self.manner!r}; the names are {', '.join(MANNERS)}"
            )
        if self.no_chord not in ("rest", "carry"):
            raise StyleError(
                f"where no chord is, the bass can rest or carry, not {self.no_chord!r}"
            )
        if self.texture not in TEXTURES:
            raise StyleError(
                f"there is no texture {self.texture!r}; the names are {', '.join(TEXTURES)}"
            )
        if self.manner not in manners_in(self.texture):
            raise StyleError(_WHY_NOT["drone" if self.texture == "drone" else self.manner])
        for name in ("bass_ceiling", "highest", "melody_highest"):
            if not 0 <= getattr(self, name) <= HIGHEST_SEMITONE:
                raise StyleError(f"{name} must lie between 0 and {HIGHEST_SEMITONE} semitones")


def usual_manner(texture: str) -> str:
    """The bass manner where the player names none: a drone's bass is held."""
    return "held" if texture == "drone" else "alternating"


def manners_in(texture: str) -> tuple[str, ...]:
    """The bass manners that make sense there, in the order of ``MANNERS``."""
    if texture == "drone":
        return ("held",)
    return tuple(name for name in MANNERS if texture == "bass" or name not in BASS_ONLY)


_WHY_NOT = {
    "drone": "a drone has no bass line, its bass string rings open: leave the bass manner out",
    "figure": "the bass manner figure climbs to the octave, above the strings that should lie over "
    "it: it is for the bass texture alone",
}
