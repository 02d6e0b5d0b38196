"""From the bars as written to the bars as played: repeats and endings unfolded.

A repeat goes back to the last start sign, else to the start of the tune (or the bar after the
last repeat). Endings name the passes they are played in; an ending that another one follows goes
back even where its repeat sign was forgotten. Start signs do not nest: a repeat goes back to the
nearest one before it. Common practice, no source.

Public: unfold, PlayedBar, RepeatedBar, MOST_PLAYED_BARS.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from tune.errors import Place, TuneError

MOST_PLAYED_BARS = 8192


class RepeatedBar(Protocol):
    """What unfolding must know of a written bar."""

    @property
    def number(self) -> int: ...
    @property
    def length(self) -> int: ...
    @property
    def repeat_start(self) -> bool: ...
    @property
    def repeat_times(self) -> int: ...
    @property
    def endings(self) -> tuple[int, ...]: ...


@dataclass(frozen=True)
class PlayedBar:
    """One bar as it sounds.

    number: counts from 1 in playing order; written: index into the tune's bars; turn: which time
    through its repeat, from 1; start: ticks from the start of the tune.
    """

    number: int
    written: int
    turn: int
    start: int


def unfold(bars: Sequence[RepeatedBar]) -> tuple[PlayedBar, ...]:
    """The played bars of written ``bars``; TuneError where repeats cannot be followed."""
    groups = _groups(bars)
    played: list[PlayedBar] = []
    start, index, turn, clock = 0, 0, 1, 0
    while index < len(bars):
        bar, group = bars[index], groups[index]
        if bar.repeat_start and index != start:
            start, turn = index, 1
        if group is not None and turn not in bar.endings:
            index = _after_ending(bars, index)
            if index == group.after:
                if index == len(bars) and turn > 1:
                    raise TuneError(
                        f"no ending is marked for time {turn} through", Place(bar=bar.number)
                    )
                start, turn = index, 1
            continue
        played.append(PlayedBar(len(played) + 1, index, turn, clock))
        if len(played) > MOST_PLAYED_BARS:
            raise TuneError(f"with its repeats the tune has more than {MOST_PLAYED_BARS} bars")
        clock += bar.length
        times = bar.repeat_times
        last = group is not None and _after_ending(bars, index) == index + 1
        if group is not None and (times > 1 or (last and index + 1 < group.after)):
            times = max(times, group.times)  # another ending follows, so this one goes back
        if turn < times:
            turn, index = turn + 1, start
            continue
        index = group.after if group is not None and last else index + 1
        if times > 1 or last:
            start, turn = index, 1
    return tuple(played)


@dataclass(frozen=True)
class _Group:
    """Endings that belong together: the first bar after them, and the last pass they name."""

    after: int
    times: int


def _groups(bars: Sequence[RepeatedBar]) -> list[_Group | None]:
    """For each bar the group of endings it stands in.

    A group ends at a bar without ending, at a start sign, and where a pass comes up again.
    """
    groups: list[_Group | None] = [None] * len(bars)
    first = 0
    while first < len(bars):
        after, passes = first, set[int]()
        while after < len(bars) and bars[after].endings:
            if after > first and bars[after].repeat_start:
                break
            begins = after == first or _after_ending(bars, after - 1) == after
            if begins and passes & set(bars[after].endings):
                break
            passes |= set(bars[after].endings)
            after += 1
        for index in range(first, after):
            groups[index] = _Group(after, max(passes))
        first = max(after, first + 1)
    return groups


def _after_ending(bars: Sequence[RepeatedBar], index: int) -> int:
    """The first bar past the ending that begins or goes on at ``index``."""
    ending = bars[index].endings
    index += 1
    while (
        index < len(bars)
        and bars[index].endings == ending
        and bars[index - 1].repeat_times == 1
        and not bars[index].repeat_start
    ):
        index += 1
    return index
