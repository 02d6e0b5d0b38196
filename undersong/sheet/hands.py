"""What can be seen of the hands in each played bar, and when two times through are alike.

Times are alike when the same strings are struck with the same frets, fingers and bass notes at the
same places, and the same strings ring on or are let go. A string on which nothing sounded yet when
the bar began is alike to one that rings on into the bar: there is nothing to hold or let go, so
one picture serves both.

Public: seen_bars, bass_alone, frets_struck, alike, carrier_of, Seen, Sight.
"""

from dataclasses import dataclass, replace

from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.moment import Moment
from solver.result import Arrangement
from undersong.sheet.bass_names import shown_role

String = tuple[int, int, bool] | None
"""Fret (-1 silent), finger and whether it is struck; None where nothing has sounded yet."""


@dataclass(frozen=True)
class Sight:
    """offset: ticks from the bar's start; strings: bass first; role: of a bass note struck;
    damped: that note is damped with the palm; carrier: the string that a melody note is struck on,
    the nearest to the player, None where none begins."""

    offset: int
    strings: tuple[String, ...]
    role: str | None
    damped: bool = False
    carrier: int | None = None

    def sounds(self, course: int) -> bool:
        """Whether the string sounds on from here."""
        string = self.strings[course]
        return string is not None and string[0] >= 0 and not (course == 0 and self.damped)

    def rings(self, course: int) -> bool:
        """Whether the string sounds on from before."""
        string = self.strings[course]
        return string is not None and string[0] >= 0 and not string[2]

    def lets_go(self, course: int, before: "Sight | None") -> bool:
        """Whether the string is let go here; before: the sight before in the same bar."""
        string = self.strings[course]
        if string is None or string[0] >= 0:
            return False
        return before is None or before.sounds(course)


Seen = tuple[Sight, ...]


def seen_bars(arrangement: Arrangement) -> tuple[Seen, ...]:
    """Each played bar's sights; one at its start even where no moment begins there."""
    bars: list[list[Sight]] = [[] for _ in arrangement.tune.played]
    moments = iter(zip(arrangement.moments, arrangement.choices, strict=True))
    ahead = next(moments, None)
    courses = len(arrangement.instrument.courses)
    now: tuple[tuple[int, int], ...] = ((-1, -1),) * courses
    for number, sights in enumerate(bars, 1):
        untouched = [fret < 0 for fret, _ in now]
        if ahead is None or ahead[0].bar != number or ahead[0].offset > 0:
            sights.append(Sight(0, _strings(now, (False,) * courses, untouched), None))
        while ahead is not None and ahead[0].bar == number:
            moment, choice = ahead
            now = tuple(zip(choice.grip.frets, choice.grip.fingers, strict=True))
            untouched = [
                before and fret < 0 for before, (fret, _) in zip(untouched, now, strict=True)
            ]
            strings = _strings(now, choice.struck, untouched)
            damped = moment.damped and choice.struck[0]
            carrier = carrier_of(moment, choice, arrangement.instrument)
            role = shown_role(moment, choice, arrangement.instrument)
            sights.append(Sight(moment.offset, strings, role, damped, carrier))
            if moment.damped:
                now = ((-1, -1), *now[1:])
            ahead = next(moments, None)
    return tuple(tuple(sights) for sights in bars)


def bass_alone(seen: Seen, roles: bool = False) -> Seen:
    """What is seen of the bass string, as a page that prints no other shows it; roles: what each
    note is to its chord is shown too."""
    return tuple(
        replace(
            sight, strings=(sight.strings[0],) + (None,) * (len(sight.strings) - 1),
            role=sight.role if roles else None, carrier=None,
        )
        for sight in seen
    )  # fmt: skip


def frets_struck(seen: Seen) -> tuple[tuple[int, bool, tuple[int | None, ...]], ...]:
    """Where strings are struck, damped or not, and at which frets, whichever fingers stop them and
    however long they sound."""
    return tuple(
        (sight.offset, sight.damped, tuple(s[0] if s and s[2] else None for s in sight.strings))
        for sight in seen
        if any(s and s[2] for s in sight.strings)
    )


def carrier_of(moment: Moment, choice: Choice, instrument: Instrument) -> int | None:
    """The string that a melody note is struck on, the nearest to the player; None for none."""
    if not moment.sings or moment.melody is None:
        return None
    carriers = [
        course
        for course, fret in enumerate(choice.grip.frets)
        if choice.struck[course] and instrument.pitch(course, fret) == moment.melody
    ]
    return max(carriers, default=None)


def _strings(
    now: tuple[tuple[int, int], ...], struck: tuple[bool, ...], untouched: list[bool]
) -> tuple[String, ...]:
    return tuple(
        None if nothing else (fret, finger, stroke)
        for (fret, finger), stroke, nothing in zip(now, struck, untouched, strict=True)
    )


def alike(one: Seen, other: Seen) -> Seen | None:
    """The picture that serves both, or None where they differ."""
    if len(one) != len(other):
        return None
    both: list[Sight] = []
    for a, b in zip(one, other, strict=True):
        if replace(a, strings=()) != replace(b, strings=()):
            return None
        strings = [_string(x, y) for x, y in zip(a.strings, b.strings, strict=True)]
        if not all(fits for fits, _ in strings):
            return None
        both.append(replace(a, strings=tuple(string for _, string in strings)))
    return tuple(both)


def _string(one: String, other: String) -> tuple[bool, String]:
    if one is None or other is None:
        known = one or other
        return known is None or not known[2], known
    return one == other, one
