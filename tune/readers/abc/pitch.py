"""How an ABC note sounds: signature, accidentals that last, octave marks (ABC 2.1 §4.1–4.2).

An accidental lasts to the end of the bar for the same letter in every octave, the default of
ABC 2.1 §11.3; ``propagate-accidentals`` may say ``octave`` or ``not``. A note tied over the bar
line keeps its accidental (common practice in notation).

Public: Pitch, Ear, PROPAGATIONS.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from tune.errors import TuneError
from tune.readers.abc.key import natural_midi

_ALTERS = {"^": 1, "^^": 2, "_": -1, "__": -2, "=": 0}
_SIGNS = {-2: "bb", -1: "b", 0: "", 1: "#", 2: "##"}
PROPAGATIONS = ("pitch", "octave", "not")


@dataclass(frozen=True)
class Pitch:
    """A sounding pitch: MIDI number, spelling without octave, and its written place."""

    midi: int
    name: str
    place: tuple[str, int]
    alter: int


class Ear:
    """Keeps the signature and the accidentals of the bar, and hears notes by them."""

    def __init__(self, signature: Mapping[str, int]) -> None:
        self.signature = dict(signature)
        self.propagation = "pitch"
        self.octaves = 0
        self._letters: dict[str, int] = {}
        self._places: dict[tuple[str, int], int] = {}

    def new_bar(self) -> None:
        """Forget the accidentals of the bar before."""
        self._letters.clear()
        self._places.clear()

    def new_signature(self, signature: Mapping[str, int]) -> None:
        self.signature = dict(signature)
        self.new_bar()

    def hear(self, sign: str, letter: str, marks: str, tied: Pitch | None = None) -> Pitch:
        """The pitch of a note; ``tied`` is the note before it when a tie leads here."""
        octave = marks.count("'") - marks.count(",") + (1 if letter.islower() else 0)
        name = letter.upper()
        place = (name, octave)
        if sign:
            alter = _ALTERS[sign]
            self._letters[name] = alter
            self._places[place] = alter
        elif tied is not None and tied.place == place:
            alter = tied.alter
        elif self.propagation == "pitch" and name in self._letters:
            alter = self._letters[name]
        elif self.propagation == "octave" and place in self._places:
            alter = self._places[place]
        else:
            alter = self.signature.get(name, 0)
        midi = natural_midi(name) + 12 * (octave + self.octaves) + alter
        if not 0 <= midi <= 127:
            raise TuneError(f"the note {letter}{marks} is too far off for any instrument")
        return Pitch(midi, name + _SIGNS[alter], place, alter)
