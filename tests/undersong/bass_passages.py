"""Bass parts made by hand for the checker's tests: see ``passages``.

Public: figured, breathing, filled, BASS_PARTS.
"""

from functools import cache

from solver.result import Arrangement
from tests.undersong.passages import arranged, bar, style_of, tune_of


@cache
def figured() -> Arrangement:
    """D in four: root, fifth, octave, fifth; then G and D, a figure begun for each."""
    return arranged(
        tune_of("D", "G . D ."),
        style_of("figure", texture="bass", bass_ceiling=17),
        """
        0  x x | - - - | 100 | b-- | root
        7  x x | M - - | 248 | b-- | fifth
        12 x x | T - - | 302 | b-- | octave
        7  x x | M - - | 248 | b-- | fifth
        5  x x | I - - | 170 | b-- | root
        12 x x | T - - | 302 | b-- | fifth
        0  x x | - - - | 302 | b-- | root
        0  x x | - - - | 302 | b-- | root
        """,
    )


@cache
def breathing() -> Arrangement:
    """Five bars of D, held: in the fourth the player breathes."""
    return arranged(
        tune_of("D", "", "", "", ""),
        style_of("held", texture="bass"),
        """
        0 x x | - - - | 100 | b-- | root
        0 x x | - - - | 100 | b-- | root
        0 x x | - - - | 100 | b-- | root
        0 x x | - - - | 100 | b-- | root
        x x x | - - - | 100 | ---
        0 x x | - - - | 100 | b-- | root
        """,
    )


@cache
def filled() -> Arrangement:
    """D, a section's end filled in quavers up to G; then D."""
    return arranged(
        tune_of("D", bar("G", section="B"), "D"),
        style_of("roots", texture="bass"),
        """
        0 x x | - - - | 100 | b-- | root
        0 x x | - - - | 100 | b-- | root
        2 x x | M - - | 95  | b-- | passing
        4 x x | I - - | 140 | b-- | third
        5 x x | I - - | 170 | b-- | root
        5 x x | I - - | 170 | b-- | root
        0 x x | - - - | 170 | b-- | root
        0 x x | - - - | 170 | b-- | root
        """,
    )


BASS_PARTS = {"figured": figured, "breathing": breathing, "filled": filled}
"""Parts that a player could play, and that the checker must let pass."""
