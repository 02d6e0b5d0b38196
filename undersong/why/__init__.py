"""Why a bar is played as it is: what its moments cost and for what, how many choices the hard rules
left, and what the best answers with another choice there would cost, there and elsewhere.

Every number comes from bills and from the graph that the search itself uses. Another choice is
another fret, string or stroke somewhere in that bar; other fingers alone are none. Each further
answer differs in the bar from all before it, and is the best that does, under the same weights and
conditions.

Public: explain_bar, Explanation, Account, MOST.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scoring.terms import TERMS
from scoring.weights import Weights
from solver.errors import ArrangeError, NotFound, NotPlayable, Unfulfillable
from solver.question import Apart, Question
from solver.result import PROVEN, Arrangement
from solver.watch import OutOfTime, Watch
from tune.bar_names import bar_name, bars_there
from undersong.why.cells import none_left
from undersong.why.others import Other, other_of
from undersong.why.room import Room, rooms_of

if TYPE_CHECKING:
    from undersong.session import Session

MOST = 20
"""How many other choices can be asked for."""

COUNTING = 3.0
"""Seconds that laying out the choices may take, however little time is left."""

NO_TIME = "there was no time to look at other choices; allow more"


@dataclass(frozen=True)
class Account:
    """What one moment costs. index: which of the arrangement's moments; terms: (name, amount, ms),
    the dearest first; cost: ms, the move that leads there included; room: what the hard rules left,
    None where the search does not know this choice."""

    index: int
    terms: tuple[tuple[str, int, int], ...]
    cost: int
    room: Room | None


@dataclass(frozen=True)
class Explanation:
    """bar: which of ``tune.played``; accounts: one a moment of it; others: other choices there, the
    best first; end: why there are no more, in a sentence; better: ms that the best answer under the
    arrangement's own settings costs less than it does, 0 where none was found that does; proven:
    whether all of this is."""

    arrangement: Arrangement
    bar: int
    accounts: tuple[Account, ...]
    others: tuple[Other, ...]
    end: str
    better: int
    proven: bool

    @property
    def cost(self) -> int:
        """ms that the bar costs."""
        return sum(account.cost for account in self.accounts)


def explain_bar(
    arrangement: Arrangement,
    bar: int,
    time: int = 1,
    more: int = 3,
    *,
    session: "Session | None" = None,
    watch: Watch | None = None,
) -> Explanation:
    """Why the bar printed with that number is played as it is, that time through.

    more: how many other choices to price (0 to ``MOST``); session: one of the same tune,
    instrument, hand and style, so that it need not be made anew. Out of time, what was found so far
    is told, and ``proven`` is false. Raises ArrangeError for a bar, a time or a number that cannot
    be, NotPlayable where the conditions leave no way at all, and Stopped.
    """
    from undersong.session import Session

    if not 0 <= more <= MOST:
        raise ArrangeError(f"0 to {MOST} other choices can be asked for, not {more}")
    number = played_bar(arrangement, bar, time)
    watch = Watch() if watch is None else watch
    if session is None:
        session = Session(
            arrangement.tune,
            instrument=arrangement.instrument,
            hand=arrangement.hand,
            style=arrangement.style,
        )
    try:
        some = Watch(max(COUNTING, watch.left), watch.tell, watch.stop)
        asked = session.search.question(
            arrangement.weights, arrangement.conditions, watch=some, settle=False
        )
    except OutOfTime:
        accounts = _accounts(arrangement, number, {})
        return Explanation(arrangement, number, accounts, (), NO_TIME, 0, False)
    accounts = _accounts(arrangement, number, rooms_of(asked, arrangement, number))
    better, sure = _better(session, arrangement, watch)
    others, end, proven = _others(session, asked, arrangement, number, more, watch)
    return Explanation(arrangement, number, accounts, others, end, better, sure and proven)


def played_bar(arrangement: Arrangement, bar: int, time: int = 1) -> int:
    """Which of the played bars is the printed one, that time through; ArrangeError for none."""
    tune = arrangement.tune
    written = [index for index, one in enumerate(tune.bars) if one.number == bar]
    times = [played.number for played in tune.played if played.written in written]
    if not written:
        there = bars_there(one.number for one in tune.bars)
        raise ArrangeError(f"the tune has no bar {bar}; it has {there}")
    if not 1 <= time <= len(times):
        often = "once" if len(times) == 1 else f"{len(times)} times"
        raise ArrangeError(f"{bar_name(bar)} is played {often}; there is no time {time}")
    number = times[time - 1]
    if all(moment.bar != number for moment in arrangement.moments):
        raise ArrangeError(f"nothing begins in {bar_name(bar)}; what is held there began before it")
    return number


def _accounts(arrangement: Arrangement, bar: int, rooms: dict[int, Room]) -> tuple[Account, ...]:
    weights: Weights = arrangement.weights
    order = {term.about.name: place for place, term in enumerate(TERMS)}
    found = []
    for index, moment in enumerate(arrangement.moments):
        if moment.bar != bar:
            continue
        rows = [
            (name, amount, amount * weights[name])
            for name, amount in arrangement.bill.amounts[index].items()
        ]
        rows.sort(key=lambda row: (-row[2], order[row[0]]))
        cost = arrangement.bill.at(index)
        found.append(Account(index, tuple(rows), cost, rooms.get(index)))
    return tuple(found)


def _better(session: "Session", arrangement: Arrangement, watch: Watch) -> tuple[int, bool]:
    """ms by which the best answer costs less, and whether that is sure."""
    if arrangement.conditions.costliest_first:
        return 0, True  # what comes first there is not the cost
    try:
        best = session.arrange(arrangement.weights, arrangement.conditions, watch=watch)
    except (OutOfTime, NotFound):
        return 0, False
    except (Unfulfillable, NotPlayable):
        return 0, True  # whoever made it, it is not among the answers of these settings
    return max(0, arrangement.asked_cost - best.asked_cost), best.proof.status == PROVEN


def _others(
    session: "Session",
    asked: Question,
    arrangement: Arrangement,
    bar: int,
    more: int,
    watch: Watch,
) -> tuple[tuple[Other, ...], str, bool]:
    """Other choices there, why there are no more, and whether that is proven."""
    weights, conditions = arrangement.weights, arrangement.conditions
    known: list[Arrangement] = [arrangement]
    found: list[Other] = []
    while len(found) < more:
        if none_left(asked, [one.choices for one in known], bar):
            return tuple(found), _no_more(len(found)), True
        apart: Sequence[Apart] = [Apart(one.choices, 1, frozenset((bar,))) for one in known]
        try:
            other = session.arrange(weights, conditions, apart=apart, watch=watch)
        except (Unfulfillable, NotPlayable):
            return tuple(found), _no_more(len(found)), True
        except (OutOfTime, NotFound):
            end = f"there was no time to find or rule out more after {len(found)}; allow more"
            return tuple(found), end, False
        known.append(other)
        found.append(other_of(arrangement, other, bar))
        if other.proof.status != PROVEN:
            end = f"the last is not proven: at most {other.proof.gap} ms above the best such"
            return tuple(found), end, False
    if not found:
        return (), "", True
    return tuple(found), "each is proven the best that differs there from all before it", True


def _no_more(found: int) -> str:
    words = "other choice" if not found else "further choice"
    return f"no {words} there holds what is asked; that is proven"
