"""Pins: what the player fixes or forbids somewhere, every time through.

Public: Pin, kept_bars, manners_of, and what can be pinned (``solver.conditions.pinned``).
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from fretboard.frets import fret_label
from fretboard.instrument import Instrument
from solver.conditions.bars import Bars
from solver.conditions.pin_text import read_pinned, read_where
from solver.conditions.pinned import (
    ONLY_FIXED,
    ONLY_FORBIDDEN,
    WITH_FRETS,
    BassManner,
    Hands,
    Kept,
    Pinned,
    Shape,
)
from solver.conditions.wording import Written
from solver.errors import ConditionError
from tune.tune import Tune

if TYPE_CHECKING:
    from solver.result import Arrangement


@dataclass(frozen=True)
class Pin:
    """bars: where; pinned: what is fixed there (what that means stands with each value); forbid:
    it is forbidden instead; beat: only at moments that begin within that felt beat of the bar,
    counted from 1 as in a full bar (a pickup of one quarter in 4/4 is beat 4), None for all."""

    bars: Bars
    pinned: Pinned
    forbid: bool = False
    beat: int | None = None

    def __post_init__(self) -> None:
        if self.forbid and isinstance(self.pinned, ONLY_FIXED):
            raise ConditionError(
                f"{self.pinned}: a manner, a fingering or a whole bar can be fixed, not forbidden"
            )
        if not self.forbid and isinstance(self.pinned, ONLY_FORBIDDEN):
            raise ConditionError(
                f"{self.pinned}: this can only be forbidden; to fix a finger name its string, "
                "such as 'middle M'"
            )
        if self.beat is not None and isinstance(self.pinned, ONLY_FIXED):
            raise ConditionError(f"{self.pinned}: this holds for whole bars; leave the beat out")
        if self.beat is not None and self.beat < 1:
            raise ConditionError("beats are counted from 1")
        shape = self.pinned
        if isinstance(shape, Shape) and all(fret is None for fret in shape.frets):
            raise ConditionError("a shape of strings that may be anything pins nothing")

    @classmethod
    def parse(
        cls, text: str, forbid: bool, instrument: Instrument, from_capo: bool = False
    ) -> "tuple[Pin, ...]":
        """The pins of ``5-8 beat 3: bass 3, middle M``, one for each part after the colon.

        from_capo: frets are counted from the capo, not from the nut. Raises ConditionError.
        """
        where, colon, what = text.rpartition(":")
        parts = [part.strip() for part in what.split(",")]
        if not colon or not where.strip() or not all(parts):
            raise ConditionError(
                f"{text!r}: write the bars, a colon, and what is pinned, such as '5-8: bass 3' "
                "or 'all: barred'"
            )
        bars, beat = read_where(where)
        return tuple(
            cls(bars, read_pinned(part, instrument, from_capo), forbid, beat) for part in parts
        )

    @property
    def text(self) -> str:
        """The pin as it is typed, frets counted from the nut; ``parse`` gives the pin again."""
        return self.typed(fret_label)

    def typed(self, written: Written) -> str:
        """The pin as it is typed, its frets as ``written`` has them."""
        return self._said("", written)

    def __str__(self) -> str:
        return self.shown(fret_label)

    def shown(self, written: Written) -> str:
        """The same in words that say whether it is forbidden."""
        return self._said("never " if self.forbid else "", written)

    def _said(self, never: str, written: Written) -> str:
        beat = "" if self.beat is None else f", beat {self.beat}"
        pinned = self.pinned
        what = pinned.shown(written) if isinstance(pinned, WITH_FRETS) else str(pinned)
        return f"{self.bars}{beat}: {never}{what}"


def kept_bars(arrangement: "Arrangement", bars: Bars) -> tuple[Pin, ...]:
    """Pins that leave those bars as the arrangement has them: frets, fingers and strokes.

    One pin a bar in which something begins; where the hand waits with no finger down is left
    free. Raises ConditionError where the tune has no such bars, or two bars of one number.
    """
    tune = arrangement.tune
    wanted = bars.of(tune)
    times: dict[int, list[tuple[Hands, ...]]] = {written: [] for written in sorted(wanted)}
    pairs = zip(arrangement.moments, arrangement.choices, strict=True)
    for _, played in groupby(pairs, key=lambda pair: pair[0].bar):
        inside = list(played)
        written = inside[0][0].written
        if written in wanted:
            hands = tuple(
                Hands(Shape(choice.grip.frets, choice.grip.fingers), choice.struck)
                for _, choice in inside
            )
            times[written].append(hands)
    pins: list[Pin] = []
    for written, kept in times.items():
        if not kept:
            continue
        number = tune.bars[written].number
        if sum(bar.number == number for bar in tune.bars) > 1:
            raise ConditionError(
                f"the tune has more than one bar {number}, so none can be kept by that number; "
                f"{_others(tune, wanted)}, or number the bars anew in the tune's file"
            )
        alike = all(hands == kept[0] for hands in kept)
        pins.append(Pin(Bars(number, number), Kept(tuple(kept[:1] if alike else kept))))
    return tuple(pins)


def _others(tune: Tune, wanted: Iterable[int]) -> str:
    """How to keep the bars that have numbers of their own."""
    counts = Counter(bar.number for bar in tune.bars)
    single = sorted(
        {tune.bars[index].number for index in wanted if counts[tune.bars[index].number] == 1}
    )
    if not single:
        return "leave it out, and fix what matters there with --pin"
    runs: list[list[int]] = []
    for number in single:
        if runs and all(counts[between] == 0 for between in range(runs[-1][-1] + 1, number)):
            runs[-1].append(number)
        else:
            runs.append([number])
    told = [str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs]
    return f"keep the others ({', then '.join(told)}; --keep may be given again)"


def manners_of(tune: Tune, pins: Iterable[Pin]) -> dict[int, str]:
    """Written bar's index → the bass manner pinned there; bars with none are left out.

    Raises ConditionError where two pins ask for different manners in one bar.
    """
    found: dict[int, tuple[str, Pin]] = {}
    for pin in pins:
        if not isinstance(pin.pinned, BassManner):
            continue
        for written in sorted(pin.bars.of(tune)):
            manner, other = found.get(written, (pin.pinned.manner, pin))
            if manner != pin.pinned.manner:
                raise ConditionError(
                    f"bar {tune.bars[written].number} cannot have two manners: '{other}' and "
                    f"'{pin}'"
                )
            found[written] = manner, other
    return {written: manner for written, (manner, _) in found.items()}
