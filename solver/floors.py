"""Bar by bar: what asks a bar as a whole, found by an exact pass.

Two things can be asked of a played bar: that it is rated at least so many percent, and that the
hand shifts in it at most so often. What a bar has been like so far is remembered from its first
moment to its last: backward, each of its moments has an outlook for every number of shifts left,
and for a bar that still has to become hard enough beside one that has been. The cheapest way of all
tells at which moment each bar becomes hard enough, and at which the hand may shift; held to those
moments the way is searched as it always is, and what is found there costs what the pass found, so
that no other moments could do better.

With conditions over the tune beside, the same is asked of a bundle (``solver.laid_out``).

Public: Floors, floored, shift_cap, shift_caps.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from scoring.choice import Bools
from scoring.difficulty import stretch_difficulty
from scoring.moment import Moment
from solver.arrays import FAR, Cost
from solver.bans import Ban
from solver.conditions.quota import Quota
from solver.counted import where_counted
from solver.graph import ChoiceGraph
from solver.links import LinkCost
from solver.passes import Costs
from solver.recalled import Recalled
from tune.tune import Tune

Both = tuple[Cost, Cost]
"""(nodes,) ms still to come, the node's own included: for a bar still to become hard enough, and
for one that has been; the same array where no floor is."""

Memory = tuple[Both, ...]
"""One for each number of shifts left, from none; a single one where nobody counts."""


@dataclass(frozen=True)
class Floors:
    """bound: what the cheapest way costs, FAR where there is none; at: moment → percent that the
    move into it is rated at least, on that way; still: moments into which the hand may not
    shift."""

    bound: int
    at: dict[int, int]
    still: frozenset[int] = frozenset()


def shift_caps(
    quotas: Sequence[Quota], tune: Tune, moments: Sequence[Moment]
) -> dict[int, int] | None:
    """Played bar → the most shifts in it; None where a quota asks anything else."""
    caps: dict[int, int] = {}
    for quota in quotas:
        most = shift_cap(quota)
        if most is None:
            return None
        for moment, there in zip(moments, where_counted(quota, tune, moments), strict=True):
            if there:
                caps[moment.bar] = min(most, caps.get(moment.bar, most))
    return caps


def shift_cap(quota: Quota) -> int | None:
    """How often the hand may shift in each bar by itself; None where the quota asks otherwise."""
    alone = quota.what == "shifts" and quota.each and not quota.least
    return quota.most if alone else None


def floored(
    graph: ChoiceGraph,
    costs: Costs,
    floors: Mapping[int, int],
    recalled: Recalled | None = None,
    shifts: Mapping[int, int] | None = None,
) -> tuple[Floors, Costs]:
    """What floors (played bar → percent) and caps on shifts (→ how many) ask at best, and the costs
    that hold to it; they leave no way where there is none. recalled: what was found before over
    the same links."""
    recalled = Recalled() if recalled is None else recalled
    bars = _Bars(graph, costs, floors, {} if shifts is None else shifts, recalled)
    ahead = bars.outlooks()
    first = bars.first(ahead[0][-1])
    bound = int(first.min())
    if bound >= FAR:
        nowhere = [np.zeros(len(layer), np.bool_) for layer in graph.layers]
        return Floors(bound, {}), costs.allowed(nowhere)
    found = bars.carried(ahead, first)
    return found, bars.held(found)


class _State(NamedTuple):
    """Where a way has come to: its node, whether its bar has been hard enough, the shifts left."""

    node: int
    been: bool
    shifts: int


@dataclass
class _Bars:
    graph: ChoiceGraph
    costs: Costs
    floors: Mapping[int, int]
    shifts: Mapping[int, int]
    recalled: Recalled

    def outlooks(self) -> list[Memory]:
        """What is still to come at every moment, from the last back."""
        moments, links = self.graph.moments, self.graph.links
        own = self.costs.nodes[-1] if links else self.costs.first
        out: list[Memory] = [self._ended(own, moments[-1].bar)]
        for index in range(len(links) - 1, -1, -1):
            before = self.costs.nodes[index] if index else self.costs.first
            here, link = moments[index].bar, self.costs.links[index]
            after, bar = out[-1], moments[index + 1].bar
            if bar != here:
                on = self._before(link, after, len(after) - 1, bar)[0]
                out.append(self._ended(_added(before, on), here))
                continue
            memory = []
            for left in range(len(after)):
                on, been = self._before(link, after, left, bar)
                still = _added(before, on)
                memory.append((still, _added(before, been) if here in self.floors else still))
            out.append(tuple(memory))
        out.reverse()
        return out

    def _ended(self, value: Cost, bar: int) -> Memory:
        """At a bar's last moment: what is still not hard enough leads nowhere."""
        both = (np.full_like(value, FAR), value) if bar in self.floors else (value, value)
        return (both,) * (self.shifts.get(bar, 0) + 1)

    def _before(self, link: LinkCost, after: Memory, left: int, bar: int) -> Both:
        """(nodes before,): the least over the link, with so many shifts left before it and the bar
        after still to become hard enough, and with it having been."""
        if bar not in self.shifts:
            return self._into(link, after[0], bar)
        still, been = self._into(self._calm(link), after[left], bar)
        if left:
            other = self._into(link, after[left - 1], bar)
            still, been = np.minimum(still, other[0]), np.minimum(been, other[1])
        return still, been

    def _into(self, link: LinkCost, after: Both, bar: int) -> Both:
        still, been = after
        least = self.floors.get(bar, 0)
        if not least:
            best = self.recalled.back(link, still)
            return best, best
        becomes = self.recalled.back(self._hard(link, least), been)
        return np.minimum(self.recalled.back(link, still), becomes), self.recalled.back(link, been)

    def _hard(self, link: LinkCost, least: int) -> LinkCost:
        return self.recalled.banned(link, (Ban("easy", least - 1),))

    def _calm(self, link: LinkCost) -> LinkCost:
        return self.recalled.banned(link, (Ban("shifts", 0),))

    def first(self, ahead: Both) -> Cost:
        """(nodes of the first layer,): what the best way from each costs."""
        hard = self._hard_at_first(self.floors)
        return ahead[0] if hard is None else np.where(hard, ahead[1], ahead[0])

    def _hard_at_first(self, floors: Mapping[int, int]) -> Bools | None:
        """(nodes of the first layer,): which are hard enough to hold; None where that is not
        asked."""
        least = floors.get(self.graph.moments[0].bar, 0)
        first = self.graph.layers[0]
        return (stretch_difficulty(first.shapes) >= least)[first.shape] if least else None

    def carried(self, ahead: list[Memory], first: Cost) -> Floors:
        """Along the first of the cheapest ways: the moment at which each bar becomes hard enough,
        and those at which the hand has no shift to spend."""
        moments = self.graph.moments
        node = int(np.flatnonzero(first == first.min())[0])
        bound = to_come = int(first[node])
        hard = self._hard_at_first(self.floors)
        here = _State(node, hard is not None and bool(hard[node]), len(ahead[0]) - 1)
        at = {0: self.floors[moments[0].bar]} if here.been else {}
        calm = set()
        for index, link in enumerate(self.costs.links):
            to_come -= int((self.costs.nodes[index] if index else self.costs.first)[here.node])
            if moments[index + 1].bar != moments[index].bar:
                here = _State(here.node, False, len(ahead[index + 1]) - 1)
            ways = self._steps(link, here, ahead[index + 1], moments[index + 1].bar, to_come)
            # the first node that leads on; from one node all ways on cost the same
            step, to_come, calmly = min(ways, key=lambda way: way[0].node)
            if step.been and not here.been:
                at[index + 1] = self.floors[moments[index + 1].bar]
            if calmly:
                calm.add(index + 1)
            here = step
        return Floors(bound, at, frozenset(calm))

    def _steps(
        self, link: LinkCost, here: _State, ahead: Memory, bar: int, to_come: int
    ) -> list[tuple[_State, int, bool]]:
        """The first step that costs just what is to come, what is then to come, and whether it may
        not shift: for each memory that it may lead to."""
        least = self.floors.get(bar, 0)
        counted = bar in self.shifts
        ways = [(self._calm(link), here.shifts)] if counted else [(link, 0)]
        if counted and here.shifts:
            ways.append((link, here.shifts - 1))
        out = []
        for taken, left in ways:
            calmly = counted and left == here.shifts
            kinds = [(taken, here.been)]
            if least and not here.been:
                kinds.insert(0, (self._hard(taken, least), True))
            for each, been in kinds:
                node, rest = _step(each, here.node, ahead[left][been], to_come)
                if node >= 0:
                    out.append((_State(node, been, left), rest, calmly))
        return out

    def held(self, found: Floors) -> Costs:
        """The costs with nothing easier at those moments, and no shift where none may be."""
        links = list(self.costs.links)
        for moment, least in found.at.items():
            if moment:
                links[moment - 1] = self._hard(links[moment - 1], least)
        for moment in found.still:
            links[moment - 1] = self._calm(links[moment - 1])
        held = replace(self.costs, links=tuple(links))
        if 0 not in found.at:
            return held
        hard = self._hard_at_first({self.graph.moments[0].bar: found.at[0]})
        return held.allowed([hard, *[None] * len(self.graph.links)])


def _added(own: Cost, rest: Cost) -> Cost:
    return np.where((own < FAR) & (rest < FAR), own + rest, FAR)


def _step(link: LinkCost, node: int, on: Cost, left: int) -> tuple[int, int]:
    """The first node that a step leads to from which the way on costs just what is left, and what
    is left there; -1 where none does."""
    first = link.first_exact(node, on, left)
    return (first, int(on[first])) if first >= 0 else (-1, 0)
