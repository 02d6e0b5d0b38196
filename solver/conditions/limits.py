"""Limits: hard caps that each moment holds by itself, as a pupil's level sets them.

Each can be looked at where the hand stands, or at the move that leads there, so that nothing over
the tune is tied together. Percents are those of ``scoring.difficulty``.

Public: Limits, BarLimit, MOST_PERCENT.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from itertools import pairwise
from typing import Any

from fretboard.frets import HIGHEST_SEMITONE, fret_label
from fretboard.hand import FINGERS
from scoring.difficulty import MOST
from solver.conditions.wording import Written
from solver.errors import ConditionError

MOST_PERCENT = MOST
"""No rating, stretch or share of time is told above it."""


@dataclass(frozen=True, order=True)
class BarLimit:
    """bar: the played bar's number, from 1; most, least: percent, the greatest and the least rating
    that it may have."""

    bar: int
    most: int = MOST_PERCENT
    least: int = 0

    def __post_init__(self) -> None:
        if self.bar < 1:
            raise ConditionError(f"limits: bars are counted from 1, as played, not from {self.bar}")
        for percent in (self.most, self.least):
            _within(f"the rating of played bar {self.bar}", percent, MOST_PERCENT)
        if self.least > self.most:
            raise ConditionError(
                f"limits: played bar {self.bar} cannot be rated at least {self.least} % and at "
                f"most {self.most} %"
            )

    @property
    def words(self) -> str:
        """Without the bar."""
        most = self.most < MOST_PERCENT or not self.least
        limits = [f"no more than {self.most} %"] if most else []
        limits += [f"no less than {self.least} %"] if self.least else []
        return " and ".join(limits)

    def __str__(self) -> str:
        return f"{self.words} in played bar {self.bar}"


@dataclass(frozen=True)
class Limits:
    """None for no limit. fingers: how many may be down at once; reach: the widest stretch, in
    percent of the greatest that the two fingers have; time: the greatest share of its time, in
    percent, that a move may need; fret: the highest fret of any string, in semitones above the nut;
    barred: whether a finger may lie across strings; bars: what single bars may be rated, each time
    through by itself, each bar once."""

    fingers: int | None = None
    reach: int | None = None
    time: int | None = None
    fret: int | None = None
    barred: bool = True
    bars: tuple[BarLimit, ...] = ()

    def __post_init__(self) -> None:
        for name, words, most in (
            ("fingers", "the fingers down at once", len(FINGERS)),
            ("reach", "the widest stretch", MOST_PERCENT),
            ("time", "the share of time", MOST_PERCENT),
            ("fret", "the highest fret", HIGHEST_SEMITONE),
        ):
            _within(words, getattr(self, name), most)
        ordered = tuple(sorted(self.bars))
        for before, after in pairwise(ordered):
            if before.bar == after.bar:
                raise ConditionError(
                    f"limits: played bar {after.bar} has two limits; keep the lower"
                )
        object.__setattr__(self, "bars", ordered)
        if all(getattr(self, each.name) == each.default for each in fields(self)):
            raise ConditionError("limits: say what is limited")

    @classmethod
    def of(
        cls,
        fingers: int | None = None,
        reach: int | None = None,
        time: int | None = None,
        fret: int | None = None,
        barred: bool = True,
        bars: tuple[BarLimit, ...] = (),
    ) -> "Limits | None":
        """The same, None where nothing is limited."""
        limited = (fingers, reach, time, fret) != (None,) * 4 or not barred or bars
        return cls(fingers, reach, time, fret, barred, bars) if limited else None

    @classmethod
    def joined(cls, parts: "Sequence[Limits]") -> "Limits | None":
        """All of some ``parts`` together; None for none."""
        values: dict[str, Any] = {}
        for part in parts:
            for each in fields(cls):
                value = getattr(part, each.name)
                if each.name != "bars" and value != each.default:
                    values[each.name] = value
        return cls.of(**values, bars=tuple(limit for part in parts for limit in part.bars))

    @property
    def parts(self) -> "tuple[Limits, ...]":
        """Each limit by itself, those of bars one by one."""
        own = [
            Limits(**{each.name: getattr(self, each.name)})
            for each in fields(Limits)
            if each.name != "bars" and getattr(self, each.name) != each.default
        ]
        return (*own, *(Limits(bars=(limit,)) for limit in self.bars))

    @property
    def groups(self) -> "tuple[Limits, ...]":
        """Each limit by itself, but those of bars as one."""
        own = tuple(part for part in self.parts if not part.bars)
        return (*own, Limits(bars=self.bars)) if self.bars else own

    @property
    def of_shapes(self) -> "Limits | None":
        """Those that a shape holds by itself, whatever comes before it."""
        return Limits.of(self.fingers, self.reach, None, self.fret, self.barred)

    def without(self, group: "Limits") -> "Limits | None":
        """All but one of ``groups``; None where nothing is left."""
        return Limits.joined([other for other in self.groups if other != group])

    def with_bars(self, bars: tuple[BarLimit, ...]) -> "Limits | None":
        """With other limits of bars."""
        if bars:
            return replace(self, bars=bars)
        return Limits.of(self.fingers, self.reach, self.time, self.fret, self.barred)

    @property
    def without_floors(self) -> "Limits | None":
        """The same with nothing said of how hard a bar is at least; None where nothing is left."""
        kept = (limit for limit in self.bars if limit.most < MOST_PERCENT)
        return self.with_bars(tuple(replace(limit, least=0) for limit in kept))

    @property
    def floors(self) -> dict[int, int]:
        """Played bars that are to be rated at least so many percent, where that is more than 0."""
        return {limit.bar: limit.least for limit in self.bars if limit.least}

    def words(self, written: Written = fret_label) -> tuple[str, ...]:
        """Each limit as a player would say it, frets as ``written`` has them."""
        out = []
        if self.fingers is not None:
            fingers = "1 finger" if self.fingers == 1 else f"{self.fingers} fingers"
            out.append(f"at most {fingers} down at once" if self.fingers else "no finger down")
        if self.reach is not None:
            out.append(f"no stretch above {self.reach} % of the hand's greatest")
        if self.time is not None:
            out.append(f"no move that needs more than {self.time} % of its time")
        if self.fret is not None:
            out.append(f"no fret above {written(self.fret)}")
        if not self.barred:
            out.append("no finger laid across strings")
        out += [str(limit) for limit in self.bars]
        return tuple(out)

    def __str__(self) -> str:
        return self.shown(fret_label)

    def shown(self, written: Written) -> str:
        """All of them, those of many bars in one phrase."""
        own = self.words(written)
        if len(self.bars) > 1:
            own = own[: -len(self.bars)]
            most = [limit.most for limit in self.bars if limit.most < MOST_PERCENT]
            least = list(self.floors.values())
            if most:
                own = (*own, f"no more than {_spread(most)} in {_bars(len(most))}")
            if least:
                own = (*own, f"no less than {_spread(least)} in {_bars(len(least))}")
        return ", ".join(own)


def _spread(percents: list[int]) -> str:
    low, high = min(percents), max(percents)
    return f"{low} %" if low == high else f"{low} to {high} %"


def _bars(count: int) -> str:
    return "1 bar" if count == 1 else f"each of {count} bars"


def _within(what: str, value: int | None, most: int) -> None:
    if value is not None and not 0 <= value <= most:
        raise ConditionError(f"limits: {what} must lie between 0 and {most}, not {value}")
