"""Bass manners: which bass notes are struck, when, and what they may be.

A manner looks at one chord's stay (``Stay``) and lays out its bass strokes. Times are ticks from
the start of the tune. All manners but free: the root (or slash bass) where the chord begins; in
free that is a wish with a price. Common practice, no source, except where a function names one.

A new manner is one function and one row of ``MANNERS``.

Public: MANNERS, Stay, BassStroke, may_be.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from types import MappingProxyType

from scoring.moment import FOREIGN
from tune.chord import Chord


@dataclass(frozen=True)
class Stay:
    """A chord from where it begins to where the next one does.

    start, end: ticks; beats: felt beats within; strokes: where the right hand asks for a bass
    note; downbeats, strong: first beats of bars, and beats where foreign notes may not stand;
    busy: the pattern has several bass notes in the bar; part: ticks of the notes that a run is
    made of; steps: where a figure moves on; bars: how many whole bars the chord lasts; next_bass:
    the pitch class that the next chord's bass begins with, None where nothing follows.
    """

    chord: Chord
    start: int
    end: int
    beats: tuple[int, ...]
    strokes: tuple[int, ...]
    downbeats: frozenset[int]
    strong: frozenset[int]
    busy: bool
    part: int
    bars: int
    next_bass: int | None
    steps: tuple[int, ...] = ()

    @property
    def root(self) -> frozenset[str]:
        """The role that the chord begins with."""
        return frozenset({"slash bass" if self.chord.bass else "root"})

    @property
    def tones(self) -> frozenset[str]:
        """The roles that belong to the chord."""
        return frozenset(self.chord.degrees) | self.root


@dataclass(frozen=True)
class BassStroke:
    """A new bass note: what it should be, and what may stand in at a price (``missed-answer``);
    moves: the line should go on; run: part of a run; optional: may be left out; rings: must sound
    on; climbs: part of a figure that climbs from its lowest root."""

    tick: int
    roles: frozenset[str]
    fallback: frozenset[str] = frozenset()
    moves: bool = False
    run: bool = False
    optional: bool = False
    rings: bool = False
    climbs: bool = False


Manner = Callable[[Stay], list[BassStroke]]


def _held(stay: Stay) -> list[BassStroke]:
    """The root at the chord's beginning and on each bar's first beat, left to ring."""
    ticks = sorted({stay.start} | stay.downbeats)
    return [BassStroke(tick, stay.root, rings=True) for tick in ticks]


def _roots(stay: Stay) -> list[BassStroke]:
    """The root on every bass stroke."""
    return [BassStroke(tick, stay.root) for tick in sorted({stay.start, *stay.strokes})]


def _swing(stay: Stay, other: str) -> list[BassStroke]:
    """Root first, then the other note and the root in turn.

    With several bass strokes in the bar each bar begins on the root; with one, root and the other
    note take bar about (Bass Lessons!, waltz), from the first bar that the chord begins or meets.
    """
    answer = _answer(stay, other)
    first_bar = min(stay.downbeats, default=stay.start)
    strokes, turn = [], 0
    for tick in sorted({stay.start, *stay.strokes}):
        if tick in (stay.start, first_bar) or (stay.busy and tick in stay.downbeats):
            turn = 0
        if turn % 2 == 0:
            strokes.append(BassStroke(tick, stay.root))
        else:
            strokes.append(BassStroke(tick, answer, fallback=stay.root))
        turn += 1
    return strokes


def _answer(stay: Stay, other: str) -> frozenset[str]:
    """The note that answers the root: the chord's own root where the bass has that note already."""
    chord = stay.chord
    fourth = (chord.degrees["root"] + 5) % 12
    theirs = fourth if other == "alternate fourth" else chord.degrees.get(other)
    return frozenset({"root" if chord.bass_pitch_class == theirs else other})


def _alternating(stay: Stay) -> list[BassStroke]:
    """Root and fifth (Bass Lessons!; Components of bluegrass)."""
    return _swing(stay, "fifth")


def _alternating_fourth(stay: Stay) -> list[BassStroke]:
    """Root and the fourth above it, licensed in this manner only."""
    return _swing(stay, "alternate fourth")


def may_be(stay: Stay, tick: int) -> frozenset[str]:
    """Chord tones anywhere, foreign notes on weak beats (Lehmann, second species)."""
    firm = tick in stay.strong or tick == stay.start
    return stay.tones if firm else stay.tones | set(FOREIGN)


def _walking(stay: Stay) -> list[BassStroke]:
    """A note a beat: chord tones on strong beats, steps between (Walking the Bass)."""
    return [
        BassStroke(tick, stay.root if tick == stay.start else may_be(stay, tick), moves=True)
        for tick in sorted({stay.start, *stay.beats})
    ]


def _runs(stay: Stay) -> list[BassStroke]:
    """Root and fifth, and half beats over the last beat into the next root.

    A chord of two bars or more has its last two beats for the run.
    """
    strokes = _alternating(stay)
    if stay.next_bass is None or stay.next_bass == stay.chord.bass_pitch_class:
        return strokes
    beats = [tick for tick in stay.beats if tick > stay.start]
    if not beats:
        return strokes
    first = beats[-2] if stay.bars >= 2 and len(beats) > 2 else beats[-1]
    run = [
        BassStroke(tick, may_be(stay, tick), moves=True, run=True)
        for tick in range(first, stay.end, stay.part)
    ]
    return [stroke for stroke in strokes if stroke.tick < first] + run


def _free(stay: Stay) -> list[BassStroke]:
    """Whatever the weights ask for; beats without a bass stroke in the pattern may have one."""
    asked = {stay.start, *stay.strokes}
    return [
        BassStroke(tick, may_be(stay, tick), moves=True, optional=tick not in asked)
        for tick in sorted(asked | set(stay.beats))
    ]


def _figure(stay: Stay) -> list[BassStroke]:
    """Root, fifth, octave, fifth, over and over, from the root anew in every bar."""
    fifth = BassStroke(0, _answer(stay, "fifth"), fallback=stay.root)
    octave = BassStroke(0, frozenset({"octave"}), fallback=stay.root)
    turns = (BassStroke(0, stay.root), fifth, octave, fifth)
    strokes, turn = [], 0
    for tick in sorted({stay.start, *stay.steps}):
        if tick == stay.start or tick in stay.downbeats:
            turn = 0
        strokes.append(replace(turns[turn % len(turns)], tick=tick, climbs=True))
        turn += 1
    return strokes


MANNERS: MappingProxyType[str, tuple[str, Manner]] = MappingProxyType(
    {
        "held": ("the root at each change and bar, left to ring", _held),
        "roots": ("the root on every bass stroke", _roots),
        "alternating": ("root and fifth in turn", _alternating),
        "alternating-fourth": ("root and fourth in turn", _alternating_fourth),
        "walking": ("a bass note on every beat, by step where it can", _walking),
        "runs": ("root and fifth, with a run into each new root", _runs),
        "figure": ("root, fifth and octave, over and over: for a bass part alone", _figure),
        "free": ("the weights decide", _free),
    }
)
"""Name → (meaning, function)."""
