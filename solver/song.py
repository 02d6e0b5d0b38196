"""Moments of a song: what is asked, beat by beat, of chords with a moving bass.

Public: song_moments.
"""

from scoring.moment import Moment, Strokes
from solver.onsets import Onset, Setting, judging, leading
from solver.spans import Span, stays_of
from solver.style import Style
from tune.tune import Tune


def song_moments(tune: Tune, style: Style, spans: list[Span], courses: int) -> tuple[Moment, ...]:
    """Every moment of the tune as played, in order, without gaps from the first bar's start."""
    setting = Setting(tune, spans, style, courses)
    onsets = judging(leading(setting.onsets(stays_of(tune, spans, style))))
    return tuple(setting.moments(onsets, map(_strikes, onsets)))


def _strikes(onset: Onset) -> tuple[Strokes, ...]:
    """What may be struck: as asked; without the melody string; without an optional bass note."""
    pattern, bass = onset.pattern, onset.bass
    asked = (True, *pattern[1:]) if bass and not bass.optional else pattern
    options = [asked]
    if bass and bass.optional:
        options.append((True, *pattern[1:]))
    if all(pattern[1:]):
        options += [(*option[:-1], False) for option in options]
    return tuple(dict.fromkeys(options))
