"""Short passages made by hand for the checker's tests: no search, every finger chosen by us.

Strings are written bass to melody. Frets are semitones (``x``: silent), fingers T I M R P (``-``:
none), strokes ``b``, ``m``, ``s`` for bass, middle and melody string struck. The instrument is the
standard one, D3 A3 D4; the shapes are TRADE.md's (D 0-0-2, G 3-1-0, A 4-2-1).
"""

from dataclasses import replace
from functools import cache
from typing import Any

from fretboard.grip import Grip
from fretboard.hand import FINGERS, Hand
from fretboard.instrument import Instrument
from fretboard.presets import instrument
from scoring.choice import Choice
from scoring.moment import Moment
from scoring.weights import Weights
from solver.moments import moments_of
from solver.result import PROVEN, Arrangement, Proof
from solver.righthand import right_hand
from solver.style import Style
from tune.chord import parse_chord
from tune.key import Key
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, ChordChange, Tune

COMMON = Metre(4, 4)


def bar(chords: str, metre: Metre = COMMON, **fields: Any) -> Bar:
    """A bar from ``"D"``, ``"D . G ."`` (a sign a beat) or ``"-"`` for N.C.; empty goes on."""
    changes = tuple(
        ChordChange(beat * metre.beat, None if sign == "-" else parse_chord(sign))
        for beat, sign in enumerate(chords.split())
        if sign != "."
    )
    given = {"number": 1, "metre": metre, "length": metre.bar, "key": Key("D"), "chords": changes}
    return Bar(**(given | fields))


def tune_of(*bars: Bar | str) -> Tune:
    """A tune in D at 96 to the minute."""
    made = tuple(bar(one) if isinstance(one, str) else one for one in bars)
    return Tune("Harrow Lane exercise", Key("D"), made[0].metre, Tempo(QUARTER, 96), made)


def choice(line: str) -> Choice:
    """``"0 0 4 | - - I | 140 | -ms"`` and, where the bass is struck, a role after another bar."""
    frets, fingers, place, struck, *role = (part.strip() for part in line.split("|"))
    return Choice(
        Grip(
            tuple(-1 if fret == "x" else int(fret) for fret in frets.split()),
            tuple(-1 if finger == "-" else FINGERS.index(finger) for finger in fingers.split()),
            int(place),
        ),
        tuple(sign != "-" for sign in struck),
        role[0] if role else None,
    )


def arranged(
    tune: Tune,
    style: Style,
    lines: str,
    made: Instrument | None = None,
    hand: Hand | None = None,
) -> Arrangement:
    """The arrangement of one choice a line, its proof priced by the evaluator."""
    on = made or instrument()
    moments = moments_of(tune, style, len(on.courses))
    choices = tuple(choice(line) for line in lines.strip().splitlines())
    proof = Proof(PROVEN, 0, 0)
    return priced(Arrangement(tune, on, hand or Hand(), style, Weights(), moments, choices, proof))


def priced(arrangement: Arrangement) -> Arrangement:
    """The same with a proof that speaks of its cost."""
    return replace(arrangement, proof=Proof(PROVEN, arrangement.cost, 0))


def with_choice(arrangement: Arrangement, index: int, **fields: Any) -> Arrangement:
    """The same with frets, fingers, place, struck or role changed at one moment; as it was
    priced."""
    old = arrangement.choices[index]
    grip = {name: fields.pop(name) for name in ("frets", "fingers", "place") if name in fields}
    new = replace(old, grip=replace(old.grip, **grip), **fields)
    choices = (*arrangement.choices[:index], new, *arrangement.choices[index + 1 :])
    return replace(arrangement, choices=choices)


def with_line(arrangement: Arrangement, index: int, line: str) -> Arrangement:
    """The same with another choice at one moment."""
    choices = (*arrangement.choices[:index], choice(line), *arrangement.choices[index + 1 :])
    return replace(arrangement, choices=choices)


def with_moment(arrangement: Arrangement, index: int, **fields: Any) -> Arrangement:
    """The same with something else said of one moment."""
    new: Moment = replace(arrangement.moments[index], **fields)
    moments = (*arrangement.moments[:index], new, *arrangement.moments[index + 1 :])
    return replace(arrangement, moments=moments)


def style_of(manner: str, pattern: str = "bass-then-strum", **fields: Any) -> Style:
    return Style(manner=manner, right_hand=right_hand(pattern), **fields)


