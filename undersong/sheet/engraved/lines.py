"""Which bars share a line: four where they fit, in phrases, and never one bar left over.

A section, a repeated passage and each time through a passage that is written out begin a new line.

Public: line_breaks, BARS_A_LINE.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import accumulate

from undersong.sheet.engraved.score import Score

BARS_A_LINE = 4

_FULLEST = 0.94
"""How much of a line its bars may take at their narrowest, so that they have air."""


def line_breaks(
    score: Score, widths: Sequence[float], opening: float, room: float
) -> tuple[int, ...]:
    """The first bar of every line but the first. widths: natural mm of each bar; opening: mm of
    clef and key at a line's start; room: mm of a line."""
    lines: list[tuple[int, int]] = []
    sums = [0.0, *accumulate(widths)]

    def fits(start: int, end: int) -> bool:
        head = 0.0 if start == 0 else opening
        wide = sums[end] - sums[start] + head
        return wide <= _FULLEST * room or end - start == 1

    for start, end in _phrases(score):
        pieces = list(_split(start, end, score, fits))
        first = pieces[0]
        short = _count(score, *first) <= 1 and bool(lines)
        continues = not _opens(score, start)
        if short and continues and fits(lines[-1][0], first[1]):
            lines[-1] = (lines[-1][0], first[1])
            pieces = pieces[1:]
        lines += pieces
    return tuple(start for start, _ in lines[1:])


def _opens(score: Score, index: int) -> bool:
    bar = score.bars[index]
    return bool(bar.bar.section) or bar.sheet.opens or bar.sheet.turn > 0


def _count(score: Score, start: int, end: int) -> int:
    """Full bars: a pickup is not counted."""
    return sum(
        not (bar.sheet.lead and at == start) for at, bar in enumerate(score.bars[start:end], start)
    )


def _phrases(score: Score) -> Iterator[tuple[int, int]]:
    """(start, end) of what no line may reach beyond."""
    start = 0
    for index in range(1, len(score.bars)):
        after = score.bars[index - 1].sheet.closes and not score.bars[index].bar.endings
        pickup_alone = index == start + 1 and score.bars[start].sheet.lead > 0
        if after or (_opens(score, index) and not pickup_alone):
            yield start, index
            start = index
    yield start, len(score.bars)


def _split(
    start: int, end: int, score: Score, fits: Callable[[int, int], bool]
) -> Iterator[tuple[int, int]]:
    """Lines of four bars, or two where four are too wide; a bar that would be left over joins the
    line before it, or takes one over from there."""
    while start < end:
        pickup = 1 if score.bars[start].sheet.lead else 0
        left = end - start - pickup
        most = min(left, BARS_A_LINE)
        if left == BARS_A_LINE + 1 and fits(start, end):
            most = left
        while most > 1 and not fits(start, start + pickup + most):
            most -= 1
        if most == 3 and left > 3:
            most = 2
        if left == most + 1 and most > 2:
            most -= 1
        stop = start + pickup + max(most, 0 if pickup else 1)
        yield start, stop
        start = stop
