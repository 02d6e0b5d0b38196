"""From the bars as written to the bars as played: repeats and endings unfolded.

A repeat goes back to the last start sign, else to the start of the tune (or the bar after the
last repeat). Endings name the passes they are played in. Common practice, no source.
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
    played: list[PlayedBar] = []
    start, index, turn, clock = 0, 0, 1, 0
    while index < len(bars):
        bar = bars[index]
        if bar.repeat_start and index != start:
            start, turn = index, 1
        if bar.endings and turn not in bar.endings:
            index = _after_ending(bars, index)
            if index >= len(bars) and not _reachable(bars, turn, start):
                raise TuneError(
                    f"no ending is marked for time {turn} through", Place(bar=bar.number)
                )
            continue
        played.append(PlayedBar(len(played) + 1, index, turn, clock))
        if len(played) > MOST_PLAYED_BARS:
            raise TuneError(f"with its repeats the tune has more than {MOST_PLAYED_BARS} bars")
        clock += bar.length
        times = _times(bars, index)
        if bar.repeat_times > 1 and turn < times:
            turn, index = turn + 1, start
            continue
        index += 1
        if bar.repeat_times > 1 or (bar.endings and not _in_ending(bars, index)):
            start, turn = index, 1
    return tuple(played)


def _in_ending(bars: Sequence[RepeatedBar], index: int) -> bool:
    return index < len(bars) and bool(bars[index].endings)


def _after_ending(bars: Sequence[RepeatedBar], index: int) -> int:
    """The first bar past the ending that begins or goes on at ``index``."""
    ending = bars[index].endings
    while index < len(bars) and bars[index].endings == ending:
        index += 1
        if bars[index - 1].repeat_times > 1:
            break
    return index


def _times(bars: Sequence[RepeatedBar], index: int) -> int:
    """How often the passage that closes at ``index`` is played: its sign, or its endings' last."""
    bar = bars[index]
    if bar.endings:
        last = max(bar.endings)
        follow = index + 1
        while _in_ending(bars, follow) and not bars[follow].repeat_start:
            last = max(last, *bars[follow].endings)
            follow += 1
        return max(last, bar.repeat_times)
    return bar.repeat_times


def _reachable(bars: Sequence[RepeatedBar], turn: int, start: int) -> bool:
    """Whether some ending from ``start`` on is marked for this time through."""
    return any(turn in bar.endings for bar in bars[start:])
