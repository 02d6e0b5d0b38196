"""A set: tunes in the order in which they are played, with as little to do between them as can be.

Every tune is arranged in every tuning and capo that it may have; which it gets, and where it
stands, is one exact choice (``solver.set_order``). Tunes of one medley are played as one: there the
strings and the capo stay as they are, and the way from the last shape to the next tune's first
counts as hand work. Costs are ms (``scoring.set_order``).

Public: make_set, SetAsked, SetTune, TuneSet, Place, LeftOut, join_of.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from fretboard.instrument import Instrument
from scoring.set_order import SetPrices, changes, follows, join_work, priced
from solver.errors import ArrangeError, NotPlayable, StyleError, Unfulfillable
from solver.result import PROVEN, Arrangement
from solver.set_order import SetOrder, SetQuestion, least_in_a_row, order_set
from solver.watch import OutOfTime, Watch
from tune.key import Key
from tune.tune import Tune
from undersong.advice.piece import Piece
from undersong.advice.retuning import Retuning, retuned
from undersong.session import WrongAnswer

Amounts = dict[str, int]


@dataclass(frozen=True)
class SetTune:
    """One tune of a set. instruments: the ways it may be played in, tuned and capoed, as she would
    have them first; medley: the name of the tunes that it is played as one with, empty for none."""

    piece: Piece
    instruments: tuple[Instrument, ...]
    medley: str = ""

    @property
    def title(self) -> str:
        return self.piece.tune.title or self.piece.name

    @property
    def tune(self) -> Tune:
        return self.piece.tune

    @property
    def begins(self) -> Key:
        """The key of its first bar."""
        return self.tune.bars[0].key

    @property
    def ends(self) -> Key:
        """The key of the last bar played."""
        return self.tune.bars[self.tune.played[-1].written].key


@dataclass(frozen=True)
class SetAsked:
    """tunes: in the order named; made_for: the instrument as it is strung; start: as it is tuned
    when she sits down, None where that is free; first, last: numbers of tunes, from 0; in_a_row: at
    most so many of one key; arranged: whether the tunes are arranged at all, else only strings,
    capos and keys count."""

    tunes: tuple[SetTune, ...]
    made_for: Instrument
    prices: SetPrices = field(default_factory=SetPrices)
    start: Instrument | None = None
    first: int | None = None
    last: int | None = None
    in_a_row: int | None = None
    arranged: bool = True

    def __post_init__(self) -> None:
        if not self.tunes:
            raise ArrangeError("a set has at least one tune")
        if self.first is not None and self.first == self.last and len(self.tunes) > 1:
            raise ArrangeError(
                f"{self.tunes[self.first].title} cannot be both first and last of "
                f"{len(self.tunes)} tunes; name another for one of the two"
            )
        if self.medleys and not self.arranged:
            raise ArrangeError("the joins of a medley want the tunes arranged")

    @cached_property
    def medleys(self) -> dict[str, frozenset[int]]:
        """Name → the tunes that are played as one, two or more."""
        names = dict.fromkeys(one.medley for one in self.tunes if one.medley)
        groups = {
            name: frozenset(at for at, one in enumerate(self.tunes) if one.medley == name)
            for name in names
        }
        return {name: group for name, group in groups.items() if len(group) > 1}


@dataclass(frozen=True)
class LeftOut:
    """A way in which a tune cannot be played, and why not."""

    title: str
    instrument: Instrument
    why: str


@dataclass(frozen=True)
class Place:
    """A tune where it stands. retuning: what is done before it, None before the first where she may
    sit down as she likes; caution: on strings tuned far up, or nothing; joined: it is played as one
    with the tune before; amounts: name in ``scoring.set_order`` → how much; cost: ms.
    """

    tune: SetTune
    instrument: Instrument
    arrangement: Arrangement | None
    retuning: Retuning | None
    caution: str
    joined: bool
    amounts: Amounts
    cost: int

    @property
    def follows(self) -> str:
        """How its key follows the one before, in words; nothing for the first."""
        names = [name for name in self.amounts if name not in _NOT_KEYS]
        return names[0].replace("-", " ") if names else ""


UNKNOWN = 1 << 40
"""ms of doubt where none is known: more than any set costs."""

_NOT_KEYS = ("string", "semitone", "capo-move", "join", "work")


@dataclass(frozen=True)
class TuneSet:
    """The set. places: in order; order: how good it is known to be; as_named: ms of the tunes in
    the order named, in their best tunings, None where what is asked forbids it; left_out: ways that
    cannot be played; certain: every answer that was chosen among is proven best; doubt: ms by which
    the answers may miss their best, all together, whichever are chosen."""

    asked: SetAsked
    places: tuple[Place, ...]
    order: SetOrder
    as_named: int | None
    left_out: tuple[LeftOut, ...]
    certain: bool = True
    doubt: int = 0

    @property
    def proven(self) -> bool:
        """Whether no order, with no choice of tunings, costs less."""
        return self.order.proven and self.certain

    @property
    def bound(self) -> int:
        """ms below which no order can be, whatever the best answers are."""
        return max(0, self.order.bound - self.doubt)

    def amount(self, name: str) -> int:
        return sum(place.amounts.get(name, 0) for place in self.places)


@dataclass(frozen=True)
class _Way:
    """tune: its number; arrangement: None where none was asked for."""

    tune: int
    instrument: Instrument
    arrangement: Arrangement | None

    @property
    def strung(self) -> tuple[object, ...]:
        return self.instrument.tuning, self.instrument.capo


def make_set(asked: SetAsked, watch: Watch | None = None) -> TuneSet:
    """The cheapest order of the tunes.

    Raises NotPlayable where a tune can be played in none of its tunings, Unfulfillable where no
    order holds what is asked, OutOfTime and Stopped.
    """
    watch = Watch() if watch is None else watch
    ways, left_out = _ways(asked, watch)
    _check_medleys(asked, ways)
    question = _question(asked, ways)
    try:
        order = order_set(question, watch)
    except Unfulfillable:
        raise Unfulfillable(_why(asked, question, watch)) from None
    made = TuneSet(
        asked,
        tuple(_places(asked, [ways[number] for number in order.ways])),
        order,
        _as_named(question),
        left_out,
        *_doubt(asked, ways),
    )
    from undersong.advice.set_check import faults

    wrong = faults(made)
    if wrong:
        raise WrongAnswer(wrong)
    return made


def _doubt(asked: SetAsked, ways: Sequence[_Way]) -> tuple[bool, int]:
    """Whether every answer is proven best; ms by which those of one way a tune may miss theirs, at
    their price: of a medley nothing is known, since other answers have other joins."""
    gaps: dict[int, int] = {}
    certain = True
    for way in ways:
        if way.arrangement is not None:
            certain = certain and way.arrangement.proof.status == PROVEN
            gaps[way.tune] = max(gaps.get(way.tune, 0), way.arrangement.proof.gap)
    if asked.medleys and not certain:
        return False, UNKNOWN
    return certain, asked.prices["work"] * sum(gaps.values())


def _ways(asked: SetAsked, watch: Watch) -> tuple[list[_Way], tuple[LeftOut, ...]]:
    """Every way in which a tune can be played, tune by tune; and those in which it cannot."""
    ways: list[_Way] = []
    left_out: list[LeftOut] = []
    to_do = sum(len(one.instruments) for one in asked.tunes)
    for number, one in enumerate(asked.tunes):
        before = len(ways)
        for instrument in one.instruments:
            found: Arrangement | None = None
            if asked.arranged:
                part = watch.within(max(watch.left / to_do, min(watch.left, 10.0)))
                watch.look()
                try:
                    session = one.piece.session(instrument)
                    found = session.arrange(
                        one.piece.weights, one.piece.conditions, watch=part.saying(one.title)
                    )
                except OutOfTime:
                    raise OutOfTime(
                        f"{watch.seconds:g} s were not enough to arrange every tune (stopped at "
                        f"{one.title}, {number + 1} of {len(asked.tunes)}); allow more time, name "
                        "fewer tunings and capos, or leave the work out"
                    ) from None
                except (NotPlayable, StyleError, Unfulfillable) as error:
                    left_out.append(LeftOut(one.title, instrument, str(error)))
                    continue
                finally:
                    to_do -= 1
            ways.append(_Way(number, instrument, found))
        if len(ways) == before:
            raise NotPlayable(
                f"{one.title} cannot be played as asked: {left_out[-1].why}; give it another "
                "tuning, capo or key, or leave it out of the set",
                1,
                "",
            )
    return ways, tuple(left_out)


def _check_medleys(asked: SetAsked, ways: Sequence[_Way]) -> None:
    """Unfulfillable where tunes that are played as one have no tuning and capo in common."""
    for group in asked.medleys.values():
        strung = [{way.strung for way in ways if way.tune == tune} for tune in sorted(group)]
        if not set.intersection(*strung):
            titles = ", ".join(asked.tunes[tune].title for tune in sorted(group))
            raise Unfulfillable(
                "strings and capo cannot be changed within a medley, and these tunes have no "
                f"tuning and capo that all can be played in: {titles}; give them one that they "
                "have in common (tunings, capos), or play them apart"
            )
        first, last = asked.first, asked.last
        if first is None or last is None or len(group) == len(asked.tunes):
            continue
        if first in group and last in group:
            raise Unfulfillable(
                f"{asked.tunes[first].title} cannot be first and {asked.tunes[last].title} last: "
                "they are of one medley, which other tunes cannot part; name another for one of "
                "the two"
            )


def _question(asked: SetAsked, ways: Sequence[_Way]) -> SetQuestion:
    prices = asked.prices
    return SetQuestion(
        tune=tuple(way.tune for way in ways),
        own=tuple(priced(_work(way), prices) for way in ways),
        begin=tuple(priced(_before(asked, None, way), prices) for way in ways),
        step=tuple(tuple(_step(asked, before, after) for after in ways) for before in ways),
        key=tuple(one.tune.key for one in asked.tunes),
        first=asked.first,
        last=asked.last,
        in_a_row=asked.in_a_row,
        together=tuple(asked.medleys.values()),
    )


def _work(way: _Way) -> Amounts:
    return {} if way.arrangement is None else {"work": way.arrangement.cost}


def _joined(asked: SetAsked, before: _Way, after: _Way) -> bool:
    return any(before.tune in group and after.tune in group for group in asked.medleys.values())


def _step(asked: SetAsked, before: _Way, after: _Way) -> int | None:
    """ms; None where one cannot follow the other."""
    if before.tune == after.tune:
        return None
    if _joined(asked, before, after) and before.strung != after.strung:
        return None
    return priced(_before(asked, before, after), asked.prices)


def _before(asked: SetAsked, before: _Way | None, after: _Way) -> Amounts:
    """What is done, and counts, before a tune."""
    if before is None:
        return {} if asked.start is None else changes(asked.start, after.instrument)
    amounts = changes(before.instrument, after.instrument)
    amounts |= follows(asked.tunes[before.tune].ends, asked.tunes[after.tune].begins)
    if _joined(asked, before, after):
        amounts["join"] = join_of(before.arrangement, after.arrangement)
    return amounts


def join_of(before: Arrangement | None, after: Arrangement | None) -> int:
    """ms of hand work from the last shape of one to the first of the other."""
    assert before is not None, "a medley's tunes are arranged"
    assert after is not None, "a medley's tunes are arranged"
    last, first = (before.choices[-1], before.moments[-1]), (after.choices[0], after.moments[0])
    return join_work(last, first, after.instrument, after.hand, after.weights)


def _places(asked: SetAsked, ways: Sequence[_Way]) -> Iterator[Place]:
    before: _Way | None = None
    for way in ways:
        old = asked.start if before is None else before.instrument
        amounts = {
            name: amount
            for name, amount in (_before(asked, before, way) | _work(way)).items()
            if amount or name == "join"
        }
        caution = retuned(asked.made_for if old is None else old, way.instrument, asked.made_for)
        yield Place(
            asked.tunes[way.tune],
            way.instrument,
            way.arrangement,
            None if old is None else retuned(old, way.instrument, asked.made_for),
            caution.caution(),
            before is not None and _joined(asked, before, way),
            amounts,
            priced(amounts, asked.prices),
        )
        before = way


def _as_named(question: SetQuestion) -> int | None:
    """ms of the tunes in the order named, each in the way that comes cheapest; None where an end,
    a medley or a row of one key forbids that order."""
    tunes = range(question.tunes)
    if question.first not in (None, 0) or question.last not in (None, tunes[-1]):
        return None
    for group in question.together:
        if max(group) - min(group) != len(group) - 1:
            return None
    row = 0
    for tune in tunes:
        row = row + 1 if tune and question.key[tune] == question.key[tune - 1] else 1
        if question.in_a_row is not None and row > question.in_a_row:
            return None
    costs: dict[int, int] = {}
    for tune in tunes:
        here = [way for way, of in enumerate(question.tune) if of == tune]
        costs = {way: cost for way in here if (cost := _cheapest(question, costs, tune, way)) >= 0}
    return min(costs.values(), default=None)


def _cheapest(question: SetQuestion, costs: dict[int, int], tune: int, way: int) -> int:
    """ms up to that way; -1 where nothing leads to it."""
    if tune == 0:
        return question.begin[way] + question.own[way]
    steps = [
        cost + step
        for before, cost in costs.items()
        if (step := question.step[before][way]) is not None
    ]
    return min(steps) + question.own[way] if steps else -1


def _why(asked: SetAsked, question: SetQuestion, watch: Watch) -> str:
    """Why there is no order, and what would do."""
    least = None if asked.in_a_row is None else least_in_a_row(question, watch)
    if asked.in_a_row is None or least is None:
        return "no order of these tunes holds what is asked; ask for less of first, last and medley"
    keys = [one.tune.key for one in asked.tunes]
    most = max(dict.fromkeys(keys), key=keys.count)
    fixed = [
        f"{asked.tunes[at].title} is {end}"
        for at, end in ((asked.first, "first"), (asked.last, "last"))
        if at is not None
    ]
    so = f", and {' and '.join(fixed)}" if fixed else ""
    medley = ", and medleys stay together" if asked.medleys else ""
    return (
        f"at most {asked.in_a_row} of one key in a row cannot be: {keys.count(most)} of "
        f"{len(keys)} tunes are in {most}{so}{medley}; the least that works is {least}"
    )
