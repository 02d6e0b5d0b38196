"""When each bar begins in a recording.

Public: bar_starts, Starts.
"""

from dataclasses import dataclass

from solver.result import Arrangement
from undersong.sound.clock import Clock
from undersong.sound.plan import PAUSE, START_NOTE, plan_of
from undersong.sound.sound_options import SoundOptions


@dataclass(frozen=True)
class Starts:
    """seconds: how long it all lasts, the ringing out included; begins: when the music begins,
    after what is counted in; bars: (number of the played bar, when it begins) in order."""

    seconds: float
    begins: float
    bars: tuple[tuple[int, float], ...]


def bar_starts(arrangement: Arrangement, options: SoundOptions) -> Starts:
    """The bars of the first time that the passage is played; seconds.

    Raises SheetError, as ``render`` does, for what this tune or instrument cannot do.
    """
    plan = plan_of(arrangement, options)
    clock = Clock.of(arrangement.tune, plan.paces[0])
    begins = plan.count_length * clock.pace_at(plan.first)
    if plan.start_note is not None:
        begins += START_NOTE + PAUSE
    offset = begins - clock.exact(plan.first)
    bars = tuple(
        (bar.number, float(offset + clock.exact(bar.start)))
        for bar in arrangement.tune.played
        if plan.first <= bar.start < plan.last
    )
    return Starts(float(plan.seconds), float(begins), bars)
