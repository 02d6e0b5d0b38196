"""Moments: what is asked, beat by beat, of the tune as it is played, in each texture.

Public: moments_of.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from scoring.moment import Moment
from solver.errors import ArrangeError
from solver.song import song_moments
from solver.spans import Span, spans_of
from solver.style import Style
from tune.tune import Tune

Builder = Callable[[Tune, Style, list[Span], int], tuple[Moment, ...]]

BUILDERS: MappingProxyType[str, Builder] = MappingProxyType({"song": song_moments})
"""Texture → what makes its moments."""


def moments_of(
    tune: Tune, style: Style, courses: int, manners: Mapping[int, str] | None = None
) -> tuple[Moment, ...]:
    """Every moment of the tune as played, in order, without gaps from the first bar's start.

    manners: written bar's index → the bass manner of that bar, where it is not the style's own.
    Raises ArrangeError for a tune without the chords that its texture needs, StyleError for a
    metre that the right hand does not know and for a manner that the texture does not have.
    """
    for manner in sorted({*(manners or {}).values()}):
        replace(style, manner=manner)  # refuses what the texture does not have
    if not tune.has_chords:
        raise ArrangeError(
            f"{tune.title} has no chords, and a moving bass needs them: "
            "write chord symbols above the melody"
        )
    return BUILDERS[style.texture](tune, style, spans_of(tune, style.manner, manners), courses)
