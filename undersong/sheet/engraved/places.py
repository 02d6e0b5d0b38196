"""Where the ticks of a bar lie on its line.

Public: Places, places_of.
"""

from bisect import bisect_right
from dataclasses import dataclass

from undersong.sheet.engraved.mei import figure_id, note_id
from undersong.sheet.engraved.picture import BarPlace, Picture
from undersong.sheet.engraved.score import Score

_BEFORE = 3.2
"""mm before a line's first stroke, after clef and key, where strings that ring on begin."""


@dataclass(frozen=True)
class Places:
    """knots: (tick, x) in order, the bar's end last; start: where its music begins."""

    knots: tuple[tuple[int, float], ...]
    start: float

    def x(self, tick: int) -> float:
        """mm along the line; between what was engraved, in proportion to time."""
        at = bisect_right(self.knots, (tick, float("inf"))) - 1
        if at + 1 >= len(self.knots):
            return self.knots[-1][1]
        (before, left), (after, right) = self.knots[at], self.knots[at + 1]
        return left + (right - left) * (tick - before) / (after - before)


def places_of(score: Score, picture: Picture, bar: BarPlace, first: bool) -> Places:
    """first: the bar begins its line."""
    found: dict[int, float] = {}
    content = score.bars[bar.index]
    ticks = {note.tick for note in content.bar.notes} | {hit.tick for hit in content.hits}
    for tick in ticks:
        ids = [figure_id(bar.index, tick, c) for c in score.courses] + [note_id(bar.index, tick)]
        places = [picture.places[name] for name in ids if name in picture.places]
        if places:
            found[tick] = places[0]
    # the right edge proper is the first of its bar lines, so that dots have their room; after a
    # clef and a key the repeat sign before the music may stand beyond the bar's middle
    latest = max(found.values(), default=(bar.left + bar.right) / 2)
    ends = [x for x, _ in bar.lines if x > latest]
    right = min(ends, default=bar.right)
    found[content.bar.length] = right
    earliest = min(found.values())
    inner = [x for x in (*bar.dots, *(x for x, _ in bar.lines)) if x < earliest]
    start = max([bar.left, *inner])
    if first and (picture.clefs or inner):
        start = max(start, earliest - _BEFORE)
    if 0 not in found:
        found[0] = min(start + 2.5, earliest)
    return Places(tuple(sorted(found.items())), start)
