"""What sounds at every column of a placed tab, as far as the tab says it.

A page of our own says of every string whether it sounds on; shapes sound until the next one; lines
of numbers say what is struck, and nothing of the other strings.

Public: Here, heard.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from scoring.moment import Moment
from undersong.handed.placing import PlacedColumn, PlacedTab
from undersong.handed.tab import SHAPES, Tab

Frets = tuple[int | None, ...]


@dataclass(frozen=True)
class Here:
    """at: the column at its place; moment: of the tune, in which it falls; exact: whether the
    moment begins there; frets: a string each, -1 silent, None where nothing is known; fingers: the
    same, None where none is known; struck: a string each."""

    at: PlacedColumn
    moment: Moment
    exact: bool
    frets: Frets
    fingers: tuple[int | None, ...]
    struck: tuple[bool, ...]


def heard(tab: Tab, found: PlacedTab, moments: Sequence[Moment]) -> tuple[Here, ...]:
    """Every placed column, with what sounds there."""
    starts = [(moment.bar, moment.offset) for moment in moments]
    frets: list[int | None] = []
    fingers: list[int | None] = []
    out: list[Here] = []
    for placed in found.columns:
        signs = placed.column.strings
        drawn = any(sounds is not None for sounds in placed.column.sounds)
        left_out = bool(out) and placed.played > out[-1].at.played + 1
        if not drawn or not frets or left_out:  # what rang before missing bars is not known
            frets, fingers = [None] * len(signs), [None] * len(signs)
        for course, sign in enumerate(signs):
            if sign is not None:
                frets[course], fingers[course] = sign.fret, sign.finger
            elif placed.column.let_go and placed.column.let_go[course]:
                frets[course], fingers[course] = -1, None
            elif placed.column.sounds and placed.column.sounds[course] is False:
                if frets[course] is not None:
                    frets[course], fingers[course] = -1, None
            elif placed.column.sounds and placed.column.sounds[course] and frets[course] == -1:
                frets[course] = fingers[course] = None  # it rings on from another time through
        index = max(0, bisect_right(starts, (placed.played, placed.tick)) - 1)
        struck = tuple(sign is not None and sign.fret >= 0 for sign in signs)
        out.append(
            Here(
                placed, moments[index], starts[index] == (placed.played, placed.tick),
                tuple(frets), tuple(fingers), struck,
            )
        )  # fmt: skip
        for course, sign in enumerate(signs):
            if sign is not None and sign.damped:
                frets[course], fingers[course] = None, None
        if tab.form == SHAPES:
            frets = []
    return tuple(out)
