"""What texture, manner and right hand ask for, tick by tick, worked out for the checker alone.

Public: Ask, asks_of, has_manners.
"""

from collections.abc import Iterable, Mapping

from solver.errors import StyleError
from solver.style import Style
from tune.tune import Tune
from undersong.check.ask import Ask
from undersong.check.asks_bass import bass_asks
from undersong.check.asks_drone import drone_asks
from undersong.check.asks_solo import solo_asks
from undersong.check.asks_song import song_asks
from undersong.check.clock import NO_MANNERS, bar_times

__all__ = ["Ask", "asks_of", "has_manners"]

_ASKS = {"song": song_asks, "solo": solo_asks, "bass": bass_asks, "drone": drone_asks}
"""Texture → what it asks."""


def asks_of(
    tune: Tune, style: Style, courses: int, manners: Mapping[int, str] = NO_MANNERS
) -> tuple[Ask, ...]:
    """Everything that is asked, in order; StyleError for a metre that the right hand lacks, and
    for a manner that the texture has not.

    manners: by index of the written bar, those asked for there alone.
    """
    if not has_manners(style, manners.values()):
        raise StyleError(
            f"the texture {style.texture} has not every bass manner that is asked for: figures are "
            "for a bass part alone, and a drone is held"
        )
    return _ASKS[style.texture](tune, style, courses, bar_times(tune, manners, style.manner))


def has_manners(style: Style, elsewhere: Iterable[str]) -> bool:
    """Whether the texture has the style's manner and those asked for in bars of their own: figures
    are for a bass part alone, and a drone is held."""
    named = {style.manner, *elsewhere}
    if style.texture == "drone":
        return named == {"held"}
    return style.texture == "bass" or "figure" not in named
