"""What a player likes, as something that weights can be learned from.

Public: FileLike, PinLike, Like, Group, groups_of, count_of, Sessions, asked_without_likes,
liked_pins, NAMES.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from scoring.terms import TERMS
from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.cost import extra_cost
from solver.conditions.pinned import BassManner
from solver.conditions.pins import Pin
from solver.errors import ArrangeError
from solver.learning import Count
from solver.result import PROVEN, UNPROVEN, Arrangement, Proof
from solver.watch import OutOfTime, Watch
from undersong.compared import bars_apart, named_bars

if TYPE_CHECKING:
    from undersong.session import Session

NAMES = tuple(term.about.name for term in TERMS)


@dataclass(frozen=True)
class FileLike:
    """A whole arrangement that is liked just as it is."""

    name: str
    arrangement: Arrangement


@dataclass(frozen=True)
class PinLike:
    """Something pinned that is liked; all pins of one tune are liked together. said: the pin as
    its player counts frets, where not from the nut."""

    pin: Pin
    said: str = ""

    @property
    def name(self) -> str:
        return f"'{self.said or self.pin}'"


Like = FileLike | PinLike
Sessions = list[tuple[tuple[object, ...], "Session"]]
"""Settings, and the session that was opened for them."""


def asked_without_likes(conditions: Conditions) -> Conditions:
    """What an answer must hold whatever is liked: all but pins (a bass manner of its own stays) and
    nearness to given frets, which say what is liked; and but for the weight of the costliest
    moment, which is no sum over moments."""
    manners = tuple(pin for pin in conditions.pins if isinstance(pin.pinned, BassManner))
    return replace(conditions, pins=manners, near=None, costliest=None)


def liked_pins(conditions: Conditions) -> tuple[Pin, ...]:
    """The pins that fix something; what is forbidden is not liked but asked."""
    return tuple(
        pin for pin in conditions.pins if not pin.forbid and not isinstance(pin.pinned, BassManner)
    )


@dataclass
class Group:
    """One question to the search, and the likes that are answers to it: a file's arrangement, or a
    tune's pins together. asked: what every rival must hold; pins: what the liked way must hold
    besides; fixed: the liked way where it is known. rivals, ways: what was met so far; free: where
    pins are liked, the best under each of the weights tried, nothing that is liked asked for."""

    likes: tuple[Like, ...]
    session: "Session"
    asked: Conditions
    pins: tuple[Pin, ...] = ()
    fixed: Count | None = None
    rivals: dict[Count, None] = field(default_factory=dict)
    ways: dict[Count, None] = field(default_factory=dict)
    free: dict[Weights, Arrangement] = field(default_factory=dict)

    @property
    def name(self) -> str:
        return ", ".join(like.name for like in self.likes)

    def best(self, weights: Weights, watch: Watch) -> Count:
        """The best of all under those weights, proven; OutOfTime where there was no proof."""
        found = self._proven(weights, self.asked, watch)
        if self.pins:
            self.free[weights] = found
        return count_of(found, self.asked)

    def liked(self, weights: Weights, watch: Watch) -> Count:
        """The best of what is liked under those weights."""
        if self.fixed is not None:
            return self.fixed
        held = replace(self.asked, pins=(*self.asked.pins, *self.pins))
        return count_of(self._proven(weights, held, watch), self.asked)

    def besides(self, before: Weights, after: Weights) -> str | None:
        """The bars without a liked pin that the best under the one weights has otherwise than the
        best under the other, by name; empty for none, None where whole files are liked."""
        if not (before in self.free and after in self.free):
            return None
        tune = self.session.tune
        meant = frozenset().union(*(pin.bars.of(tune) for pin in self.pins))
        apart = bars_apart(self.free[before], self.free[after])
        others = [number for number in apart if tune.played[number - 1].written not in meant]
        return named_bars(tune, others) if others else ""

    def _proven(self, weights: Weights, conditions: Conditions, watch: Watch) -> Arrangement:
        found = self.session.arrange(weights, conditions, watch=watch)
        if found.proof.status != PROVEN:
            raise OutOfTime("there was no time to prove an answer best; allow more")
        return found


def count_of(arrangement: Arrangement, asked: Conditions) -> Count:
    """Its amounts, and what ``asked`` would charge for it."""
    amounts = tuple(arrangement.bill.terms[name][0] for name in NAMES)
    extra = extra_cost(
        asked, arrangement.tune, arrangement.moments, arrangement.choices, arrangement.bill
    )
    return Count(amounts, extra)


def groups_of(
    likes: Sequence[Like],
    session: "Session | None",
    conditions: Conditions,
    sessions: "Sessions",
) -> list[Group]:
    """The likes by what they are answers to. session, conditions: of the tune that pins are in;
    sessions: those of files, kept from one time to the next.

    Raises ArrangeError for an arrangement that breaks a rule, and for pins without a tune.
    """
    from undersong.session import Session

    groups: list[Group] = []
    for like in likes:
        if isinstance(like, PinLike):
            continue
        one = like.arrangement
        asked = asked_without_likes(one.conditions)
        _check(like, asked)
        settings = (one.tune, one.instrument, one.hand, one.style)
        known = next((made for key, made in sessions if key == settings), None)
        if known is None:
            known = Session(one.tune, instrument=one.instrument, hand=one.hand, style=one.style)
            sessions.append((settings, known))
        groups.append(Group((like,), known, asked, fixed=count_of(one, asked)))
    pinned = tuple(like for like in likes if isinstance(like, PinLike))
    if pinned:
        if session is None:
            raise ArrangeError("liked pins need a tune that they stand in; name it")
        pins = tuple(like.pin for like in pinned)
        liked = set(liked_pins(conditions))
        rest = tuple(pin for pin in conditions.pins if pin not in liked)
        asked = replace(conditions, pins=rest, near=None, costliest=None)
        groups.append(Group(pinned, session, asked, pins=pins))
    return groups


def _check(like: FileLike, asked: Conditions) -> None:
    """ArrangeError for an arrangement that no search could give."""
    from undersong.check import check

    one = replace(like.arrangement, conditions=asked)
    one = replace(one, proof=Proof(UNPROVEN, one.asked_cost, 0))
    faults = check(one)
    if faults:
        raise ArrangeError(
            f"{like.name}: no weights can make it the best, because it breaks a rule: {faults[0]}"
        )
