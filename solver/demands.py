"""Demands: what a hard rule, a setting of the hand or a pin asks, one by one, in a player's words.

A demand can be left out by itself; what is left can then be looked at without it
(``solver.loose``). Demands of a bar hold every time through; the others hold everywhere.

    root      a chord begins on its root (or slash bass), or on what the manner asks for there
    line      after that the bass takes what the manner asks for
    chord     what sounds is a tone of the chord (left out: any note; kept, but root or line left
              out: the bass may take any tone of the chord)
    body      the chord has its third (or second, fourth) or fifth somewhere on the fretboard
    lowest    no string sounds below the bass
    strokes   the right hand strikes what its pattern asks for (left out: it may leave strings out)
    ceiling   the highest fret of the bass string
    highest   the highest fret of the others
    reach     how far the fingers reach
    bars      which fingers may be laid across strings
    unused    which fingers are not used
    known     only shapes that are known
    pin       what the player fixed or forbade

Public: Demanded, Wanted, demands_in, words.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from types import MappingProxyType

from fretboard.frets import HIGHEST_SEMITONE
from fretboard.hand import FINGERS, Hand
from fretboard.instrument import Instrument
from scoring.moment import FOREIGN, Moment
from solver.conditions import NONE, Conditions
from solver.conditions.pins import Pin, manners_of
from solver.pinning import only_known
from solver.refusal import note
from solver.style import Style
from tune.bar_names import bar_name
from tune.tune import Tune

OF_BARS = ("body", "strokes", "lowest", "line", "chord", "root")
"""Demands of one bar each, first those that are rather given up in explaining."""

OF_BARS_OF = MappingProxyType({"solo": ("strokes", "lowest", "line", "root"), "drone": ()})
"""The same in textures that ask for less: the melody is always kept."""

EVERYWHERE = ("highest", "unused", "bars", "reach", "ceiling", "known")
"""Demands that hold everywhere, in the same order."""


@dataclass(frozen=True)
class Wanted:
    """Everything that decides whether a tune can be played."""

    tune: Tune
    instrument: Instrument
    hand: Hand
    style: Style
    conditions: Conditions = NONE


@dataclass(frozen=True)
class Demanded:
    """kind: see above; written: index of the written bar, for demands of a bar; pin: for a pin."""

    kind: str
    written: int | None = None
    pin: Pin | None = None


def demands_in(wanted: Wanted, written: Iterable[int]) -> tuple[Demanded, ...]:
    """Every demand that bears on those written bars, those first that are rather given up."""
    bars = list(dict.fromkeys(written))
    there = [kind for kind in EVERYWHERE if _is_asked(kind, wanted)]
    of_bars = [
        Demanded(kind, bar)
        for kind in OF_BARS_OF.get(wanted.style.texture, OF_BARS)
        if kind != "lowest" or wanted.style.bass_lowest
        for bar in bars
    ]
    pins = [
        Demanded("pin", pin=pin)
        for pin in dict.fromkeys(wanted.conditions.pins)
        if not pin.bars.of(wanted.tune).isdisjoint(bars)
    ]
    first = [demand for demand in of_bars if demand.kind in ("body", "strokes")]
    rest = [demand for demand in of_bars if demand not in first]
    everywhere = [Demanded(kind) for kind in there]
    return tuple(first + everywhere + rest + pins)


def _is_asked(kind: str, wanted: Wanted) -> bool:
    if kind in ("ceiling", "highest") and wanted.style.texture == "drone":
        return False
    if kind == "unused":
        return bool(wanted.hand.not_used) or not wanted.hand.thumb_on_bass
    if kind == "bars":
        return set(wanted.hand.may_bar) != set(FINGERS)
    if kind == "known":
        return only_known(wanted.conditions) is not None
    return True


def words(demand: Demanded, wanted: Wanted, moments: Iterable[Moment], where: bool = True) -> str:
    """The demand as a player would say it; moments: those of the bars looked at; where: name the
    bar of a demand of one bar."""
    if demand.pin is not None:
        return f"the pin '{demand.pin.shown(wanted.instrument.told)}'"
    here = [m for m in moments if m.written == demand.written and m.chord is not None]
    text = _of_the_bar(demand.kind, wanted, here)
    if text:
        number = wanted.tune.bars[demand.written or 0].number
        return f"in {bar_name(number)} {text}" if where else text
    instrument, hand, style = wanted.instrument, wanted.hand, wanted.style
    may_bar = " ".join(hand.may_bar)
    return {
        "ceiling": "the bass goes no higher than fret "
        + _fret(instrument.capo + style.bass_ceiling, instrument),
        "highest": "the other strings go no higher than fret "
        + _fret(instrument.capo + style.highest, instrument),
        "reach": f"no stretch is wider than the reach of the hand {hand.name}",
        "bars": f"no finger but {may_bar} may bar" if may_bar else "no finger may bar",
        "unused": _left_out(hand),
        "known": "every shape is one that is known",
    }[demand.kind]


def _left_out(hand: Hand) -> str:
    """The fingers that the hand does not use, and where it does not use its thumb."""
    parts = []
    if hand.not_used:
        one = len(hand.not_used) == 1
        fingers = " ".join(hand.not_used)
        parts.append(
            f"the finger {fingers} is not used" if one else f"the fingers {fingers} are not used"
        )
    if not hand.thumb_on_bass:
        parts.append("the thumb keeps off the bass string")
    return " and ".join(parts)


def _fret(fret: int, instrument: Instrument) -> str:
    return instrument.told(min(fret, HIGHEST_SEMITONE))


def _of_the_bar(kind: str, wanted: Wanted, moments: list[Moment]) -> str:
    chords = list(dict.fromkeys(str(moment.chord) for moment in moments))
    named = " and ".join(chords) or "the chord"
    if kind in ("root", "line"):
        said = [_note_asked(m) for m in moments if m.change == (kind == "root") and _new_bass(m)]
        told = ", then ".join(dict.fromkeys(said)) or "what rang before"
        begins = "begins on" if kind == "root" else "goes on with"
        return f"the bass {begins} {told} (manner {_manner(wanted, moments)})"
    return {
        "chord": f"every string that sounds has a tone of {named}",
        "body": f"{named} has its third or fifth on some string",
        "lowest": "no string sounds below the bass",
        "strokes": f"the right hand strikes all that '{wanted.style.right_hand.name}' asks for",
    }.get(kind, "")


def _new_bass(moment: Moment) -> bool:
    return any(struck[0] for struck in moment.strikes) and not moment.keeps


def _manner(wanted: Wanted, moments: list[Moment]) -> str:
    """The manner pinned there, or the style's."""
    pinned = manners_of(wanted.tune, wanted.conditions.pins)
    here = {pinned.get(moment.written, wanted.style.manner) for moment in moments}
    return " and ".join(sorted(here)) or wanted.style.manner


def _note_asked(moment: Moment) -> str:
    chord = moment.chord
    assert chord is not None
    told = moment.roles | moment.fallback - {"drone", "melody"}
    own = [role for role in sorted(told) if role not in FOREIGN]
    tail = " or a step between" if moment.roles & set(FOREIGN) else ""
    if len(own) > 2:
        return f"a tone of {chord}{tail}"
    notes = []
    for role in sorted(own, key=lambda role: role not in moment.roles):
        pitch_class = moment.role_pitch_class(role)
        if pitch_class is not None:
            notes.append(f"{note(pitch_class, chord)} (the {role} of {chord})")
    return " or ".join(notes) + tail
