"""Keys with their modes: what scale a tune stands in, and how its notes are spelled.

Public: Key, MODES, note_name, octave_of, pitch_in, transposed_name.
"""

from dataclasses import dataclass
from types import MappingProxyType

from tune.chord import Chord, pitch_class
from tune.errors import TuneError
from tune.spelling import FLATS, SHARPS

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
        for name in {SHARPS[pc], FLATS[pc]}:
            try:
                near.append(Key(name, self.mode))
            except TuneError:  # more than seven signs: the other name is the nearer
                continue
        return min(near, key=lambda key: (abs(key.fifths), -key.fifths))

    def __str__(self) -> str:
        return f"{self.tonic} {self.mode}"


def note_name(pc: int, key: Key) -> str:
    """How a pitch class is spelled in ``key`` where nothing else is known of it.

    Scale notes as the signature has them; the other five as C major would have C♯, E♭, F♯, G♯
    and B♭, moved to this key: never two signs before one letter.
    """
    place = 7 * pc % 12  # on the line of fifths, where C is 0, G is 1 and F is -1
    lowest = key.fifths - 3
    return _named(lowest + (place - lowest) % 12)


def octave_of(midi: int, name: str) -> int:
    """The octave that the written note stands in: B♯3 sounds as C4."""
    return (midi - name.count("#") + name.count("b")) // 12 - 1


def pitch_in(midi: int, key: Key) -> str:
    """A pitch as it is spelled in the key, with its octave: 58 is ``Bb3`` in F, ``A#3`` in B."""
    name = note_name(midi % 12, key)
    return f"{name}{octave_of(midi, name)}"


def transposed_name(name: str, old: Key, new: Key) -> str:
    """A note name of ``old`` moved with its key to ``new``: D♯ in E minor is E♯ in F♯ minor.

    It keeps its place in the scale, so that a raised leading note stays one, unless that would
    take a double sharp or flat: then it is the plain name of the same sound.
    """
    letter = _FIFTHS_OF_LETTER[name[0]]
    sign = 7 * (name.count("#") - name.count("b"))
    return _named(letter + sign + new.fifths - old.fifths)


def _named(place: int) -> str:
    """The note at a place on the line of fifths, brought within F♭ … B♯ by twelves."""
    while place < -8:
        place += 12
    while place > 12:
        place -= 12
    signs, letter = divmod(place + 1, 7)
    return "FCGDAEB"[letter] + ("#" * signs if signs >= 0 else "b" * -signs)
