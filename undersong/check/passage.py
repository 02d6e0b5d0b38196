"""What the checker's rules look at: the arrangement beside what was asked of it.

Public: Passage, SILENT.
"""

from dataclasses import dataclass
from functools import cached_property

from scoring.choice import Choice
from scoring.moment import Moment
from solver.result import Arrangement
from undersong.check.ask import Ask
from undersong.check.clock import BarTime, bar_times
from undersong.check.fault import Fault
from undersong.check.manners import manners_meant

SILENT = -1


@dataclass(frozen=True)
class Passage:
    """asks: one for every moment of the arrangement, in order."""

    arrangement: Arrangement
    asks: tuple[Ask, ...]

    @property
    def moments(self) -> tuple[Moment, ...]:
        return self.arrangement.moments

    @property
    def choices(self) -> tuple[Choice, ...]:
        return self.arrangement.choices

    @cached_property
    def bars(self) -> tuple[BarTime, ...]:
        """The bars as played, each with the bass manner asked for there."""
        made = self.arrangement
        return bar_times(made.tune, manners_meant(made.tune, made.conditions), made.style.manner)

    @property
    def texture(self) -> str:
        return self.arrangement.style.texture

    @property
    def last(self) -> int:
        """The string nearest to the player."""
        return len(self.arrangement.instrument.courses) - 1

    def carriers(self, index: int) -> tuple[int, ...]:
        """The strings that sound the melody note: where it begins the struck one nearest to the
        player, where it goes on all that ring on with it. A damped bass string is none."""
        ask, choice, style = self.asks[index], self.choices[index], self.arrangement.style
        if ask.melody is None:
            return ()
        cut = style.right_hand.damped and ask.time.chord is not None
        fit = tuple(
            course
            for course in range(1 if cut else 0, self.last + 1)
            if self.pitch(index, course) == ask.melody and choice.struck[course] == ask.sings
        )
        if self.texture == "drone":
            return tuple(course for course in fit if course == self.last)
        if ask.sings:
            return fit[-1:]
        ceiling = self.arrangement.instrument.capo + style.melody_highest
        return tuple(course for course in fit if choice.grip.frets[course] <= ceiling)

    def open(self, index: int, course: int) -> bool:
        """The string sounds open, or at the capo."""
        return self.choices[index].grip.frets[course] == self.arrangement.instrument.capo

    def fault(self, index: int, rule: str, message: str) -> Fault:
        moment = self.moments[index]
        return Fault(moment.bar, moment.offset, rule, message)

    def pitch(self, index: int, course: int) -> int:
        """The MIDI pitch that a string sounds; -1 for a silent one."""
        fret = self.choices[index].grip.frets[course]
        return SILENT if fret < 0 else self.arrangement.instrument.courses[course].open + fret

    def string(self, course: int) -> str:
        return f"the {self.arrangement.instrument.course_name(course)} string"

    def fret(self, index: int, course: int) -> str:
        """The printed number of the fret that a string has."""
        return self.arrangement.instrument.told(self.choices[index].grip.frets[course])