@cache
def alternating() -> Arrangement:
    """D, G, A, D in four, root and fifth, bass then strum."""
    return arranged(
        tune_of("D", "G", "A", "D"),
        style_of("alternating"),
        """
        0 x x | - - - | 100 | b-- | root
        0 0 4 | - - I | 140 | -ms
        7 0 4 | T - I | 160 | b-- | fifth
        7 0 4 | T - I | 160 | -ms
        5 x x | T - - | 130 | b-- | root
        5 2 0 | T I - | 100 | -ms
        0 2 0 | - I - | 70  | b-- | fifth
        0 2 0 | - I - | 70  | -ms
        7 x x | T - - | 190 | b-- | root
        7 4 2 | T I R | 150 | -ms
        2 4 2 | P I R | 140 | b-- | fifth
        2 4 2 | P I R | 140 | -ms
        0 x x | - - - | 100 | b-- | root
        0 0 4 | - - I | 140 | -ms
        0 0 4 | - - I | 140 | b-- | root
        0 0 4 | - - I | 140 | -ms
        """,
    )


@cache
def walking() -> Arrangement:
    """D, A, D in four, a bass note on every beat: passing, approach and neighbour notes."""
    return arranged(
        tune_of("D", "A", "D"),
        style_of("walking", "bass-only"),
        """
        0 x x | - - - | 100 | b-- | root
        2 x x | I - - | 70  | b-- | passing
        4 x x | I - - | 140 | b-- | third
        5 x x | I - - | 170 | b-- | approach
        7 x x | I - - | 230 | b-- | root
        9 x x | I - - | 280 | b-- | neighbour
        7 x x | I - - | 230 | b-- | root
        2 x x | I - - | 70  | b-- | fifth
        0 x x | - - - | 100 | b-- | root
        4 x x | I - - | 140 | b-- | third
        7 x x | I - - | 230 | b-- | fifth
        0 x x | - - - | 100 | b-- | root
        """,
    )


@cache
def held() -> Arrangement:
    """D for two bars in three, the bass left to ring, every string on the beats."""
    waltz = Metre(3, 4)
    return arranged(
        tune_of(bar("D", waltz), bar("", waltz)),
        style_of("held"),
        """
        0 x x | - - - | 100 | b-- | root
        0 0 4 | - - I | 140 | -ms
        0 0 4 | - - I | 140 | -ms
        0 0 4 | - - I | 140 | b-- | root
        0 0 4 | - - I | 140 | -ms
        0 5 4 | - T I | 140 | -ms
        """,
    )


@cache
def resting() -> Arrangement:
    """D, nothing, D in four, roots, the bass damped with the palm."""
    return arranged(
        tune_of("D", "-", "D"),
        style_of("roots", "damped-bass-then-strum"),
        """
        0 x x | - - - | 100 | b-- | root
        x 0 4 | - - I | 140 | -ms
        0 0 4 | - - I | 140 | b-- | root
        x 0 4 | - - I | 140 | -ms
        x x x | - - - | 100 | ---
        0 x x | - - - | 100 | b-- | root
        x 0 4 | - - I | 140 | -ms
        0 0 4 | - - I | 140 | b-- | root
        x 0 4 | - - I | 140 | -ms
        """,
    )


@cache
def strummed() -> Arrangement:
    """D and G7 over B, in four, roots, every string on every beat: bass notes repeat."""
    return arranged(
        tune_of("D", "D . G/B ."),
        style_of("roots", "full-strum"),
        """
        0 0 4 | - - I | 140 | bms | root
        0 0 4 | - - I | 140 | bms | root
        0 0 4 | - - I | 140 | bms | root
        0 0 4 | - - I | 140 | bms | root
        0 0 4 | - - I | 140 | bms | root
        0 0 4 | - - I | 140 | bms | root
        9 5 5 | T M M | 210 | bms | slash bass
        9 5 5 | T M M | 210 | bms | slash bass
        """,
    )


@cache
def free() -> Arrangement:
    """Em, the bass as the weights like it: an optional note left out, another taken."""
    return arranged(
        tune_of("Em", "Em"),
        style_of("free", "bass-only"),
        """
        5 x x | I - - | 170 | b-- | third
        5 x x | I - - | 170 | ---
        2 x x | M - - | 100 | b-- | root
        0 x x | - - - | 100 | b-- | neighbour
        2 x x | M - - | 100 | b-- | root
        2 x x | M - - | 100 | ---
        2 x x | M - - | 100 | b-- | root
        2 x x | M - - | 100 | ---
        """,
    )


SOUND = {
    "alternating": alternating,
    "walking": walking,
    "held": held,
    "resting": resting,
    "strummed": strummed,
    "free": free,
}
"""Passages that a player could play, and that the checker must let pass."""
