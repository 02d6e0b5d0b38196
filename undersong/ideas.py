"""By idea: the best arrangement under one more wish, beside the best without it.

The ideas are fixed, and each is exact:

* another bass manner: the best with that manner, everything else as asked;
* lower: the best of all whose highest fret above the bass is lower than the best's;
* higher: the best of all whose lowest stopped fret above the bass is higher than the best's;
* without bars: no finger lies across strings;
* without the little finger.

Lower and higher speak of the strings above the bass: the bass string has to go where its notes
are. Manners ask for other bass notes, so their costs compare the work and not the music.

Public: by_idea, Ideas, Idea.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fretboard.hand import FINGERS
from fretboard.instrument import Instrument
from scoring.weights import Weights
from solver.conditions import NONE, Conditions
from solver.conditions.bars import WHOLE
from solver.conditions.pinned import Barred, FingerDown, OneString
from solver.conditions.pins import Pin
from solver.errors import ConditionError, NotFound, NotPlayable, StyleError, Unfulfillable
from solver.manners import MANNERS
from solver.result import PROVEN, Arrangement
from solver.style import manners_in
from solver.watch import OutOfTime, Watch
from undersong.compared import figures

if TYPE_CHECKING:
    from undersong.session import Session

LITTLE = FINGERS.index("P")
_NOTHING_STOPPED = "the best stops no string above the bass"
_OPEN = "open strings only, but for the bass string"


@dataclass(frozen=True)
class Idea:
    """name: short, fit for a file's name; words: the wish; arrangement: the best that has it, None
    where there is none (or none was found); more: ms that it costs more than the best without it,
    less than nothing where it costs less; why: a sentence where there is no arrangement; proven:
    whether what stands here is proven; already: the best has it anyway, so it is the same one."""

    name: str
    words: str
    arrangement: Arrangement | None
    more: int | None
    why: str = ""
    proven: bool = True
    already: bool = False


@dataclass(frozen=True)
class Ideas:
    """best: without any of the ideas."""

    best: Arrangement
    ideas: tuple[Idea, ...]

    @property
    def proven(self) -> bool:
        """Whether everything said here is proven."""
        return self.best.proof.status == PROVEN and all(idea.proven for idea in self.ideas)


@dataclass(frozen=True)
class _Wish:
    """One idea before it is tried: holds tells whether the best has it already."""

    name: str
    words: str
    pins: tuple[Pin, ...] = ()
    manner: str | None = None
    holds: bool = False
    never: str = ""


def by_idea(
    session: "Session",
    weights: Weights | None = None,
    conditions: Conditions = NONE,
    *,
    watch: Watch | None = None,
) -> Ideas:
    """The best arrangement, and the best for each idea; the conditions hold for all.

    Raises what ``Session.arrange`` raises where there is not even a best one.
    """
    watch = Watch() if watch is None else watch
    best = session.arrange(weights, conditions, watch=watch.saying("the best"))
    ideas = tuple(
        _tried(session, wish, best, conditions, watch.saying(wish.name)) for wish in _wishes(best)
    )
    return Ideas(best, ideas)


def _wishes(best: Arrangement) -> Iterator[_Wish]:
    for manner in manners_in(best.style.texture):
        meaning = MANNERS[manner][0]
        if manner != best.style.manner:
            yield _Wish(manner, f"bass {manner}: {meaning}", manner=manner)
    stopped = _stopped(best)
    yield _lower(best, stopped)
    yield _higher(best, stopped)
    across = Pin(WHOLE, Barred(), forbid=True)
    yield _Wish("no-bars", "no finger across strings", (across,), holds=not figures(best).barred)
    unused = all(LITTLE not in choice.grip.down for choice in best.choices)
    little = Pin(WHOLE, FingerDown(LITTLE), forbid=True)
    yield _Wish("no-little-finger", "no little finger", (little,), holds=unused)


def _lower(best: Arrangement, stopped: set[int]) -> _Wish:
    if not stopped:
        return _Wish("lower", "lower on the neck", never=_NOTHING_STOPPED)
    instrument, top = best.instrument, max(stopped)
    below = [fret for fret in _frets(instrument) if fret < top]
    words = f"lower: {_words(instrument, max(below), 'above') if below else _OPEN}"
    return _Wish("lower", words, _never(instrument, lambda fret: fret >= top))


def _higher(best: Arrangement, stopped: set[int]) -> _Wish:
    if not stopped:
        return _Wish("higher", "higher on the neck", never=_NOTHING_STOPPED)
    instrument, bottom = best.instrument, min(stopped)
    above = [fret for fret in _frets(instrument) if fret > bottom]
    words = f"higher: {_words(instrument, min(above), 'below') if above else _OPEN}"
    return _Wish("higher", words, _never(instrument, lambda fret: fret <= bottom))


def _words(instrument: Instrument, fret: int, side: str) -> str:
    return f"no finger {side} fret {instrument.told(fret)}, but on the bass string"


def _stopped(best: Arrangement) -> set[int]:
    """The frets that fingers stop on the strings above the bass."""
    return {
        fret
        for choice in best.choices
        for fret, finger in zip(choice.grip.frets[1:], choice.grip.fingers[1:], strict=True)
        if finger >= 0
    }


def _frets(instrument: Instrument) -> list[int]:
    """Every fret that a string above the bass can be stopped at, ascending."""
    courses = range(1, len(instrument.courses))
    every = {fret for course in courses for fret in instrument.frets(course)}
    return sorted(every - {instrument.capo})


def _never(instrument: Instrument, meant: Callable[[int], bool]) -> tuple[Pin, ...]:
    """Forbids those frets under every string above the bass; open strings are free."""
    courses = len(instrument.courses)
    return tuple(
        Pin(WHOLE, OneString(course, courses, fret), forbid=True)
        for course in range(1, courses)
        for fret in instrument.frets(course)
        if fret > instrument.capo and meant(fret)
    )


def _tried(
    session: "Session", wish: _Wish, best: Arrangement, conditions: Conditions, watch: Watch
) -> Idea:
    if wish.never:
        return Idea(wish.name, wish.words, None, None, wish.never)
    known = best.proof.status == PROVEN
    if wish.holds:
        return Idea(wish.name, wish.words, best, 0, proven=known, already=True)
    try:
        other = _asked(session, wish, best.weights, conditions, watch)
    except (NotPlayable, Unfulfillable, ConditionError, StyleError) as error:
        return Idea(wish.name, wish.words, None, None, str(error))
    except (OutOfTime, NotFound):
        why = "there was no time to find one or to rule it out"
        return Idea(wish.name, wish.words, None, None, why, proven=False)
    proven = known and other.proof.status == PROVEN
    return Idea(wish.name, wish.words, other, other.asked_cost - best.asked_cost, proven=proven)


def _asked(
    session: "Session", wish: _Wish, weights: Weights, conditions: Conditions, watch: Watch
) -> Arrangement:
    if wish.manner is not None:
        session = session.in_style(replace(session.style, manner=wish.manner))
    pins = conditions.pins + wish.pins
    return session.arrange(weights, replace(conditions, pins=pins), watch=watch)
