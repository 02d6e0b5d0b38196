"""Moments: what is asked, beat by beat, of the tune as it is played, in each texture.

Public: moments_of, refuse_lacking.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from scoring.moment import Moment
from solver.bass_part import bass_moments
from solver.drone import drone_moments
from solver.errors import ArrangeError
from solver.singing import TUNEFUL
from solver.solo import solo_moments
from solver.song import song_moments
from solver.spans import Span, spans_of
from solver.style import Style
from tune.melody import sung
from tune.tune import Tune

Builder = Callable[[Tune, Style, list[Span], int], tuple[Moment, ...]]

BUILDERS: MappingProxyType[str, Builder] = MappingProxyType(
    {"song": song_moments, "solo": solo_moments, "bass": bass_moments, "drone": drone_moments}
)
"""Texture → what makes its moments."""


def moments_of(
    tune: Tune, style: Style, courses: int, manners: Mapping[int, str] | None = None
) -> tuple[Moment, ...]:
    """Every moment of the tune as played, in order, without gaps from the first bar's start.

    manners: written bar's index → the bass manner of that bar, where it is not the style's own.
    Raises ArrangeError for a tune without the chords or melody that its texture needs, StyleError
    for a metre that the right hand does not know and for a manner that the texture does not have.
    """
    for manner in sorted({*(manners or {}).values()}):
        replace(style, manner=manner)  # refuses what the texture does not have
    refuse_lacking(tune, style.texture)
    return BUILDERS[style.texture](tune, style, spans_of(tune, style.manner, manners), courses)


def refuse_lacking(tune: Tune, texture: str) -> None:
    """Raises ArrangeError for a tune without the chords or melody that the texture is made of."""
    if texture in TUNEFUL and not sung(tune):
        raise ArrangeError(
            f"{tune.title} has no melody, and a {texture} is made of one: write its notes, or "
            "take another texture"
        )
    if tune.has_chords or texture == "drone":
        return
    if texture == "solo":
        raise ArrangeError(
            f"{tune.title} has no chords, and a solo fits them around the melody: write chord "
            "symbols above it, or take --chords proposed or --chords drone"
        )
    raise ArrangeError(
        f"{tune.title} has no chords, and a moving bass needs them: "
        "write chord symbols above the melody, or take --chords proposed or --chords drone"
    )
