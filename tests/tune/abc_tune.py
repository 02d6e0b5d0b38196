"""Short ABC tunes for the tests: a header round some music, and what was read as short rows."""

from fractions import Fraction

from tune.readers.abc import read_abc
from tune.time import quarters
from tune.tune import Tune


def abc(music: str, *fields: str, metre: str = "4/4", unit: str = "1/8", key: str = "C") -> str:
    """A whole tune: ``fields`` stand before the K: line."""
    head = ["X:1", "T:Try", f"M:{metre}", f"L:{unit}", *fields, f"K:{key}"]
    return "\n".join([*head, music, ""])


def read(music: str, *fields: str, metre: str = "4/4", unit: str = "1/8", key: str = "C") -> Tune:
    return read_abc(abc(music, *fields, metre=metre, unit=unit, key=key))


def pitches(tune: Tune) -> list[int]:
    """MIDI numbers in order, without rests and grace notes."""
    return [n.midi for bar in tune.bars for n in bar.notes if n.midi is not None and not n.grace]


def names(tune: Tune) -> list[str]:
    return [n.name for bar in tune.bars for n in bar.notes if n.midi is not None and not n.grace]


def lengths(tune: Tune) -> list[Fraction]:
    """Lengths in quarters, rests included."""
    return [quarters(n.length) for bar in tune.bars for n in bar.notes if not n.grace]


def chords(tune: Tune) -> list[tuple[int, Fraction, str]]:
    """(bar number, quarters into the bar, symbol or N.C.)."""
    return [
        (bar.number, quarters(change.tick), change.chord.symbol if change.chord else "N.C.")
        for bar in tune.bars
        for change in bar.chords
    ]


def numbers(tune: Tune) -> list[int]:
    return [bar.number for bar in tune.bars]


def order(tune: Tune) -> list[int]:
    """Numbers of the bars as they are played."""
    return [tune.bars[played.written].number for played in tune.played]
