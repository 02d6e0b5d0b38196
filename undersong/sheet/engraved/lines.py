"""Which bars share a line: four where they fit, in phrases, and never one bar left over.

A section, a repeated passage and each time through a passage that is written out begin a new line.

Public: line_breaks, last_width.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import accumulate, pairwise

from undersong.sheet.engraved.score import Score

_PRICE = {4: 4, 5: 5, 3: 7, 2: 4, 1: 12}
"""Full bars on a line → how unwelcome such a line is: four or two keep a phrase together, five
may save a bar from standing alone."""

_USUAL = 4
"""Bars of a line where it fits."""

_NEARLY = 0.9
"""Of a line: what is longer is stretched to the whole of it."""

_FULLEST = 0.94
"""How much of a line its bars may take at their narrowest, so that they have air; two may fill
it."""


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
        full = 1.0 if end - start <= 2 else _FULLEST
        return wide <= full * room or end - start == 1

    for start, end in _phrases(score):
        pieces = _split(start, end, score, fits)
        first = pieces[0]
        short = _count(score, *first) <= 1 and bool(lines)
        continues = not _opens(score, start)
        if short and continues and fits(lines[-1][0], first[1]):
            lines[-1] = (lines[-1][0], first[1])
            pieces = pieces[1:]
        lines += pieces
    return tuple(start for start, _ in lines[1:])


def last_width(
    score: Score, breaks: Sequence[int], widths: Sequence[float], opening: float, room: float
) -> float | None:
    """mm of the last line, as ``line_breaks`` counts them; None for a whole line. Its bars are as
    wide as those of the fullest line, and never narrower than their natural width."""
    edges = [0, *breaks, len(score.bars)]
    counts = [_count(score, *line) for line in pairwise(edges)]
    wide = room * counts[-1] / max(*counts, _USUAL)
    natural = sum(widths[edges[-2] :]) + (opening if breaks else 0.0)
    wide = max(wide, natural / _FULLEST)
    return wide if wide < _NEARLY * room else None


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
) -> list[tuple[int, int]]:
    """The bars in lines, as ``_PRICE`` likes it best; of equals the one that begins with
    four. A pickup is not counted; a bar that fits no line has one."""
    best: dict[int, tuple[int, list[tuple[int, int]]]] = {end: (0, [])}
    for first in range(end - 1, start - 1, -1):
        pickup = 1 if score.bars[first].sheet.lead else 0
        found: tuple[int, list[tuple[int, int]]] | None = None
        for count in _PRICE:
            last = min(end, first + pickup + count)
            if last - first - pickup != count or (last - first > 1 and not fits(first, last)):
                continue
            price, rest = best[last]
            price += _PRICE[count]
            if found is None or price < found[0]:
                found = price, [(first, last), *rest]
        if found is None:  # a pickup by itself, or a bar that is too wide beside its pickup
            price, rest = best[first + 1]
            found = price + _PRICE[1], [(first, first + 1), *rest]
        best[first] = found
    return best[start][1]
