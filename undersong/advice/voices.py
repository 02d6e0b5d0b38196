"""How high and how low a singer sings with comfort, and whether a tune fits her voice.

The presets are the ranges that choirs are commonly asked for, from memory of choral handbooks, no
single source; voices differ, so a singer's own lowest and highest note are better than any of them.
Pitches are MIDI numbers.

Public: Voice, VOICES, voice.
"""

from dataclasses import dataclass

from fretboard.tuning import parse_pitch, pitch_name
from solver.errors import ArrangeError
from tune.melody import sung
from tune.tune import Tune

_SOURCE = "usual range in choirs, from memory of choral handbooks"


@dataclass(frozen=True)
class Voice:
    """name; lowest, highest: notes that are sung with comfort; source: where that comes from."""

    name: str
    lowest: int
    highest: int
    source: str = "typed"

    def __post_init__(self) -> None:
        if not 24 <= self.lowest < self.highest <= 96:
            raise ArrangeError(
                f"a voice goes from a lower to a higher note between C1 and C7, not from "
                f"{pitch_name(self.lowest)} to {pitch_name(self.highest)}"
            )

    def octaves(self, tune: Tune, semitones: int) -> tuple[int, ...]:
        """By how many octaves the melody, moved by so many semitones, may be sung higher (lower
        below 0) so that every note lies within the range; the nearest to 0 first, none where it
        fits nowhere. A tune without a melody fits every voice."""
        notes = [note.midi + semitones for note in sung(tune)]
        if not notes:
            return (0,)
        fits = [
            by
            for by in range(-5, 6)
            if self.lowest <= min(notes) + 12 * by and max(notes) + 12 * by <= self.highest
        ]
        return tuple(sorted(fits, key=lambda by: (abs(by), by)))

    def __str__(self) -> str:
        return f"{self.name}, {pitch_name(self.lowest)} to {pitch_name(self.highest)}"


VOICES = tuple(
    Voice(name, parse_pitch(lowest), parse_pitch(highest), _SOURCE)
    for name, lowest, highest in (
        ("soprano", "C4", "A5"),
        ("mezzo", "A3", "F5"),
        ("alto", "F3", "D5"),
        ("tenor", "C3", "A4"),
        ("baritone", "A2", "F4"),
        ("bass", "E2", "D4"),
        ("child", "B3", "D5"),
    )
)


def voice(name: str) -> Voice:
    """A preset; ArrangeError, one sentence, where there is none of that name."""
    for known in VOICES:
        if known.name == name.strip().lower():
            return known
    names = ", ".join(known.name for known in VOICES)
    raise ArrangeError(
        f"there is no voice {name!r}; choose {names}, or type her notes, such as --lowest-note A3 "
        "--highest-note D5"
    )
