"""Passages for the tests of scoring, written as a player would: frets, fingers, place, strokes.

The instrument is the standard one (27 in = 685.8 mm, courses 16 mm apart, D3 A3 D4 with 6+), the
hand the medium one with the movement constants spelled out, so that the figures worked by hand in
the tests stand whatever the defaults become. From the nut, mm, by 685.8(1 − 2^(−s/12)):

    fret      1     2      3      4      5      6      6+     7      8
    mm       74.8  141.5  172.0  228.1  278.0  300.9  322.5  342.9  380.3
    behind   74.8   66.7   30.5   56.1   49.9   22.9   21.6   20.4   37.4

Relaxed fingers lie from the index finger, mm: T +41.0, M −20.5, R −47.8, P −75.2.
"""

from dataclasses import replace

from fretboard.frets import fret_semitones
from fretboard.grip import Grip
from fretboard.hand import FINGERS, Hand, Movement
from fretboard.presets import instrument
from scoring.choice import Choice
from scoring.evaluate import Bill, evaluate
from scoring.moment import Moment
from scoring.weights import Weights
from tune.chord import parse_chord
from tune.time import QUARTER

MOVEMENT = Movement(hand_a=60, hand_b=100, finger_a=20, finger_b=45, flex_mm=25, release_percent=25)
HAND = Hand(movement=MOVEMENT)
STANDARD = instrument(scale=685.8)
ALL = (True, True, True)

QUIET = Moment(
    bar=1, written=0, offset=0, length=QUARTER, ms=2000, chord=parse_chord("D"), change=False,
    downbeat=False, strong=False, half_bar=False, moves=False, run=False, keeps=False, rings=False,
    leads=False, judged=False, damped=False, strikes=(ALL,), plays=ALL, roles=frozenset({"root"}),
)  # fmt: skip
"""A quarter of D, slow, at which nothing is asked but three strings."""


def moment(chord: str | None = "D", **changes: object) -> Moment:
    """QUIET with changes; chord: a symbol, None for silence."""
    made = parse_chord(chord) if chord else None
    return replace(QUIET, chord=made, **changes)  # type: ignore[arg-type]


def step(
    shape: str, fingers: str = "", place: int = 100, *, struck: str = "", role: str | None = "root"
) -> Choice:
    """A choice: ``step("3-1-0", "TI-", 100, struck="bum")``.

    fingers: letters, ``-`` for none, nothing for no finger at all; struck: a letter for each
    string, ``.`` where it is not, nothing for every string that sounds; role: forgotten where the
    bass is not struck.
    """
    frets = tuple(-1 if label == "x" else fret_semitones(label) for label in shape.split("-"))
    numbers = tuple(FINGERS.find(letter) for letter in fingers or "-" * len(frets))
    strokes = tuple(mark != "." for mark in struck) if struck else tuple(f >= 0 for f in frets)
    return Choice(Grip(frets, numbers, place), strokes, role if strokes[0] else None)


def bill(choices: list[Choice], moments: list[Moment] | Moment = QUIET, hand: Hand = HAND) -> Bill:
    """What the passage costs on the standard instrument; one moment stands for all."""
    asked = moments if isinstance(moments, list) else [moments] * len(choices)
    return evaluate(choices, asked, STANDARD, hand, Weights())


def amounts(
    name: str, choices: list[Choice], moments: list[Moment] | Moment = QUIET, hand: Hand = HAND
) -> list[int]:
    """One term's amounts, moment by moment."""
    return [row.get(name, 0) for row in bill(choices, moments, hand).amounts]
