"""What a player does between two tunes before she can play: strings tuned anew, the capo moved.

Semitones are counted on the open strings; capos are frets in semitones above the nut, 0 for none.

Public: retuned, Retuning, FAR_UP, FAR_DOWN.
"""

from dataclasses import dataclass

from fretboard.errors import FretboardError
from fretboard.frets import fret_label
from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name
from undersong.wording import many

FAR_UP = 2
"""Semitones above what it is strung for to which a string is tuned without asking: a whole tone
(common practice, no source)."""

FAR_DOWN = 4
"""Semitones below it down to which a string still sounds well: a major third (common practice, no
source)."""


@dataclass(frozen=True)
class Retuning:
    """before, after: the instrument as it is and as it shall be; made_for: the same as it is
    strung, which the caution is measured from."""

    before: Instrument
    after: Instrument
    made_for: Instrument

    def __post_init__(self) -> None:
        counts = {len(each.courses) for each in (self.before, self.after, self.made_for)}
        if len(counts) > 1:
            raise FretboardError(
                f"{self.before.name} with {len(self.before.courses)} courses cannot be tuned as "
                f"{self.after.name} with {len(self.after.courses)}; name tunings of as many strings"
            )

    @property
    def by(self) -> tuple[int, ...]:
        """Semitones up (positive) or down, course by course, bass first."""
        pairs = zip(self.before.tuning, self.after.tuning, strict=True)
        return tuple(new - old for old, new in pairs)

    @property
    def strings(self) -> int:
        """How many courses are tuned anew; a pair counts once."""
        return sum(by != 0 for by in self.by)

    @property
    def semitones(self) -> int:
        """How far all together, up or down."""
        return sum(map(abs, self.by))

    @property
    def capo_moves(self) -> int:
        """1 where the capo is put on, taken off or moved."""
        return int(self.before.capo != self.after.capo)

    @property
    def nothing(self) -> bool:
        """Whether there is nothing to do."""
        return not self.strings and not self.capo_moves

    def words(self) -> tuple[str, ...]:
        """What to do, one short phrase each, the capo first where it comes off (strings are tuned
        without it) and last where it goes on."""
        old, new = self.before.capo, self.after.capo
        tuned = tuple(self._string(course) for course, by in enumerate(self.by) if by)
        if old == new:
            if old and tuned:  # a capo bends strings sharp and holds them as they are
                at = fret_label(old)
                return (f"take the capo off fret {at}", *tuned, f"put the capo back at fret {at}")
            return tuned
        if old and new and not tuned:
            return (f"move the capo from fret {fret_label(old)} to fret {fret_label(new)}",)
        off = (f"take the capo off fret {fret_label(old)}",) if old else ()
        on = (f"put the capo at fret {fret_label(new)}",) if new else ()
        return off + tuned + on

    def caution(self) -> str:
        """A sentence on strings that are tuned far above or far below what they are strung for;
        empty where none is."""
        tight = [self._off(course) for course in self._tuned if self._above(course) > FAR_UP]
        slack = [self._off(course) for course in self._tuned if self._above(course) < -FAR_DOWN]
        told = []
        if tight:
            told.append(
                f"more than about a whole tone up: {', '.join(tight)}; check with the maker, or "
                "put on strings that are made for that pitch (common practice)"
            )
        if slack:
            told.append(
                f"slack: {', '.join(slack)}; it may rattle and waver, and a heavier string suits "
                "that pitch better (common practice)"
            )
        return "; ".join(told)

    @property
    def _tuned(self) -> tuple[int, ...]:
        return tuple(course for course, by in enumerate(self.by) if by)

    def _above(self, course: int) -> int:
        """Semitones above what the course is strung for."""
        return self.after.tuning[course] - self.made_for.tuning[course]

    def _off(self, course: int) -> str:
        far, strung = self._above(course), pitch_name(self.made_for.tuning[course])
        return (
            f"the {self.after.course_name(course)} string at "
            f"{pitch_name(self.after.tuning[course])} is {many(abs(far), 'semitone')} "
            f"{'above' if far > 0 else 'below'} {strung}, which it is strung for"
        )

    def _string(self, course: int) -> str:
        by, old, new = self.by[course], self.before.tuning[course], self.after.tuning[course]
        far = f"{abs(by)} semitone{'' if abs(by) == 1 else 's'}"
        pair = " pair" if self.after.courses[course].doubled else ""
        return (
            f"{self.after.course_name(course)} string{pair} from {pitch_name(old)} "
            f"{'up' if by > 0 else 'down'} to {pitch_name(new)}, {far}"
        )


def retuned(before: Instrument, after: Instrument, made_for: Instrument | None = None) -> Retuning:
    """What is to be done between the two; made_for: the instrument as it is strung, ``before``
    where not given. Raises FretboardError where they have not as many courses."""
    return Retuning(before, after, before if made_for is None else made_for)
