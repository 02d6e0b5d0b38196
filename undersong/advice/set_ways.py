"""The ways in which the tunes of a set can be played: each arranged in each of its tunings.

Public: ways_of, Ways, Way, LeftOut, told_not_played, mend.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fretboard.instrument import Instrument
from solver.conditions import NONE
from solver.errors import ConditionError, NotFound, NotPlayable, StyleError, Unfulfillable
from solver.result import Arrangement
from solver.watch import OutOfTime, Watch
from undersong.advice.set_asked import SetAsked, SetTune
from undersong.advice.tuning_names import strung, tuning_name


@dataclass(frozen=True)
class Way:
    """tune: its number; arrangement: None where none was asked for."""

    tune: int
    instrument: Instrument
    arrangement: Arrangement | None

    @property
    def strung(self) -> tuple[object, ...]:
        return self.instrument.tuning, self.instrument.capo


@dataclass(frozen=True)
class LeftOut:
    """A way in which a tune cannot be played, and why not."""

    tune: SetTune
    instrument: Instrument
    why: str

    @property
    def title(self) -> str:
        return self.tune.title

    @property
    def where(self) -> str:
        """``D-A-d, capo 1``."""
        return strung(self.instrument, tuning_name(self.instrument))


@dataclass(frozen=True)
class Ways:
    """ways: tune by tune; left_out: of tunes that can be played otherwise; not_played: of tunes
    that can be played in none of theirs."""

    ways: tuple[Way, ...]
    left_out: tuple[LeftOut, ...] = ()
    not_played: tuple[LeftOut, ...] = ()


def ways_of(asked: SetAsked, watch: Watch) -> Ways:
    """Every way, looked at.

    Raises OutOfTime, NotFound, Stopped, and ConditionError for conditions that cannot be asked of
    a tune.
    """
    ways: list[Way] = []
    left_out: list[LeftOut] = []
    not_played: list[LeftOut] = []
    to_do = sum(len(one.instruments) for one in asked.tunes)
    for number, one in enumerate(asked.tunes):
        found: list[Way] = []
        failed: list[LeftOut] = []
        for instrument in one.instruments:
            arranged: Arrangement | None = None
            if asked.arranged:
                part = watch.within(max(watch.left / to_do, min(watch.left, 10.0)))
                to_do -= 1
                try:
                    watch.look()
                    arranged = _arranged(one, instrument, part)
                except OutOfTime:
                    given = f"{watch.seconds:g} s"
                    if watch.left > 0:
                        given = f"{part.seconds:.0f} s, a share of {given},"
                    raise OutOfTime(
                        f"{given} were not enough to arrange every tune (stopped at "
                        f"{one.title}, {number + 1} of {len(asked.tunes)}); allow more time, name "
                        "fewer tunings and capos, or leave the work out"
                    ) from None
                except (NotPlayable, StyleError, Unfulfillable) as error:
                    failed.append(LeftOut(one, instrument, str(error)))
                    continue
            found.append(Way(number, instrument, arranged))
        ways += found
        (left_out if found else not_played).extend(failed)
    return Ways(tuple(ways), tuple(left_out), tuple(not_played))


def _arranged(one: SetTune, instrument: Instrument, watch: Watch) -> Arrangement:
    session = one.piece.session(instrument)
    try:
        return session.arrange(
            one.piece.weights, one.piece.conditions, watch=watch.saying(one.title)
        )
    except (ConditionError, NotFound) as error:
        raise type(error)(f"{one.title}: {error}") from None


def told_not_played(not_played: Sequence[LeftOut]) -> str:
    """Every tune that cannot be played, with the reason in each of its ways, and the mend."""
    told: dict[int, list[LeftOut]] = {}
    for each in not_played:
        told.setdefault(id(each.tune), []).append(each)
    tunes = [
        f"{ways[0].title} (" + "; ".join(f"in {way.where}, {way.why}" for way in ways) + ")"
        for ways in told.values()
    ]
    them = "it" if len(tunes) == 1 else "them"
    return f"{', '.join(tunes)}; give {them} {mend(not_played)}, or leave {them} out of the set"


def mend(not_played: Sequence[LeftOut]) -> str:
    """What would help tunes that cannot be played."""
    asked = any(each.tune.piece.conditions != NONE for each in not_played)
    return "another tuning, capo or key" + (", or ask less in conditions" if asked else "")
