"""Which key and tuning: of all combinations those that let a player play a tune with least work and
the fullest chords.

What the hand does and what the chords lack is one cost, in ms of hand work, so the least cost is
both. Combinations that cannot be played are left out first, by their chords or their melody alone;
what is the same fret problem is looked at once; of each other one the exact pass tells what it
costs, given up as soon as that cannot win a place; and what is shown is solved and proven like any
tune.

Public: keys, KeysAsked, KeyAdvice, KeyRow, NotPlayed.
"""

from collections import Counter, deque
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.weights import Weights
from solver.errors import ArrangeError
from solver.refusal import unplayable_chord
from solver.result import PROVEN, Arrangement
from solver.singing import TUNEFUL
from solver.style import Style
from solver.watch import OutOfTime, Standing, Watch
from tune.key import Key
from tune.tune import Tune
from undersong.advice.combinations import Choices, Combination, combinations
from undersong.advice.crew import Crew, crew
from undersong.advice.losses import Losses, LostNote, losses, melody_lost
from undersong.advice.queue import Queue
from undersong.advice.weighing import Answer, Weigh, Weigher
from undersong.session import WrongAnswer

WORTH = 8
"""Fret problems for each other process that is worth its beginning."""

KEPT_FOR_ROWS = 2.0
"""How many times as long as its exact pass a row's solution may take: time that is kept back."""

NEAREST = 3
"""Combinations told that lack fewest notes of the melody."""


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
    """A combination that cannot be played, and why; notes: of the melody that no string has."""

    combination: Combination
    why: str
    notes: tuple[LostNote, ...] = ()


@dataclass(frozen=True)
class KeyAdvice:
    """rows: the best first; looked_at: combinations in all; problems: how many fret problems they
    are; cannot: combinations that cannot be played, by why; nearest: those that lack fewest notes
    of the melody; ruled_out: combinations whose bound proves that they win no place; least: ms
    that none of these is below, None where there is none; no_better: combinations with more frets
    that cost no less than without them; not_looked_at: combinations for which
    there was no time; unsung: keys that the voice cannot sing."""

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

    @property
    def proven(self) -> bool:
        """Whether every row is proven, and that no other combination belongs among them."""
        return not self.not_looked_at and all(row.proven for row in self.rows)

    @property
    def playable(self) -> int:
        return self.looked_at - sum(count for _, count in self.cannot)


@dataclass
class _Found:
    """What is known of a fret problem: ms at least, and whether the best costs just that."""

    alike: tuple[Combination, ...]
    least: int
    exact: bool

    @property
    def rank(self) -> tuple[object, ...]:
        return self.least, self.alike[0].effort


