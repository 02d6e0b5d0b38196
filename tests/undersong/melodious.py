"""Short passages with a melody, made by hand for the checker's tests: see ``passages``.

Public: solo, solo_in_rest, solo_low, drone, drone_late, MELODIOUS.
"""

from dataclasses import replace
from functools import cache

from solver.result import Arrangement
from tests.undersong.passages import arranged, bar, style_of, tune_of
from tune.time import QUARTER
from tune.tune import Bar, Note


def sung(made: Bar, *notes: tuple[float, int | None], tied: bool = False) -> Bar:
    """The bar with notes of (quarters, MIDI pitch or None) one after another; tied: the last."""
    out, tick = [], 0
    for quarters, midi in notes:
        length = round(quarters * QUARTER)
        out.append(Note(tick, length, midi))
        tick += length
    if tied:
        out[-1] = replace(out[-1], tied=True)
    return replace(made, notes=tuple(out))


@cache
def solo() -> Arrangement:
    """F# A rest, C# (on the middle string) E, D: over D, A, D, root and fifth, bass then strum."""
    return arranged(
        tune_of(
            sung(bar("D"), (2, 66), (1, 69), (1, None)),
            sung(bar("A"), (2, 61), (2, 64)),
            sung(bar("D"), (4, 62)),
        ),
        style_of("alternating", texture="solo"),
        """
        0 x 4 | - - I | 140 | b-s | root
        0 0 4 | - - I | 140 | -m-
        7 0 7 | T - I | 210 | b-s | fifth
        7 0 x | T - - | 190 | -m-
        7 4 x | T I - | 150 | bm- | root
        7 4 x | T I - | 150 | ---
        2 4 2 | P I R | 140 | b-s | fifth
        2 4 2 | P I R | 140 | -m-
        0 x 0 | - - - | 100 | b-s | root
        0 0 0 | - - - | 100 | -m-
        0 0 0 | - - - | 100 | b-- | root
        0 0 0 | - - - | 100 | -m-
        """,
    )


@cache
def solo_in_rest() -> Arrangement:
    """E, tied from a bar without chord into one of G7, then D in quarters; the bass damped."""
    return arranged(
        tune_of(
            sung(bar("-"), (2, None), (2, 64), tied=True),
            sung(bar("G7"), (2, 64), (2, 67)),
            sung(bar("D"), (1, 66), (3, 62)),
        ),
        style_of("roots", "damped-bass-then-strum", texture="solo"),
        """
        x x x | - - - | 70  | ---
        x x 2 | - - I | 70  | --s
        5 x 2 | T - I | 100 | b-- | root
        x 2 2 | - I I | 75  | -m-
        5 x 5 | T - I | 150 | b-s | root
        x 0 5 | - - I | 170 | -m-
        0 x 4 | - - I | 140 | b-s | root
        x 0 0 | - - - | 140 | -ms
        0 0 0 | - - - | 140 | b-- | root
        x 0 0 | - - - | 140 | -m-
        """,
    )


@cache
def solo_low() -> Arrangement:
    """E and G below the middle string, so that the bass string carries them, over Em."""
    return arranged(
        tune_of(sung(bar("Em"), (2, 52), (2, 55)), sung(bar("Em"), (1, None), (3, 64))),
        style_of("held", texture="solo"),
        """
        2 x x | I - - | 70  | b-- | melody
        2 x x | I - - | 70  | ---
        5 x x | I - - | 170 | b-- | melody
        5 x x | I - - | 170 | ---
        2 x x | M - - | 95  | b-- | root
        2 2 2 | M M M | 95  | -ms
        2 2 2 | M M M | 95  | ---
        """,
    )


@cache
def drone() -> Arrangement:
    """Crotchets and quavers, a rest in the middle, every other string open from the start."""
    return arranged(
        tune_of(
            sung(bar("D"), (1, 66), (0.5, 67), (0.5, 69), (1, None), (1, 64)),
            sung(bar(""), (4, 62)),
        ),
        style_of("held", texture="drone"),
        """
        0 0 4 | - - I | 140 | bms | drone
        0 0 5 | - - T | 130 | bms | drone
        0 0 7 | - - T | 190 | --s
        0 0 x | - - - | 190 | ---
        0 0 2 | - - I | 70  | bms | drone
        0 0 0 | - - - | 70  | bms | drone
        """,
    )


@cache
def drone_late() -> Arrangement:
    """The melody begins after the beat: nothing sounds before it, then everything."""
    return arranged(
        tune_of(sung(bar("D"), (1.5, None), (0.5, 62), (2, 64))),
        style_of("held", texture="drone"),
        """
        x x x | - - - | 70 | ---
        0 0 0 | - - - | 70 | bms | drone
        0 0 2 | - - I | 70 | bms | drone
        """,
    )


MELODIOUS = {
    "solo": solo,
    "solo in a rest": solo_in_rest,
    "solo on the bass string": solo_low,
    "drone": drone,
    "drone that begins late": drone_late,
}
"""Passages that a player could play, and that the checker must let pass."""
