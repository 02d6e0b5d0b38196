"""What every tune of a book is arranged under, and printed with.

Public: Settings, Asking, CHORDS.
"""

from dataclasses import dataclass, field

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.weights import Weights
from solver.style import Style
from undersong.conditions_file import Wishes
from undersong.levels.level import Level
from undersong.sheet.page_options import PageOptions

CHORDS = ("given", "proposed", "drone")
"""What a tune may get for chords: its own; those proposed for its melody where it has none; the
key's open fifth throughout."""


@dataclass(frozen=True)
class Asking:
    """One thing that is asked of every tune. style: its texture with it; levels: None for one
    version, else a version for each, nested."""

    style: Style
    levels: tuple[Level, ...] | None = None

    @property
    def name(self) -> str:
        return self.style.texture


@dataclass(frozen=True)
class Settings:
    """instrument, hand, weights: of all; askings: what is asked of every tune, one a texture;
    usual_ceiling: a bass part's bass goes as high as the tune's chords need; wishes: asked of every
    tune; beside: conditions in a file beside a tune hold for it too; chords: out of ``CHORDS``;
    transpose: semitones up; look: the pages; seconds: what one tune may take, and what
    its mends may take besides; mends: how many are told, at most, of what cannot be played."""

    instrument: Instrument
    hand: Hand
    askings: tuple[Asking, ...]
    usual_ceiling: bool = True
    weights: Weights = field(default_factory=Weights)
    wishes: Wishes = field(default_factory=Wishes)
    beside: bool = True
    chords: str = "given"
    transpose: int = 0
    look: PageOptions = field(default_factory=PageOptions)
    seconds: float = 60.0
    mends: int = 3

    def __post_init__(self) -> None:
        if self.chords not in CHORDS:
            raise ValueError(f"chords are {', '.join(CHORDS)}, not {self.chords!r}")
        names = [asking.name for asking in self.askings]
        if not names or len(set(names)) < len(names):
            raise ValueError("a book has at least one texture, each once")
