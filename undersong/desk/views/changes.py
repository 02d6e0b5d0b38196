"""What is different in an answer against the one that was on the page before.

Public: changes_view.
"""

from itertools import groupby
from typing import Any, NamedTuple

from solver.result import Arrangement
from tune.tune import Tune
from undersong.compare.shown import shown_hands
from undersong.compared import named_bars


class _Stroke(NamedTuple):
    """What is done at one moment, ticks from its bar's start; midi: -1 for silence."""

    offset: int
    frets: tuple[int, ...]
    fingers: tuple[int, ...]
    struck: tuple[bool, ...]
    midi: tuple[int, ...]


_Bar = tuple[_Stroke, ...]


def changes_view(before: Arrangement, after: Arrangement) -> list[dict[str, Any]]:
    """A row for each played bar that differs; one row for all where the bars do not correspond."""
    other = before.tune.title != after.tune.title
    if other or _lengths(before.tune) != _lengths(after.tune):
        return [{"played": 0, "bar": "", "words": "another tune: every bar is new"}]
    old, new = _bars(before), _bars(after)
    rows = []
    for played in after.tune.played:
        here, there = old.get(played.number, ()), new.get(played.number, ())
        if here != there:
            words = f"{_shown(before, here)} became {_shown(after, there)}"
            if [stroke[:4] for stroke in here] == [stroke[:4] for stroke in there]:
                words = "the same hands sound other notes"
            rows.append(
                {
                    "played": played.number,
                    "bar": named_bars(after.tune, (played.number,)),
                    "words": words,
                }
            )
    return rows


def _lengths(tune: Tune) -> list[tuple[int, int]]:
    """Number and ticks of each played bar."""
    bars = (tune.bars[played.written] for played in tune.played)
    return [(bar.number, bar.length) for bar in bars]


def _bars(made: Arrangement) -> dict[int, _Bar]:
    pitch = made.instrument.pitch
    pairs = zip(made.moments, made.choices, strict=True)
    return {
        bar: tuple(
            _Stroke(
                moment.offset,
                choice.grip.frets,
                choice.grip.fingers,
                choice.struck,
                tuple(
                    pitch(course, fret) if fret >= 0 else -1
                    for course, fret in enumerate(choice.grip.frets)
                ),
            )
            for moment, choice in inside
        )
        for bar, inside in groupby(pairs, key=lambda pair: pair[0].bar)
    }


def _shown(made: Arrangement, bar: _Bar) -> str:
    shapes = [shown_hands(made, s.frets, s.fingers, s.struck) for s in bar]
    return ", ".join(shapes) or "ringing on"
