"""Which key and tuning: of all combinations those that let a player play a tune with least work and
the fullest chords.

What the hand does and what the chords lack is one cost, in ms of hand work, so the least cost is
both. Combinations that cannot be played are left out first, by their chords or their melody alone;
what is the same fret problem is looked at once; of each other one the exact pass tells what it
costs, given up as soon as that cannot win a place; and what is shown is solved and proven like any
tune.

Public: keys, KeysAsked, KeyAdvice, KeyRow, NotPlayed, AsItIs.
"""

import time
from collections import Counter, deque
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.weights import Weights
from solver.errors import ArrangeError
from solver.refusal import unplayable_chord
from solver.result import PROVEN, Arrangement
from solver.singing import TUNEFUL
from solver.style import Style
from solver.watch import OutOfTime, Watch
from tune.key import Key
from tune.tune import Tune
from undersong.advice.bounding import Bounds, Found, KeyTable, bounded, no_better_of, places
from undersong.advice.combinations import Choices, Combination, combinations
from undersong.advice.crew import HERE, Crew, crew
from undersong.advice.losses import Losses, LostNote, losses, melody_lost
from undersong.advice.weighing import Solve, Weigher
from undersong.session import WrongAnswer

WORTH = 8
"""Fret problems for each other process that is worth its beginning."""

WORTH_SHARING = 3.0
"""Seconds that as many of the slowest passes as there are rows take, from which on others solve
some rows: to load the solver's library takes another process about half a second."""

NEAREST = 3
"""Combinations told that lack fewest notes of the melody, or chords where there is no row."""


def _usual(_: Tune, __: Instrument) -> Style:
    return Style()


@dataclass(frozen=True)
class KeysAsked:
    """rows: places in the table; style: what she asks of a tune on an instrument, which in a bass
    part depends on both."""

    tune: Tune
    choices: Choices
    rows: int = 5
    hand: Hand = field(default_factory=Hand)
    weights: Weights = field(default_factory=Weights)
    style: Callable[[Tune, Instrument], Style] = _usual

    def __post_init__(self) -> None:
        if self.rows < 1:
            raise ArrangeError(f"the table has one row at least, not {self.rows}")


@dataclass(frozen=True)
class KeyRow:
    """best: the combination that takes least effort; also: others that are the same for the hand;
    arrangement: solved; lost: what it leaves out of the music."""

    best: Combination
    also: tuple[Combination, ...]
    arrangement: Arrangement
    lost: Losses

    @property
    def key(self) -> Key:
        return self.arrangement.tune.key

    @property
    def cost(self) -> int:
        return self.arrangement.cost

    @property
    def proven(self) -> bool:
        return self.arrangement.proof.status == PROVEN


@dataclass(frozen=True)
class NotPlayed:
    """A combination that cannot be played, and why; notes: of the melody that no string has;
    chords: that have no root in the bass, or neither third nor fifth."""

    combination: Combination
    why: str
    notes: tuple[LostNote, ...] = ()
    chords: tuple[str, ...] = ()

    @property
    def lacks(self) -> int:
        """How much is not there, as far as that was looked at."""
        return len(self.notes) or len(self.chords)


@dataclass(frozen=True)
class AsItIs:
    """The tune in its own key on the strings as they are. row: its place in the table, from 1, None
    where it has none; least: ms that it costs at least, exact: and at most; why: what stands in the
    way, where it cannot be played."""

    row: int | None = None
    least: int | None = None
    exact: bool = False
    why: str = ""


@dataclass(frozen=True)
class KeyAdvice:
    """rows: the best first; looked_at: combinations in all, with those not looked at; problems:
    how many fret problems they are; cannot: combinations that cannot be played, by why;
    nearest: those that lack fewest notes of the melody; ruled_out: combinations whose bound
    proves that they win no place; least: ms that none of these is below, None where there is
    none; no_better: combinations with more frets that cost no less than without them;
    not_looked_at: combinations for which there was no time; unsung: keys that the voice cannot
    sing; as_it_is: None where that was not looked at."""

    asked: KeysAsked
    rows: tuple[KeyRow, ...]
    looked_at: int
    problems: int
    cannot: tuple[tuple[str, int], ...]
    nearest: tuple[NotPlayed, ...]
    ruled_out: int
    least: int | None
    no_better: int
    not_looked_at: int
    unsung: int
    as_it_is: AsItIs | None = None

    @property
    def proven(self) -> bool:
        """Whether every row is proven, and that no other combination belongs among them."""
        return not self.not_looked_at and all(row.proven for row in self.rows)

    @property
    def playable(self) -> int:
        """Combinations of which it is not known that they cannot be played."""
        return self.looked_at - sum(count for _, count in self.cannot)


