"""Clashes: which bars cannot be played as asked, and which demands cannot all be kept there.

The first played bar without a way on is looked for, then the fewest bars before it that explain it.
There every demand is left out in turn, and stays out where the bars still cannot be played without
it. What remains is looked at once more, demand by demand: with all of them there is no way, without
any one of them there is. Bars are played as a passage of their own here, whatever stands around
them; so a clash says why these bars cannot be played, and other bars may have clashes of their own.

Public: Clash, clash_of_bars, can_be_played.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from scoring.moment import Moment
from solver.demands import Demanded, Wanted, demands_in, words
from solver.loose import Loose, TooMuch
from solver.out_of_reach import unreachable
from solver.refusal import note
from solver.singing import TUNEFUL
from solver.watch import Standing, Watch
from tune.bar_names import PICKUP, bar_name


@dataclass(frozen=True)
class Clash:
    """demands: in a player's words; bars: printed numbers of the bars that they clash in, none
    where they reach over the tune; irreducible: without any one of them there is a way, which was
    tried; proven: with all of them there is none, which was proven; kept: the demands themselves,
    where they are those of bars; played: first and last of the bars as played; reason: what more
    there is to say."""

    demands: tuple[str, ...]
    bars: tuple[int, ...] = ()
    irreducible: bool = True
    proven: bool = True
    kept: tuple[Demanded, ...] = ()
    played: tuple[int, int] = (0, 0)
    reason: str = ""

    def __str__(self) -> str:
        where = _named(self.bars) if self.bars else "the tune"
        more = f": {self.reason}" if self.reason else ""
        if not self.demands:
            return f"{where} cannot be played as asked{more}"
        listed = "; ".join(self.demands)
        if not self.proven:
            return (
                f"{where}: no way was found to keep all of these, which is no proof that there is "
                f"none: {listed}{more}"
            )
        if len(self.demands) == 1 and not self.bars and self.reason:
            return f"{where} cannot be played as asked{more}"
        if len(self.demands) == 1:
            return f"{where} cannot be played as asked: {listed}{more}"
        numbered = "; ".join(f"({n}) {text}" for n, text in enumerate(self.demands, 1))
        tail = "; without any one of these it can be played" if self.irreducible else ""
        return f"{where} cannot be played as asked: {numbered}{tail}{more}"


def _named(bars: Sequence[int]) -> str:
    if not bars[0]:
        return " and ".join([bar_name(PICKUP), *([_named(bars[1:])] if bars[1:] else [])])
    if len(bars) == 1:
        return bar_name(bars[0])
    if list(bars) == list(range(bars[0], bars[-1] + 1)):
        return f"bars {bars[0]}-{bars[-1]}"
    return f"bars {', '.join(map(str, bars[:-1]))} and {bars[-1]}"


def can_be_played(wanted: Wanted) -> bool:
    """Whether hard rules, hand and pins leave any way through; TooMuch where that is too much to
    look at."""
    loose = Loose(wanted)
    return loose.reached(_all(wanted), 1, _last_bar(wanted)) is None


def clash_of_bars(wanted: Wanted, watch: Watch | None = None) -> Clash | None:
    """Why the tune cannot be played bar by bar; None where it can.

    Raises what ``moments_of`` raises for a tune that asks for nothing, TooMuch where not even
    everything together leaves little enough to look at, OutOfTime and Stopped.
    """
    watch = Watch() if watch is None else watch
    loose = Loose(wanted)
    everything = _all(wanted)
    last = _last_bar(wanted)
    broken = loose.reached(everything, 1, last)
    if broken is None:
        return None
    first = next(
        (bar for bar in _backward(broken) if not loose.playable(everything, bar, broken)), 1
    )
    return _Explaining(wanted, loose, watch, first, broken).clash()


def _all(wanted: Wanted) -> frozenset[Demanded]:
    return frozenset(demands_in(wanted, range(len(wanted.tune.bars))))


def _last_bar(wanted: Wanted) -> int:
    return len(wanted.tune.played)


def _backward(bar: int) -> Iterable[int]:
    """The bar itself, then earlier ones, further and further apart."""
    back = 0
    while bar - back > 1:
        yield bar - back
        back = back + 1 if back < 4 else 2 * back
    yield 1


class _Explaining:
    """One passage that cannot be played, and what clashes there."""

    def __init__(self, wanted: Wanted, loose: Loose, watch: Watch, first: int, last: int) -> None:
        self.wanted, self.loose, self.watch = wanted, loose, watch
        self.first, self.last = first, last
        self.sure = True

    def clash(self) -> Clash:
        written = [bar.written for bar in self.wanted.tune.played[self.first - 1 : self.last]]
        kept = list(demands_in(self.wanted, written))
        core = self._core(kept)
        verified = self.sure and self._verified(core)
        moments = self._moments(core)
        bars = self._bars(written)
        told = tuple(words(demand, self.wanted, moments, len(bars) > 1) for demand in core)
        return Clash(
            told,
            bars,
            irreducible=verified,
            kept=tuple(core),
            played=(self.first, self.last),
            reason=self._reason(core, moments),
        )

    def _core(self, kept: list[Demanded]) -> list[Demanded]:
        """Demands that cannot all be kept, after every one of the others was left out."""
        for group in self._groups(kept):
            without = [demand for demand in kept if demand not in group]
            if len(group) > 1 and without and not self._can(without):
                kept = without
        for demand in list(kept):
            without = [other for other in kept if other != demand]
            if not self._can(without):
                kept = without
        return kept

    def _groups(self, kept: list[Demanded]) -> list[list[Demanded]]:
        """Demands that are tried together first: they seldom matter, or only in one bar."""
        hand = [d for d in kept if d.kind in ("reach", "bars", "unused")]
        shape = [d for d in kept if d.kind in ("highest", "lowest", "strokes", "body", "known")]
        earlier = [
            [d for d in kept if d.written == bar]
            for bar in dict.fromkeys(d.written for d in kept if d.written is not None)
        ]
        return [hand, shape, *earlier, [d for d in kept if d.pin is not None]]

    def _verified(self, core: list[Demanded]) -> bool:
        """Once more: none with all of them, some without any one; False where it is too much to
        look at again."""
        fresh = Loose(self.wanted)
        try:
            if fresh.playable(frozenset(core), self.first, self.last):
                raise AssertionError("a clash that is none")
            return all(
                fresh.playable(frozenset(core) - {demand}, self.first, self.last) for demand in core
            )
        except TooMuch:
            return False

    def _can(self, kept: list[Demanded]) -> bool:
        self.watch.look(Standing("looking for what clashes", self.last, self.last))
        try:
            return self.loose.playable(frozenset(kept), self.first, self.last)
        except TooMuch:
            self.sure = False
            return True

    def _moments(self, core: Iterable[Demanded]) -> tuple[Moment, ...]:
        pins = [demand.pin for demand in core if demand.pin is not None]
        moments = self.loose.moments(pins)
        return tuple(m for m in moments if self.first <= m.bar <= self.last)

    def _bars(self, written: Sequence[int]) -> tuple[int, ...]:
        return tuple(dict.fromkeys(self.wanted.tune.bars[index].number for index in written))

    def _reason(self, core: list[Demanded], moments: tuple[Moment, ...]) -> str:
        """Notes that are nowhere on the strings that should have them."""
        wanted = self.wanted
        if wanted.style.texture in TUNEFUL:
            missing = unreachable(wanted.tune, wanted.instrument, wanted.style)
            here = [each for each in missing if self.first <= each.note.bar <= self.last]
            return f"the melody's {here[0].name}: {here[0].why}" if here else ""
        if [demand.kind for demand in core] not in (
            ["root"],
            ["root", "ceiling"],
            ["ceiling", "root"],
        ):
            return ""
        instrument = self.wanted.instrument
        there = {instrument.pitch(0, fret) % 12 for fret in instrument.frets(0)}
        for moment in moments:
            chord = moment.chord
            if chord is not None and chord.bass_pitch_class not in there:
                name = note(chord.bass_pitch_class, chord)
                return f"the bass string has no {name} at any fret"
        return ""
