"""The same instrument with an extra fret more or less, each under the words for it.

Public: Fretboard, without_frets, with_frets, FretsAsked.
"""

from dataclasses import dataclass

from fretboard.errors import FretboardError
from fretboard.frets import EXTRA_FRETS, fret_label, fret_semitones
from fretboard.instrument import Instrument

FretsAsked = tuple[tuple[int, ...], ...]
"""Groups of extra frets in semitones, each group changed together."""


@dataclass(frozen=True)
class Fretboard:
    """taken, added: the frets that it has less and more than the player's own, in semitones;
    instrument: the same but for those."""

    taken: tuple[int, ...]
    added: tuple[int, ...]
    instrument: Instrument

    @property
    def words(self) -> str:
        return " ".join(self.heads)

    @property
    def heads(self) -> tuple[str, str]:
        """The words for two lines: ``without``, ``6+``."""
        frets = ", ".join(map(fret_label, self.taken or self.added))
        return "without" if self.taken else "with", frets

    @property
    def single(self) -> bool:
        """Whether one fret alone is changed."""
        return len(self.taken) + len(self.added) == 1


def without_frets(own: Instrument, asked: FretsAsked | None) -> tuple[Fretboard, ...]:
    """asked: what to leave out; where None is asked, each extra fret that it has, then all at once.

    Where the capo sits at a fret, that one is left out of what nobody asked for. Raises
    FretboardError for frets that cannot be left out.
    """
    if asked is None:
        there = tuple(fret for fret in own.extra_frets if fret != own.capo)
        asked = _each_then_all(there)
    made = []
    for frets in asked:
        instrument = own
        for fret in frets:
            instrument = instrument.without_fret(fret)
        made.append(Fretboard(frets, (), instrument))
    return tuple(made)


def with_frets(own: Instrument, asked: FretsAsked | None) -> tuple[Fretboard, ...]:
    """asked: what to put in under every course; where None is asked, each of the trade's extra
    frets (``EXTRA_FRETS``) that runs under not every course yet, then all at once.

    Raises FretboardError for frets that cannot be put in, and for one that is there already.
    """
    if asked is None:
        asked = _each_then_all(tuple(fret for fret in _trade(own) if own.with_fret(fret) != own))
    made = []
    for frets in asked:
        instrument = own
        for fret in frets:
            instrument = instrument.with_fret(fret)
            if instrument == own:
                raise FretboardError(
                    f"{own.name} has the fret {fret_label(fret)} under every course already"
                )
        made.append(Fretboard((), frets, instrument))
    return tuple(made)


def _trade(own: Instrument) -> tuple[int, ...]:
    """The trade's extra frets that the fretboard has room for, above the capo."""
    last = max(course.frets[-1] for course in own.courses)
    frets = map(fret_semitones, EXTRA_FRETS)
    return tuple(fret for fret in frets if own.capo < fret < last)


def _each_then_all(frets: tuple[int, ...]) -> FretsAsked:
    return (*((fret,) for fret in frets), *((frets,) if frets[1:] else ()))
