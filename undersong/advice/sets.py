"""A set: tunes in the order in which they are played, with as little to do between them as can be.

Every tune is arranged in every tuning and capo that it may have; which it gets, and where it
stands, is one exact choice (``solver.set_order``). Tunes of one medley are played as one: there the
strings and the capo stay as they are, and the way from the last shape to the next tune's first
counts as hand work. Costs are ms (``scoring.set_order``).

Public: make_set, TuneSet, SetPlace, join_of.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations

from fretboard.instrument import Instrument
from scoring.set_order import changes, follows, join_work, priced
from solver.errors import NotFound, Unfulfillable
from solver.result import PROVEN, Arrangement
from solver.set_order import SetOrder, SetQuestion, least_in_a_row, order_set
from solver.watch import OutOfTime, Watch
from undersong.advice.retuning import Retuning, retuned
from undersong.advice.set_asked import SetAsked, SetTune
from undersong.advice.set_named import ways_as_named
from undersong.advice.set_ways import LeftOut, Way, Ways, told_not_played, ways_of
from undersong.session import WrongAnswer

Amounts = dict[str, int]


@dataclass(frozen=True)
class SetPlace:
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

    @property
    def texture(self) -> str:
        return self.tune.piece.style(self.instrument).texture


UNKNOWN = 1 << 40
"""ms of doubt where none is known: more than any set costs."""

_NOT_KEYS = ("string", "semitone", "capo-move", "join", "work")


@dataclass(frozen=True)
class TuneSet:
    """The set. places: in order; order: how good it is known to be; as_named: ms of the tunes in
    the order named, in their best tunings, None where what is asked forbids it; left_out: ways that
    cannot be played; not_played: those of tunes that have no other, and stand nowhere in the set;
    certain: every answer that was chosen among is proven best; doubt: ms by which the answers may
    miss their best, all together, whichever are chosen; whatever_answers: ms below which
    no set is, though other answers than the best may have cheaper joins."""

    asked: SetAsked
    places: tuple[SetPlace, ...]
    order: SetOrder
    as_named: int | None
    left_out: tuple[LeftOut, ...]
    not_played: tuple[LeftOut, ...] = ()
    certain: bool = True
    doubt: int = 0
    whatever_answers: int = 0

    @property
    def proven(self) -> bool:
        """Whether no order, with no choice of tunings, costs less with the tunes' best answers."""
        return self.order.proven and self.certain

    @property
    def bound(self) -> int:
        """ms below which no order can be, whatever the best answers are."""
        return max(0, self.order.bound - self.doubt)

    def amount(self, name: str) -> int:
        return sum(place.amounts.get(name, 0) for place in self.places)


def make_set(asked: SetAsked, watch: Watch | None = None) -> TuneSet:
    """The cheapest order of the tunes that can be played.

    Raises Unfulfillable where not one can be played, or no order holds what is asked; NotFound,
    OutOfTime, Stopped, and ConditionError for conditions that cannot be asked of a tune.
    """
    watch = Watch() if watch is None else watch
    found = ways_of(asked, watch)
    there, ways = _playable(asked, found)
    _check_medleys(there, ways)
    question = _question(there, ways)
    named = ways_as_named(question)
    try:
        order = order_set(question, watch, named)
    except Unfulfillable:
        why = _why(there, question, watch)
        if found.not_played:
            why += f"; besides, cannot be played as asked: {told_not_played(found.not_played)}"
        raise Unfulfillable(why) from None
    certain, doubt = _doubt(there, ways)
    made = TuneSet(
        asked,
        tuple(_places(there, [ways[number] for number in order.ways])),
        order,
        question.cost(named) if named else None,
        found.left_out,
        found.not_played,
        certain,
        doubt,
        _whatever_answers(there, ways, question, order.bound, doubt),
    )
    from undersong.advice.set_check import faults

    wrong = faults(made)
    if wrong:
        raise WrongAnswer(wrong)
    return made


def _playable(asked: SetAsked, found: Ways) -> tuple[SetAsked, tuple[Way, ...]]:
    """What is asked of the tunes that can be played, and their ways, numbered as they are there."""
    if not found.not_played:
        return asked, found.ways
    told = told_not_played(found.not_played)
    stay = list(dict.fromkeys(way.tune for way in found.ways))
    if not stay:
        raise Unfulfillable(f"no tune of the set can be played as asked: {told}")
    for at, end in ((asked.first, "first"), (asked.last, "last")):
        if at is not None and at not in stay:
            raise Unfulfillable(
                f"{asked.tunes[at].title} cannot be {end}, since these tunes cannot be played as "
                f"asked: {told}"
            )
    new = {old: number for number, old in enumerate(stay)}
    there = replace(
        asked,
        tunes=tuple(asked.tunes[old] for old in stay),
        first=None if asked.first is None else new[asked.first],
        last=None if asked.last is None else new[asked.last],
    )
    return there, tuple(replace(way, tune=new[way.tune]) for way in found.ways)


def _doubt(asked: SetAsked, ways: Sequence[Way]) -> tuple[bool, int]:
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


def _whatever_answers(
    asked: SetAsked, ways: Sequence[Way], question: SetQuestion, bound: int, doubt: int
) -> int:
    """ms below which no set can be, however cheap the joins that other answers have; bound: ms
    below which no order is with the best ones."""
    joins = 0
    for group in asked.medleys.values():
        most = dict.fromkeys(group, 0)
        for before, after in permutations((way for way in ways if way.tune in group), 2):
            if before.tune != after.tune and before.strung == after.strung:
                join = join_of(before.arrangement, after.arrangement)
                most[after.tune] = max(most[after.tune], join)
        joins += sum(most.values()) - min(most.values())  # nothing is joined to the first
    joined = priced({"join": joins}, asked.prices)
    return max(0, max(bound - joined, question.at_least) - doubt)


def _check_medleys(asked: SetAsked, ways: Sequence[Way]) -> None:
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


def _question(asked: SetAsked, ways: Sequence[Way]) -> SetQuestion:
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


def _work(way: Way) -> Amounts:
    return {} if way.arrangement is None else {"work": way.arrangement.asked_cost}


def _joined(asked: SetAsked, before: Way, after: Way) -> bool:
    return any(before.tune in group and after.tune in group for group in asked.medleys.values())


def _step(asked: SetAsked, before: Way, after: Way) -> int | None:
    """ms; None where one cannot follow the other."""
    if before.tune == after.tune:
        return None
    if _joined(asked, before, after) and before.strung != after.strung:
        return None
    return priced(_before(asked, before, after), asked.prices)


def _before(asked: SetAsked, before: Way | None, after: Way) -> Amounts:
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


def _places(asked: SetAsked, ways: Sequence[Way]) -> Iterator[SetPlace]:
    before: Way | None = None
    for way in ways:
        old = asked.start if before is None else before.instrument
        amounts = {
            name: amount
            for name, amount in (_before(asked, before, way) | _work(way)).items()
            if amount or name == "join"
        }
        caution = retuned(asked.made_for if old is None else old, way.instrument, asked.made_for)
        yield SetPlace(
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


def _why(asked: SetAsked, question: SetQuestion, watch: Watch) -> str:
    """Why there is no order, and what would do, where that can be told in time."""
    try:
        least = None if asked.in_a_row is None else least_in_a_row(question, watch)
    except (OutOfTime, NotFound):
        return (
            "no order of these tunes holds what is asked; there was no time to see what would do: "
            "ask for less of in a row, first, last and medley, or allow more time"
        )
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
