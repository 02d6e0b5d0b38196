"""When it cannot be played: what clashes, and the cheapest changes under which it can be.

Every idea is looked at in three steps, each only where the one before left hope: whether the bars
that clash can be played with it, whether all bars can, and what the best answer costs, which is
solved and checked like any other. So every mend named is sufficient.

Public: clash_of, mends_of, pin_mends, Mend, Mends.
"""

from collections.abc import Collection, Iterable, Iterator
from contextlib import suppress

from scoring.weights import Weights
from solver.clash import Clash, can_be_played, clash_of_bars
from solver.demands import Wanted, demands_in
from solver.errors import ConditionError, NotFound, NotPlayable, StyleError, Unfulfillable
from solver.impossible import fewest_shapes, least_and_most
from solver.loose import Loose, TooMuch
from solver.result import PROVEN
from solver.search import Search
from solver.watch import OutOfTime, Standing, Watch
from undersong.mends.melody import may_sing, melody_clash, melody_ideas
from undersong.mends.mend import Idea, Kind, Mend, Mends, in_order
from undersong.mends.music import music_ideas
from undersong.mends.over import clash_over_tune
from undersong.mends.settings import setting_ideas
from undersong.mends.wishes import wish_ideas

__all__ = ["Mend", "Mends", "clash_of", "mends_of", "pin_mends"]

ONE_ANSWER = 6.0
"""Seconds that the search for one mend's answer may take, and no more than half of what is left."""


def clash_of(search: Search, wanted: Wanted, weights: Weights, watch: Watch) -> Clash | None:
    """Why it cannot be arranged as asked; None where it can.

    Raises ArrangeError for what is no question of playing, OutOfTime and Stopped.
    """
    sung = melody_clash(wanted)
    if sung is not None:
        return sung
    try:
        found = clash_of_bars(wanted, watch)
    except TooMuch:
        found = None  # the search will tell
    return clash_over_tune(search, wanted, weights, watch) if found is None else found


def mends_of(
    wanted: Wanted,
    clash: Clash,
    weights: Weights,
    watch: Watch,
    transposed: int = 0,
    only: Collection[Kind] = tuple(Kind),
) -> Mends:
    """Every mend that was found in the watch's time, the cheapest first.

    transposed: semitones that the tune was moved by already, for what is to be typed; only: the
    kinds that are looked for. Raises Stopped.
    """
    found: list[Mend] = []
    tried, untried = 0, 0
    ideas = _ideas(wanted, clash, weights, watch, transposed)
    for idea in _in_turn(idea for idea in ideas if idea.kind in only):
        if any(_is_nearer(mend.idea, idea) for mend in found):
            continue
        if watch.left <= 0:
            untried += 1
            continue
        try:
            mend = _solved(idea, clash, weights, watch)
        except (OutOfTime, NotFound):
            untried += 1
            continue
        tried += 1
        if mend is not None:
            found.append(mend)
    return Mends(in_order(found), tried, untried)


def pin_mends(wanted: Wanted, weights: Weights, watch: Watch) -> tuple[Mend, ...]:
    """Which single pins, left out, are enough: tried at once, without looking for the clash first,
    which may take seconds. In the order of ``Mends.found``; raises Stopped."""
    found: list[Mend] = []
    for idea in wish_ideas(wanted, lambda quota: None, 0):
        if idea.kind is not Kind.PIN or watch.left <= 0:
            continue
        with suppress(OutOfTime, NotFound):
            mend = _solved(idea, None, weights, watch)
            found += [] if mend is None else [mend]
    return in_order(found)


def _in_turn(ideas: Iterable[Idea]) -> list[Idea]:
    """The first of each sort, then the second of each: so little time is enough for some of
    each. What is typed alike is one idea, however it was thought of."""
    met: dict[tuple[Kind, int], int] = {}
    typed: set[str] = set()
    turns = []
    for idea in ideas:
        if idea.option in typed:
            continue
        typed |= {idea.option} - {""}
        met[idea.of_one_sort] = met.get(idea.of_one_sort, 0) + 1
        turns.append((met[idea.of_one_sort], idea))
    return [idea for _, idea in sorted(turns, key=lambda turn: turn[0])]


def _is_nearer(found: Idea, other: Idea) -> bool:
    """Whether the other only loosens the same limit further than need be."""
    return (
        found.of_one_sort == other.of_one_sort
        and found.loosened is not None
        and other.loosened is not None
        and found.loosened <= other.loosened
    )


def _ideas(
    wanted: Wanted, clash: Clash, weights: Weights, watch: Watch, transposed: int
) -> Iterator[Idea]:
    if clash.played == (0, 0):
        search = Search(wanted.tune, wanted.instrument, wanted.hand, wanted.style)
        question = search.question(weights, wanted.conditions, settle=False)
        shapes = wanted.conditions.shapes
        most = None if shapes is None else shapes.most
        fewest = 0 if most is None else fewest_shapes(question, most)
        yield from wish_ideas(wanted, lambda quota: least_and_most(question, quota), fewest)
        return
    yield from wish_ideas(wanted, lambda quota: None, 0)
    yield from melody_ideas(wanted)
    yield from setting_ideas(wanted, transposed)
    with suppress(OutOfTime):  # what is too late to be thought of is too late to be tried
        yield from music_ideas(wanted, clash, watch)


def _solved(idea: Idea, clash: Clash | None, weights: Weights, watch: Watch) -> Mend | None:
    """The idea with its price; None where it is proven not to mend. clash: what is known to clash,
    looked at first.

    Raises Stopped, and OutOfTime or NotFound where it is not known.
    """
    from undersong.session import Session

    watch.look(Standing("looking for mends", 0, 0))
    request = idea.request
    some = watch.within(min(watch.left / 2, ONE_ANSWER))
    try:
        if clash is not None and clash.played != (0, 0) and not _might(request, clash):
            return None
        session = Session(
            request.tune, instrument=request.instrument, hand=request.hand, style=request.style
        )
        made = session.arrange(weights, request.conditions, watch=some)
    except (NotPlayable, Unfulfillable, ConditionError, StyleError):
        return None
    return Mend(idea, made.asked_cost, made.proof.status == PROVEN)


def _might(request: Wanted, clash: Clash) -> bool:
    """Whether the bars that clash, then all bars, can be played."""
    if not may_sing(request):
        return False
    first, last = clash.played
    written = [bar.written for bar in request.tune.played[first - 1 : last]]
    try:
        here = frozenset(demands_in(request, written))
        return Loose(request).playable(here, first, last) and can_be_played(request)
    except TooMuch:
        return True  # the search will tell