def keys(asked: KeysAsked, watch: Watch | None = None, others: int = 0) -> KeyAdvice:
    """The table. Out of time it holds what was found by then, and says what was not looked at.

    others: how many other processes share in the work (``undersong.advice.crew``).

    Raises ArrangeError where no combination is left to look at and where the tune lacks what the
    texture needs, OutOfTime where there was no time for any row, Stopped, WrongAnswer where our own
    check fails.
    """
    watch = Watch() if watch is None else watch
    tune, choices = asked.tune, asked.choices
    texture = asked.style(tune, choices.own).texture
    alike = list(combinations(choices, tune, texture).values())
    looked_at = sum(map(len, alike))
    unsung = 0 if choices.voice is None else len(
        {by % 12 for by in choices.semitones if not choices.voice.octaves(tune, by)}
    )  # fmt: skip
    if not alike:
        raise ArrangeError(
            f"in no key does {tune.title} fit the voice ({choices.voice}); widen its range, or "
            "name the key that is sung"
        )
    weigher = Weigher(tune, asked.hand, asked.weights)
    table = KeyTable(watch, weigher, asked.rows, asked.style)
    with crew(min(others, len(alike) // WORTH), weigher) as hired:  # they begin meanwhile
        left, cannot = _may_be(table, alike)
        bounds = bounded(table, hired, left)
        rows = _solved(table, hired, bounds)
    found, late = bounds.found, bounds.late
    cannot += [NotPlayed(one, _WHY[why]) for group, why in bounds.refused for one in group]
    if not rows and (late or found):
        raise OutOfTime(
            f"{watch.seconds:g} s were not enough to solve any combination; allow more time, or "
            "ask for fewer tunings, capos or keys"
        )
    shown = {id(row.best) for row in rows}
    no_better = no_better_of(found)
    rest = [one for one in found if id(one.alike[0]) not in shown and one not in no_better]
    counted = Counter(each.why for each in cannot)
    lacking = [each for each in cannot if each.notes or (each.chords and not rows)]
    lacking.sort(key=lambda each: each.lacks)
    bound = max((row.cost for row in rows), default=0)
    out = [len(rows) == asked.rows and one.least >= bound for one in rest]
    ruled_out = sum(len(one.alike) for one, never in zip(rest, out, strict=True) if never)
    unsolved = sum(len(one.alike) for one, never in zip(rest, out, strict=True) if not never)
    return KeyAdvice(
        asked,
        rows,
        looked_at,
        len(alike),
        tuple(counted.most_common()),
        tuple(lacking[:NEAREST]),
        ruled_out,
        bound if ruled_out else None,
        sum(len(one.alike) for one in no_better),
        late + unsolved,
        unsung,
        _as_it_is(rows, found, cannot),
    )


def _as_it_is(
    rows: Sequence[KeyRow], found: Iterable[Found], cannot: Iterable[NotPlayed]
) -> AsItIs | None:
    def own(one: Combination) -> bool:
        return not one.semitones and not one.extra and one.retuning.nothing

    for number, row in enumerate(rows, 1):
        if any(map(own, (row.best, *row.also))):
            return AsItIs(number, row.arrangement.proof.bound, row.proven)
    for each in found:
        if any(map(own, each.alike)):
            return AsItIs(None, each.least, each.exact)
    return next((AsItIs(why=no.why) for no in cannot if own(no.combination)), None)


def _may_be(
    table: KeyTable, alike: Iterable[tuple[Combination, ...]]
) -> tuple[list[tuple[Combination, ...]], list[NotPlayed]]:
    """What is not ruled out by its chords or melody alone, and what is, each combination told."""
    left, cannot = [], []
    for group in alike:
        table.watch.look()
        one = group[0]
        tune, style = table.tune(one), table.style(one)
        notes: tuple[LostNote, ...] = ()
        lost: tuple[str, ...] = ()
        why = ""
        if style.texture in TUNEFUL:
            notes = melody_lost(tune, one.instrument, style)
            why = "notes of the melody are out of reach" if notes else ""
        else:
            chords = dict.fromkeys(c.chord for bar in tune.bars for c in bar.chords if c.chord)
            lost = tuple(
                str(chord) for chord in chords if unplayable_chord(chord, one.instrument, style)
            )
            if lost:
                why = "a chord has no root in the bass, or neither third nor fifth"
        if why:
            cannot += [NotPlayed(each, why, notes, lost) for each in group]
        else:
            left.append(group)
    return left, cannot


_WHY = {
    "melody": "a note of the melody cannot be played with what is asked beside it",
    "step": "a chord cannot be reached from the one before it as asked",
    "chord": "a chord has no shape that the hand can hold",
}
"""The same words for all that fail alike (``NotPlayable.what``)."""


def _solved(table: KeyTable, crew: Crew, bounds: Bounds) -> tuple[KeyRow, ...]:
    """The best so far, solved, ranked by what they cost; fewer where there was no time."""
    watch, best = table.watch, deque(places(bounds.found)[: table.rows])
    of = len(best)
    rows: list[KeyRow] = []
    out: dict[int, Found] = {}

    shared = of * table.slowest > WORTH_SHARING

    def more(who: int) -> Solve | None:
        if not best or watch.left <= 0 or not (shared or who == HERE):
            return None
        each = best.popleft()
        one, until = each.alike[0], time.monotonic() + watch.left
        # the row by which others are ruled out is found again by a graph of its own
        task = Solve(one.instrument, table.style(one), one.semitones, not best, until)
        out[id(task)] = each
        return task

    told = watch.saying(lambda: f"row {min(of, len(rows) + 1)} of {of}")
    for task, arrangement in crew.done(more, told):
        each = out.pop(id(task))
        if arrangement is None:
            continue
        row = KeyRow(each.alike[0], each.alike[1:], arrangement, losses(arrangement))
        if row.proven and row.cost != each.least:
            raise WrongAnswer(
                (f"the best costs {row.cost} ms, and the pass that ruled others out {each.least}",)
            )
        rows.append(row)
    return tuple(sorted(rows, key=lambda row: (row.cost, row.best.order)))
