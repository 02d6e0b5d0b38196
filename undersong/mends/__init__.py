"""When it cannot be played: what clashes, and the cheapest changes under which it can be.

Every idea is looked at in three steps, each only where the one before left hope: whether the bars
that clash can be played with it, whether all bars can, and what the best answer costs, which is
solved and checked like any other. So every mend named is sufficient.

Public: clash_of, mends_of, Mend, Mends.
"""

from collections.abc import Iterator

from scoring.weights import Weights
from solver.clash import Clash, can_be_played, clash_of_bars
from solver.demands import Wanted, demands_in
from solver.errors import ArrangeError
from solver.impossible import fewest_shapes, least_and_most
from solver.loose import Loose, TooMuch
from solver.result import PROVEN
from solver.search import Search
from solver.watch import OutOfTime, Standing, Stopped, Watch
from undersong.mends.mend import Idea, Mend, Mends
from undersong.mends.music import music_ideas
from undersong.mends.over import Reached, clash_over_tune
from undersong.mends.settings import setting_ideas
from undersong.mends.wishes import wish_ideas

__all__ = ["Mend", "Mends", "clash_of", "mends_of"]

ONE_ANSWER = 6.0
"""Seconds that the search for one mend's answer may take."""


def clash_of(search: Search, wanted: Wanted, weights: Weights, watch: Watch) -> Clash | None:
    """Why it cannot be arranged as asked; None where it can.

    Raises ArrangeError for what is no question of playing, OutOfTime and Stopped.
    """
    found = clash_of_bars(wanted, watch)
    return clash_over_tune(search, wanted, weights, watch) if found is None else found


def mends_of(
    wanted: Wanted, clash: Clash, weights: Weights, watch: Watch, transposed: int = 0
) -> Mends:
    """Every mend that was found in the watch's time, the cheapest first.

    transposed: semitones that the tune was moved by already, for what is to be typed. Raises
    Stopped.
    """
    found: list[Mend] = []
    tried, untried = 0, 0
    for idea in _ideas(wanted, clash, weights, watch, transposed):
        if watch.left <= 0:
            untried += 1
            continue
        tried += 1
        try:
            mend = _solved(idea, clash, weights, watch)
        except OutOfTime:
            untried, tried = untried + 1, tried - 1
            continue
        if mend is not None:
            found.append(mend)
    found.sort(key=lambda mend: (mend.cost, mend.words))
    return Mends(_first_of_limits(found), tried, untried)


def _ideas(
    wanted: Wanted, clash: Clash, weights: Weights, watch: Watch, transposed: int
) -> Iterator[Idea]:
    if clash.played == (0, 0):
        question = Reached(wanted, weights).question(wanted.conditions)
        fewest = fewest_shapes(question)
        yield from wish_ideas(wanted, lambda quota: least_and_most(question, quota), fewest)
        return
    yield from wish_ideas(wanted, lambda quota: None, 0)
    yield from music_ideas(wanted, clash, watch)
    yield from setting_ideas(wanted, transposed)


def _solved(idea: Idea, clash: Clash, weights: Weights, watch: Watch) -> Mend | None:
    """The idea with its price; None where it does not mend."""
    from undersong.session import Session

    watch.look(Standing("looking for mends", 0, 0))
    request = idea.request
    try:
        if clash.played != (0, 0) and not _might(request, clash):
            return None
        session = Session(
            request.tune, instrument=request.instrument, hand=request.hand, style=request.style
        )
        some = Watch(seconds=min(watch.left, ONE_ANSWER), tell=watch.tell, stop=watch.stop)
        made = session.arrange(weights, request.conditions, watch=some)
    except (OutOfTime, Stopped):
        raise
    except ArrangeError:
        return None
    return Mend(
        idea.kind, idea.words, idea.option, idea.loses, request,
        made.asked_cost, made.proof.status == PROVEN,
    )  # fmt: skip


def _might(request: Wanted, clash: Clash) -> bool:
    """Whether the bars that clash, then all bars, can be played."""
    first, last = clash.played
    written = [bar.written for bar in request.tune.played[first - 1 : last]]
    try:
        here = frozenset(demands_in(request, written))
        return Loose(request).playable(here, first, last) and can_be_played(request)
    except TooMuch:
        return True  # the search will tell


def _first_of_limits(found: list[Mend]) -> tuple[Mend, ...]:
    """Of the same limit loosened further and further only the tightest that can be held."""
    kept: list[Mend] = []
    seen: set[str] = set()
    order = {id(mend): place for place, mend in enumerate(found)}
    for mend in sorted(found, key=lambda mend: (_looseness(mend), order[id(mend)])):
        numbered = mend.kind == "shapes" and mend.option.startswith("--shapes ")
        if mend.kind in ("ceiling", "highest") or mend.kind.startswith("limit") or numbered:
            if mend.kind in seen:
                continue
            seen.add(mend.kind)
        kept.append(mend)
    return tuple(sorted(kept, key=lambda mend: order[id(mend)]))


def _looseness(mend: Mend) -> int:
    """How far the limits of a request are from nothing at all."""
    conditions = mend.request.conditions
    shapes = conditions.shapes
    total = mend.request.style.bass_ceiling + mend.request.style.highest
    total += 0 if shapes is None else shapes.most or 0
    for quota in conditions.quotas:
        total += (quota.most or 0) - (quota.least or 0)
    return total
