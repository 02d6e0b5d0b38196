"""What an arrangement leaves out of the music: tones of chords that are not heard, and melody notes
that no string has, or the bass string alone.

A song's melody is sung, and a bass part or a drone plays no chords: there nothing of that kind can
be lost.

Public: losses, Losses, LostTone, LostNote, melody_lost, bars_listed.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from fretboard.instrument import Instrument
from solver.out_of_reach import unreachable
from solver.result import Arrangement
from solver.singing import TUNEFUL
from solver.style import Style
from tune.bar_names import PICKUP, bar_name
from tune.tune import Tune
from undersong.missing_tones import THIRDS, missing_in
from undersong.wording import listed


@dataclass(frozen=True)
class LostTone:
    """A chord without one of its tones. bar: as printed; chord: its symbol; degree: which tone,
    such as ``third``."""

    bar: int
    chord: str
    degree: str


@dataclass(frozen=True)
class LostNote:
    """A melody note that is not played. bar: as printed; name: with its octave; why: the end of a
    sentence."""

    bar: int
    name: str
    why: str


@dataclass(frozen=True)
class Losses:
    """tones: chords without a tone, in the order of the printed bars, each place once however often
    it is played; notes: melody notes that are not played, likewise; low: printed bars in which the
    melody goes to the bass string."""

    tones: tuple[LostTone, ...] = ()
    notes: tuple[LostNote, ...] = ()
    low: tuple[int, ...] = ()

    @property
    def thirds(self) -> tuple[LostTone, ...]:
        """Chords without their third, or without what is suspended in its place."""
        return tuple(lost for lost in self.tones if lost.degree in THIRDS)

    @property
    def sevenths(self) -> tuple[LostTone, ...]:
        return tuple(lost for lost in self.tones if lost.degree == "seventh")

    def __bool__(self) -> bool:
        return bool(self.tones or self.notes or self.low)

    def words(self) -> tuple[str, ...]:
        """One short sentence for each kind of loss, such as ``without its third: G in bars 3 and
        7``; nothing where nothing is lost."""
        told = []
        for degree in dict.fromkeys(lost.degree for lost in self.tones):
            chords: dict[str, list[int]] = {}
            for lost in self.tones:
                if lost.degree == degree:
                    chords.setdefault(lost.chord, []).append(lost.bar)
            each = "; ".join(f"{chord} in {bars_listed(bars)}" for chord, bars in chords.items())
            told.append(f"without its {degree}: {each}")
        if self.notes:
            names: dict[str, list[int]] = {}
            for note in self.notes:
                names.setdefault(note.name, []).append(note.bar)
            each = "; ".join(f"{name} in {bars_listed(bars)}" for name, bars in names.items())
            told.append(f"melody notes out of reach: {each}")
        if self.low:
            told.append(f"the melody above the bass: on the bass string in {bars_listed(self.low)}")
        return tuple(told)


def bars_listed(bars: Iterable[int]) -> str:
    """``bar 3``, ``bars 3, 5 and 9``, ``the pickup and bar 1``: each once, ascending."""
    each = sorted(set(bars))
    numbers = [str(bar) for bar in each if bar]
    told = [bar_name(PICKUP)] if PICKUP in each else []
    if numbers:
        told.append(f"bar{'s' * (len(numbers) > 1)} {listed(numbers)}")
    return " and ".join(told)


def losses(arrangement: Arrangement) -> Losses:
    """What that arrangement leaves out."""
    found = arrangement
    notes = melody_lost(found.tune, found.instrument, found.style)
    return Losses(_tones(found), notes, _low(found))


def melody_lost(tune: Tune, instrument: Instrument, style: Style) -> tuple[LostNote, ...]:
    """Melody notes that no string has within its limits, where the instrument plays the melody."""
    if style.texture not in TUNEFUL:
        return ()
    lost = [
        LostNote(tune.bars[missing.note.written].number, missing.name, missing.why)
        for missing in unreachable(tune, instrument, style)
    ]
    return tuple(sorted(dict.fromkeys(lost), key=lambda note: note.bar))


def _tones(found: Arrangement) -> tuple[LostTone, ...]:
    lost: list[LostTone] = []
    for tone in missing_in(found):
        moment = found.moments[tone.at]
        number = found.tune.bars[moment.written].number
        lost.append(LostTone(number, str(moment.chord), tone.degree))
    return tuple(sorted(dict.fromkeys(lost), key=lambda tone: tone.bar))


def _low(found: Arrangement) -> tuple[int, ...]:
    """Printed bars in which a melody note begins on the bass string and on no other."""
    bars = set()
    for choice, moment in zip(found.choices, found.moments, strict=True):
        if not moment.sings:
            continue
        sounding = enumerate(zip(choice.grip.frets, choice.struck, strict=True))
        strings = [
            course
            for course, (fret, struck) in sounding
            if struck and found.instrument.pitch(course, fret) == moment.melody
        ]
        if strings == [0]:
            bars.add(found.tune.bars[moment.written].number)
    return tuple(sorted(bars))
