"""Whether two answers are to the same tune: by its title, and by its melody or, where one has none,
its chords, in any key and octave; and whether bars of one can be those of another at all.

Public: other_tune, named, strange_bars.
"""

from collections.abc import Iterable

from tune.chord import pitch_class
from tune.melody import sung
from tune.tune import Tune
from undersong.wording import many

ALIKE = 2
"""One bar in so many, at least, is the same in versions of one tune."""


def other_tune(one: Tune, other: Tune) -> str:
    """Why they look like different tunes, in words; empty where they do not. Both have the same
    played bars."""
    if _plain(one.title) != _plain(other.title):
        return f"{one.title!r} and {other.title!r}"
    what, look = "melodies", _melody
    if not any(_melody(one)) or not any(_melody(other)):
        what, look = "chords", _chords
    alike = [here == there for here, there in zip(look(one), look(other), strict=True)]
    if sum(alike) * ALIKE < len(alike):
        return f"the {what} agree in {sum(alike)} of {many(len(alike), 'bar')}"
    return ""


def strange_bars(one: Tune, other: Tune, written: Iterable[int]) -> bool:
    """Whether the tunes have other titles, and one of those bars of the first has other chords or
    another length in the second, or is not there."""
    if _plain(one.title) == _plain(other.title):
        return False
    there = {bar.number: bar for bar in other.bars}
    bars = [one.bars[index] for index in written]
    return any(
        bar.number not in there
        or (bar.length, bar.chords) != (there[bar.number].length, there[bar.number].chords)
        for bar in bars
    )


def named(one: Tune, other: Tune) -> str:
    """Both titles in brackets, where they are not the same."""
    if _plain(one.title) == _plain(other.title):
        return ""
    return f" (they are answers to {one.title!r} and {other.title!r})"


def _plain(title: str) -> str:
    return " ".join(title.split()).casefold()


def _melody(tune: Tune) -> list[tuple[object, ...]]:
    """Each played bar's notes: how long, and how far above the key's note within an octave."""
    tonic = pitch_class(tune.key.tonic)
    bars: dict[int, list[tuple[int, int]]] = {played.number: [] for played in tune.played}
    for note in sung(tune):
        bars[note.bar].append((note.length, (note.midi - tonic) % 12))
    return [tuple(notes) for notes in bars.values()]


def _chords(tune: Tune) -> list[tuple[object, ...]]:
    """Each played bar's chords: ticks, and tones above the key's note."""
    tonic = pitch_class(tune.key.tonic)
    return [
        tuple(
            (
                change.tick,
                frozenset((pc - tonic) % 12 for pc in change.chord.pitch_classes)
                if change.chord is not None
                else frozenset(),
            )
            for change in tune.bars[played.written].chords
        )
        for played in tune.played
    ]
