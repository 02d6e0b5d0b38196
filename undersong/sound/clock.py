"""When a tick is: the tempo map of a tune as played.

Seconds are counted in exact fractions from change to change of tempo, so that nothing drifts over
a long tune.

Public: Clock.
"""

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction

from tune.tune import Tune


@dataclass(frozen=True)
class Clock:
    """ticks: where a tempo begins, the first 0; seconds: when that is; pace: seconds a tick from
    there on."""

    ticks: tuple[int, ...]
    starts: tuple[Fraction, ...]
    pace: tuple[Fraction, ...]

    @classmethod
    def of(cls, tune: Tune, faster: Fraction | int = 1) -> "Clock":
        """The tune's own tempi, each ``faster`` times as fast."""
        ticks: list[int] = []
        starts: list[Fraction] = []
        pace: list[Fraction] = []
        for played in tune.played:
            tempo = tune.tempo_at(played.written)
            here = Fraction(60, tempo.beat * tempo.per_minute) / faster
            if pace and pace[-1] == here:
                continue
            gone = starts[-1] + (played.start - ticks[-1]) * pace[-1] if pace else Fraction(0)
            ticks.append(played.start)
            starts.append(gone)
            pace.append(here)
        return cls(tuple(ticks), tuple(starts), tuple(pace))

    def seconds(self, tick: int) -> float:
        """When the tick is; ticks past the tune's end go on at its last tempo."""
        return float(self.exact(tick))

    def exact(self, tick: int) -> Fraction:
        """The same, not rounded."""
        index = max(0, bisect_right(self.ticks, tick) - 1)
        return self.starts[index] + (tick - self.ticks[index]) * self.pace[index]

    def pace_at(self, tick: int) -> Fraction:
        """Seconds that a tick lasts there."""
        return self.pace[max(0, bisect_right(self.ticks, tick) - 1)]