def keys(asked: KeysAsked, watch: Watch | None = None, others: int = 0) -> KeyAdvice:
    """The table. Out of time it holds what was found by then, and says what was not looked at.

    others: how many other processes share in the work; the module that runs must then be one that
    they can import without running it again (``if __name__ == "__main__"``).

    Raises ArrangeError where no combination is left to look at and where the tune lacks what the
    texture needs, OutOfTime where there was no time for any row, Stopped.
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
    table = _Table(asked, watch, Weigher(tune, asked.hand, asked.weights))
    left, cannot = _may_be(table, alike)
    with crew(min(others, len(left) // WORTH), Weigher(tune, asked.hand, asked.weights)) as hired:
        found, more, late = _bounded(table, hired, left)
        rows = _solved(table, hired, found)
    cannot += more
    if not rows and (late or found):
        raise OutOfTime(
            f"{watch.seconds:g} s were not enough to solve any combination; allow more time, or "
            "ask for fewer tunings, capos or keys"
        )
    shown = {id(row.best) for row in rows}
    no_better = _no_better(found)
    rest = [one for one in found if id(one.alike[0]) not in shown and id(one) not in no_better]
    counted = Counter(each.why for each in cannot)
    lacking = sorted((each for each in cannot if each.notes), key=lambda each: len(each.notes))
    bound = max((row.cost for row in rows), default=0)
    unsolved = [one for one in rest if len(rows) < asked.rows or one.least < bound]
    ruled_out = [one for one in rest if one not in unsolved]
    return KeyAdvice(
        asked,
        rows,
        looked_at,
        len(alike),
        tuple(counted.most_common()),
        tuple(lacking[:NEAREST]),
        sum(len(one.alike) for one in ruled_out),
        bound if ruled_out else None,
        sum(len(one.alike) for one in found if id(one) in no_better),
        late + sum(len(one.alike) for one in unsolved),
        unsung,
    )


@dataclass
class _Table:
    """slowest: seconds of the slowest pass so far."""

    asked: KeysAsked
    watch: Watch
    weigher: Weigher
    slowest: float = 0.0

    def tune(self, one: Combination) -> Tune:
        return self.weigher.moved(one.semitones)

    def style(self, one: Combination) -> Style:
        return self.asked.style(self.tune(one), one.instrument)

    @property
    def time_for_rows(self) -> float:
        return KEPT_FOR_ROWS * self.asked.rows * self.slowest


def _may_be(
    table: _Table, alike: Iterable[tuple[Combination, ...]]
) -> tuple[list[tuple[Combination, ...]], list[NotPlayed]]:
    """What is not ruled out by its chords or melody alone, and what is, each combination told."""
    left, cannot = [], []
    for group in alike:
        table.watch.look()
        one = group[0]
        tune, style = table.tune(one), table.style(one)
        notes: tuple[LostNote, ...] = ()
        why = ""
        if style.texture in TUNEFUL:
            notes = melody_lost(tune, one.instrument, style)
            why = "notes of the melody are out of reach" if notes else ""
        else:
            chords = dict.fromkeys(c.chord for bar in tune.bars for c in bar.chords if c.chord)
            if any(unplayable_chord(chord, one.instrument, style) for chord in chords):
                why = "a chord has no root in the bass, or neither third nor fifth"
        if why:
            cannot += [NotPlayed(each, why, notes) for each in group]
        else:
            left.append(group)
    return left, cannot


def _bounded(
    table: _Table, crew: Crew, left: Sequence[tuple[Combination, ...]]
) -> tuple[list[_Found], list[NotPlayed], int]:
    """What each costs at least, what cannot be played after all, and how many combinations there
    was no time for."""
    asked, watch = table.asked, table.watch
    found: list[_Found] = []
    cannot: list[NotPlayed] = []
    queue = Queue(_promising_first(table, left))
    out: dict[int, tuple[Combination, ...]] = {}

    def done() -> int:
        return len(left) - len(queue.left) - len(out)

    def more(who: int) -> Weigh | None:
        seconds = watch.left - table.time_for_rows
        group = queue.next(who) if seconds > 0 else None
        if group is None:
            return None
        places = _places(found)
        enough = places[asked.rows - 1].least if len(places) >= asked.rows else None
        task = Weigh(
            group[0].instrument, table.style(group[0]), group[0].semitones, enough, seconds
        )
        out[id(task)] = group
        return task

    for task, weighed in crew.done(more, _counting(watch, "combination", len(left), done)):
        group = out.pop(id(task))
        if weighed is None:
            queue.back(group)
            continue
        table.slowest = max(table.slowest, weighed.took)
        if weighed.cannot:
            cannot += [NotPlayed(each, _WHY[weighed.cannot]) for each in group]
        else:
            found.append(_Found(group, weighed.ms, weighed.exact))
    return found, cannot, sum(map(len, queue.left))


def _counting(watch: Watch, what: str, of: int, done: Callable[[], int]) -> Watch:
    """The same watch, told the number of what is being done."""
    heard = watch.tell
    if heard is None:
        return watch

    def tell(at: Standing) -> None:
        heard(replace(at, stage=f"{what} {min(of, done() + 1)} of {of}, {at.stage}"))

    return replace(watch, tell=tell)


def _places(found: Sequence[_Found]) -> list[_Found]:
    """What may take the first places, the best first: all of which it is known what they cost, but
    those with more frets than do any good."""
    no_better = _no_better(found)
    exact = [each for each in found if each.exact and id(each) not in no_better]
    return sorted(exact, key=lambda each: each.rank)


def _no_better(found: Sequence[_Found]) -> set[int]:
    """ids of those with extra frets that cost no less than without some of these."""
    costs = {
        (one.instrument.tuning, one.instrument.capo, one.semitones, one.extra): each.least
        for each in found
        if each.exact
        for one in each.alike
    }
    extras = {extra for *_, extra in costs}

    def needless(one: Combination, least: int) -> bool:
        strings = one.instrument.tuning, one.instrument.capo, one.semitones
        fewer = (extra for extra in extras if set(extra) < set(one.extra))
        return any(costs.get((*strings, extra), least + 1) <= least for extra in fewer)

    return {id(each) for each in found if each.exact and needless(each.alike[0], each.least)}


_WHY = {
    "melody": "a note of the melody cannot be played with what is asked beside it",
    "step": "a chord cannot be reached from the one before it as asked",
    "chord": "a chord has no shape that the hand can hold",
}
"""The same words for all that fail alike (``NotPlayable.what``)."""


def _promising_first(
    table: _Table, left: Sequence[tuple[Combination, ...]]
) -> list[tuple[Combination, ...]]:
    """Strings together, those first on which most open strings belong to the chords: good answers
    met early rule out more."""
    order: dict[Instrument, int] = {}
    ranked = sorted(range(len(left)), key=lambda place: -_open_tones(table, left[place][0]))
    for place in ranked:
        order.setdefault(left[place][0].instrument, len(order))
    return [left[p] for p in sorted(ranked, key=lambda p: order[left[p][0].instrument])]  # stable


def _open_tones(table: _Table, one: Combination) -> int:
    """How many open strings are tones of the chords, counted chord by chord."""
    opens = [(pitch + one.instrument.capo) % 12 for pitch in one.instrument.tuning]
    chords = [c.chord for bar in table.tune(one).bars for c in bar.chords if c.chord]
    return sum(pitch in chord.pitch_classes for chord in chords for pitch in opens)


def _solved(table: _Table, crew: Crew, found: Sequence[_Found]) -> tuple[KeyRow, ...]:
    """The best so far, solved, ranked by what they cost; fewer where there was no time."""
    asked, watch = table.asked, table.watch
    best = deque(_places(found)[: asked.rows])
    rows: list[KeyRow] = []
    out: dict[int, _Found] = {}

    def more(_: int) -> Answer | None:
        if not best or watch.left <= 0:
            return None
        one = best[0].alike[0]
        task = Answer(one.instrument, table.style(one), one.semitones, watch.left)
        out[id(task)] = best.popleft()
        return task

    for task, arrangement in crew.done(more, _counting(watch, "row", len(best), lambda: len(rows))):
        each = out.pop(id(task))
        if arrangement is None:
            continue
        row = KeyRow(each.alike[0], each.alike[1:], arrangement, losses(arrangement))
        if row.proven and row.cost != each.least:
            raise WrongAnswer(
                (f"the best costs {row.cost} ms, and the pass that ruled others out {each.least}",)
            )
        rows.append(row)
    return tuple(sorted(rows, key=lambda row: (row.cost, row.best.effort)))
