"""Keys with their modes: what scale a tune stands in, and how its notes are spelled.

Public: Key, MODES, note_name, transposed_name.
"""

from dataclasses import dataclass
from types import MappingProxyType

from tune.chord import LETTERS, Chord, pitch_class
from tune.errors import TuneError

MODES: MappingProxyType[str, tuple[int, ...]] = MappingProxyType(
    {
        "major": (0, 2, 4, 5, 7, 9, 11),
        "mixolydian": (0, 2, 4, 5, 7, 9, 10),
        "dorian": (0, 2, 3, 5, 7, 9, 10),
        "minor": (0, 2, 3, 5, 7, 8, 10),
        "phrygian": (0, 1, 3, 5, 7, 8, 10),
        "lydian": (0, 2, 4, 6, 7, 9, 11),
        "locrian": (0, 1, 3, 5, 6, 8, 10),
    }
)
"""Semitones of each mode's scale above its tonic; ``minor`` is the natural (Aeolian) minor."""

_FIFTHS_OF_MODE = {
    "major": 0,
    "mixolydian": -1,
    "dorian": -2,
    "minor": -3,
    "phrygian": -4,
    "lydian": 1,
    "locrian": -5,
}
_FIFTHS_OF_LETTER = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}
_SHARP_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_FLAT_NAMES = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
_COMMON_NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B")


@dataclass(frozen=True)
class Key:
    """A tonic (``D``, ``F#``, ``Bb``) and a mode out of ``MODES``."""

    tonic: str = "C"
    mode: str = "major"

    def __post_init__(self) -> None:
        Chord(self.tonic)  # the same rule for what a note name is
        if self.mode not in MODES:
            raise TuneError(f"{self.mode!r} is no mode; write one of {', '.join(MODES)}")
        if not -7 <= self.fifths <= 7:
            raise TuneError(f"{self} would need more than seven sharps or flats")

    @property
    def fifths(self) -> int:
        """Sharps (positive) or flats (negative) of the key signature."""
        letter = _FIFTHS_OF_LETTER[self.tonic[0]]
        sign = 7 * (self.tonic.count("#") - self.tonic.count("b"))
        return letter + sign + _FIFTHS_OF_MODE[self.mode]

    @property
    def pitch_classes(self) -> frozenset[int]:
        """The scale's tones."""
        base = pitch_class(self.tonic)
        return frozenset((base + up) % 12 for up in MODES[self.mode])

    def transposed(self, semitones: int) -> "Key":
        """The key ``semitones`` higher, spelled with as few signs as can be."""
        pc = (pitch_class(self.tonic) + semitones) % 12
        near: list[Key] = []
        for name in {_SHARP_NAMES[pc], _FLAT_NAMES[pc]}:
            try:
                near.append(Key(name, self.mode))
            except TuneError:
                continue
        return min(near, key=lambda key: (abs(key.fifths), -key.fifths))

    def __str__(self) -> str:
        return f"{self.tonic} {self.mode}"


def note_name(pc: int, key: Key) -> str:
    """How a pitch class is spelled in ``key``: scale notes as its signature has them."""
    signature = _FLAT_NAMES if key.fifths < 0 else _SHARP_NAMES
    name = signature[pc % 12]
    return name if pc % 12 in key.pitch_classes else _COMMON_NAMES[pc % 12]


def transposed_name(name: str, semitones: int, key: Key) -> str:
    """A note name moved by ``semitones``, spelled for the key it arrives in."""
    pc = (pitch_class(name) + semitones) % 12
    natural = [letter for letter, value in LETTERS.items() if value == pc]
    return natural[0] if natural else note_name(pc, key)
