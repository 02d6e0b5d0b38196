"""Tunes of few bars and how their moments are laid out, in a form that can be read at a glance."""

from fractions import Fraction

from scoring.moment import FOREIGN, Moment
from solver.moments import moments_of
from solver.righthand import right_hand
from solver.style import Style
from tune.chord import parse_chord
from tune.key import Key
from tune.time import QUARTER, Metre, Tempo, quarters, ticks
from tune.tune import Bar, ChordChange, Tune


def bar(number: int, metre: str, chords: str = "", **changes: object) -> Bar:
    """A bar of ``chords`` such as ``D`` or ``D G@2``: ``@`` and the quarter where it begins.

    ``N.C.`` is no chord; changes: further fields of the bar; length in quarters.
    """
    beats, unit = metre.split("/")
    made = Metre(int(beats), int(unit))
    entries = []
    for word in chords.split():
        symbol, _, at = word.partition("@")
        chord = None if symbol == "N.C." else parse_chord(symbol)
        entries.append(ChordChange(ticks(Fraction(at or 0)), chord))
    length = ticks(Fraction(str(changes.pop("length")))) if "length" in changes else made.bar
    key = changes.pop("key", Key("D"))
    return Bar(number, made, length, key, tuple(entries), **changes)  # type: ignore[arg-type]


def tune(metre: str, *bars: str | Bar, tempo: int = 120) -> Tune:
    """A tune in D of such bars, numbered from 1; ready-made bars are taken as they are."""
    made = [
        given if isinstance(given, Bar) else bar(number, metre, given)
        for number, given in enumerate(bars, 1)
    ]
    return Tune("Try", Key("D"), made[0].metre, Tempo(QUARTER, tempo), tuple(made))


def lay(
    song: Tune, manner: str = "alternating", hand: str = "bass-then-strum", **style: object
) -> tuple[Moment, ...]:
    """The tune's moments for three courses."""
    made = Style(manner=manner, right_hand=right_hand(hand), **style)  # type: ignore[arg-type]
    return moments_of(song, made, 3)


SHORT = {"root": "R", "fifth": "5", "octave": "8", "alternate fourth": "4", "slash bass": "/"}


def role(moment: Moment) -> str:
    """What the bass may be: R, 5, 4 or / alone; ``tone`` for the chord's tones, ``any`` with
    foreign notes too; ``or`` before what may stand in for it."""
    roles, other = moment.roles, moment.fallback
    if len(roles) == 1:
        (only,) = roles
        text = SHORT[only]
        return f"{text} or {SHORT[next(iter(other))]}" if other else text
    return "any" if roles >= set(FOREIGN) else "tone"


def bass(moments: tuple[Moment, ...]) -> list[str]:
    """Every bass note that is asked for, one text a played bar: ``0:R 2:5 or R``."""
    bars: dict[int, list[str]] = {moment.bar: [] for moment in moments}
    for moment in moments:
        if moment.strikes[0][0] and not moment.keeps:
            bars[moment.bar].append(f"{quarters(moment.offset)}:{role(moment)}")
    return [" ".join(notes) for notes in bars.values()]


def strokes(moments: tuple[Moment, ...]) -> list[str]:
    """What is struck, one text a played bar: ``0:b.. 1:.um``, a dot for each string left."""
    bars: dict[int, list[str]] = {moment.bar: [] for moment in moments}
    for moment in moments:
        struck = "".join(
            letter if on else "." for letter, on in zip("bum", moment.strikes[0], strict=True)
        )
        bars[moment.bar].append(f"{quarters(moment.offset)}:{struck}")
    return [" ".join(texts) for texts in bars.values()]


def at(moments: tuple[Moment, ...], bar_number: int, offset: str | int = 0) -> Moment:
    """The moment that begins so many quarters into the played bar."""
    (found,) = (
        m for m in moments if m.bar == bar_number and quarters(m.offset) == Fraction(offset)
    )
    return found
