"""How an arrangement is played to the ear, as far as the player may choose.

Public: SoundOptions, MOST_GAP.
"""

from dataclasses import dataclass
from fractions import Fraction

from tune.tune import Tune
from undersong.sheet.errors import SheetError

SLOWEST, FASTEST = 10, 400
MOST_TIMES = 999
MOST_COUNTED = 8
MOST_GAP = 64


@dataclass(frozen=True)
class SoundOptions:
    """tempo: beats a minute of the tune's own first beat, its changes of tempo scaled alike;
    percent: the same as a share of the tune's tempo; neither: as the tune says.

    count_in: bars counted with clicks before the music, and a pickup's missing beats; click: a
    click on each beat; bars: first and last played bar (``Tune.played`` counts them), None for
    all; times: how often that is played; gap: beats of rest between; faster: beats a minute more
    each time; up_to: the tempo that this stops at.

    only: the string heard alone, 0 the bass, None for all; without: strings left out; bass_down:
    the bass string sounds an octave lower, as a bass instrument's; damped: the palm damps every
    bass note, not only those that the right-hand pattern has damped; starting_note: the first
    note sung sounds before everything else.
    """

    tempo: int | None = None
    percent: int | None = None
    count_in: int = 0
    click: bool = False
    bars: tuple[int, int] | None = None
    times: int = 1
    gap: int = 0
    faster: int = 0
    up_to: int | None = None
    only: int | None = None
    without: frozenset[int] = frozenset()
    bass_down: bool = False
    damped: bool = False
    starting_note: bool = False

    def __post_init__(self) -> None:
        if self.tempo is not None and self.percent is not None:
            raise SheetError("a tempo is given in beats a minute or in percent, not in both")
        for name, value in (("a tempo", self.tempo), ("the tempo to reach", self.up_to)):
            if value is not None and not SLOWEST <= value <= FASTEST:
                raise SheetError(
                    f"{name} lies between {SLOWEST} and {FASTEST} beats a minute, not {value}"
                )
        if self.percent is not None and not SLOWEST <= self.percent <= FASTEST:
            raise SheetError(
                f"a tempo lies between {SLOWEST} and {FASTEST} percent, not {self.percent}"
            )
        if not 0 <= self.count_in <= MOST_COUNTED:
            raise SheetError(f"0 to {MOST_COUNTED} bars are counted in, not {self.count_in}")
        if self.bars is not None and not 1 <= self.bars[0] <= self.bars[1]:
            raise SheetError(f"bars {self.bars[0]} to {self.bars[1]} are no passage")
        if not 1 <= self.times <= MOST_TIMES:
            raise SheetError(f"music is played 1 to {MOST_TIMES} times, not {self.times}")
        if not 0 <= self.gap <= MOST_GAP:
            raise SheetError(f"a gap lasts 0 to {MOST_GAP} beats, not {self.gap}")
        if self.gap and self.times == 1:
            raise SheetError("a gap lies between two times: play it more than once")
        if not 0 <= self.faster <= FASTEST:
            raise SheetError(
                f"each time can be 0 to {FASTEST} beats a minute faster, not {self.faster}"
            )
        if self.faster and self.times == 1:
            raise SheetError("to be faster each time it must be played more than once")
        if self.up_to is not None and not self.faster:
            raise SheetError("a tempo to reach needs a number of beats to be faster each time")
        if self.only is not None and self.without:
            raise SheetError("one string is heard alone or some are left out, not both")

    def hears(self, course: int) -> bool:
        """Whether that string is heard."""
        return course not in self.without and self.only in (None, course)

    def paces(self, tune: Tune) -> tuple[Fraction, ...]:
        """How many times as fast as the tune's own tempo each time is; SheetError where that
        would be slower or faster than a tempo can be."""
        own = tune.tempo.per_minute
        begin = Fraction(self.tempo or own) * (self.percent or 100) / 100
        if self.up_to is not None and self.up_to < begin:
            raise SheetError(
                f"the tempo to reach, {self.up_to}, is slower than the first, {float(begin):g}"
            )
        top = Fraction(FASTEST if self.up_to is None else self.up_to)
        tempi = [min(begin + number * self.faster, top) for number in range(self.times)]
        if not SLOWEST <= begin <= FASTEST:
            raise SheetError(
                f"{self.percent} percent of {own} is {float(begin):g}; a tempo lies between "
                f"{SLOWEST} and {FASTEST} beats a minute"
            )
        return tuple(tempo / own for tempo in tempi)
