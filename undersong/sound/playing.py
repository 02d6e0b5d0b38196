"""What is heard: each plucked note from its stroke to where it stops, as the arrangement says.

A string sounds until it is plucked again, let go or stopped elsewhere, until the palm damps it, or
until the tune ends.

Public: Heard, heard, Clock.
"""

from dataclasses import dataclass, replace

from solver.result import Arrangement
from undersong.sheet.hands import carrier_of
from undersong.sound.clock import Clock

__all__ = ["Clock", "Heard", "heard"]


@dataclass(frozen=True)
class Heard:
    """One plucked note as it sounds.

    course: 0 is the bass; midi: sounding pitch; tick, end: from the start of the tune as played;
    damped: the palm damps it; bass: it is struck as a bass note; bar: the number of the played bar
    that it begins in; sings: it is a melody note.
    """

    course: int
    midi: int
    tick: int
    end: int
    damped: bool
    bass: bool
    bar: int
    sings: bool = False

    @property
    def length(self) -> int:
        return self.end - self.tick


def heard(arrangement: Arrangement) -> tuple[Heard, ...]:
    """Every plucked note in playing order, of those struck together the bass first."""
    instrument, starts = arrangement.instrument, [bar.start for bar in arrangement.tune.played]
    done: list[Heard] = []
    sounding: list[tuple[int, Heard] | None] = [None] * len(instrument.courses)
    tick = 0

    def stop(course: int, at: int) -> None:
        now = sounding[course]
        if now is not None and at > now[1].tick:
            done.append(replace(now[1], end=at))
        sounding[course] = None

    for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True):
        tick = starts[moment.bar - 1] + moment.offset
        carrier = carrier_of(moment, choice, instrument)
        for course, fret in enumerate(choice.grip.frets):
            now = sounding[course]
            if choice.struck[course] and fret >= 0:
                stop(course, tick)
                note = Heard(
                    course=course,
                    midi=instrument.pitch(course, fret),
                    tick=tick,
                    end=tick,
                    damped=course == 0 and moment.damped,
                    bass=course == 0 and choice.role is not None,
                    bar=moment.bar,
                    sings=course == carrier,
                )
                sounding[course] = (fret, note)
            elif now is not None and now[0] != fret:
                stop(course, tick)
        if moment.damped:
            stop(0, tick + moment.length)
    last = arrangement.tune.played[-1]
    end = last.start + arrangement.tune.bars[last.written].length
    for course in range(len(sounding)):
        stop(course, end)
    return tuple(sorted(done, key=lambda note: (note.tick, note.course)))
