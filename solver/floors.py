"""Floors: bars that are to be rated at least so many percent, found by an exact pass.

Whether a bar has been hard enough so far is remembered from its first moment to its last: backward,
each moment of such a bar has two outlooks, one for a bar that still has to become hard enough, one
for a bar that has been. The cheapest way of all tells at which moment of each bar it becomes hard
enough; held to those moments the way is searched as it always is, and what is found there costs
what the pass found, so that no other moment could do better.

With conditions over the tune beside, the same is asked of a bundle (``solver.laid_out``).

Public: Floors, floored.
"""

from dataclasses import dataclass, replace

import numpy as np

from scoring.choice import Bools
from scoring.difficulty import stretch_difficulty
from solver.arrays import FAR, Cost
from solver.bans import Ban
from solver.graph import ChoiceGraph
from solver.links import LinkCost
from solver.passes import Costs
from solver.recalled import Recalled

Both = tuple[Cost, Cost]
"""(nodes,) ms still to come, the node's own included: for a bar still to become hard enough, and
for one that has been; the same array where no floor is."""


@dataclass(frozen=True)
class Floors:
    """bound: what the cheapest way costs, FAR where there is none; at: moment → percent that the
    move into it is rated at least, on that way."""

    bound: int
    at: dict[int, int]


def floored(
    graph: ChoiceGraph, costs: Costs, floors: dict[int, int], recalled: Recalled | None = None
) -> tuple[Floors, Costs]:
    """What the floors (played bar → percent) ask at best, and the costs that hold to it; they
    leave no way where there is none. recalled: what was found before over the same links."""
    recalled = Recalled() if recalled is None else recalled
    ahead = _outlooks(graph, costs, floors, recalled)
    first = _first(graph, floors, ahead[0])
    bound = int(first.min())
    if bound >= FAR:
        nowhere = [np.zeros(len(layer), np.bool_) for layer in graph.layers]
        return Floors(bound, {}), costs.allowed(nowhere)
    at = _carried(graph, costs, floors, ahead, first, recalled)
    return Floors(bound, at), _held(graph, costs, at, recalled)


def _outlooks(
    graph: ChoiceGraph, costs: Costs, floors: dict[int, int], recalled: Recalled
) -> list[Both]:
    """What is still to come at every moment, from the last back."""
    moments = graph.moments
    own = costs.nodes[-1] if graph.links else costs.first
    out: list[Both] = [_ended(own, moments[-1].bar in floors)]
    for index in range(len(graph.links) - 1, -1, -1):
        before = costs.nodes[index] if index else costs.first
        here, next_one = moments[index].bar, moments[index + 1].bar
        on = _before(costs.links[index], out[-1], floors.get(next_one, 0), recalled)
        if next_one != here:
            both = _ended(_added(before, on[0]), here in floors)
        else:
            both = (_added(before, on[0]), _added(before, on[1]))
            both = both if here in floors else (both[0], both[0])
        out.append(both)
    out.reverse()
    return out


def _ended(value: Cost, floor: bool) -> Both:
    """At a bar's last moment: what is still not hard enough leads nowhere."""
    return (np.full_like(value, FAR), value) if floor else (value, value)


def _before(link: LinkCost, after: Both, least: int, recalled: Recalled) -> Both:
    """(nodes before,) the least over the link: with the bar after still to become hard enough, and
    with it having been."""
    still, been = after
    if not least:
        best = recalled.back(link, still)
        return best, best
    becomes = recalled.back(_hard_only(link, least, recalled), been)
    return np.minimum(recalled.back(link, still), becomes), recalled.back(link, been)


def _hard_only(link: LinkCost, least: int, recalled: Recalled) -> LinkCost:
    return recalled.banned(link, (Ban("easy", least - 1),))


def _added(own: Cost, rest: Cost) -> Cost:
    return np.where((own < FAR) & (rest < FAR), own + rest, FAR)


def _first(graph: ChoiceGraph, floors: dict[int, int], ahead: Both) -> Cost:
    """(nodes of the first layer,): what the best way from each costs."""
    hard = _hard_at_first(graph, floors)
    return ahead[0] if hard is None else np.where(hard, ahead[1], ahead[0])


def _hard_at_first(graph: ChoiceGraph, floors: dict[int, int]) -> Bools | None:
    """(nodes of the first layer,): which are hard enough to hold; None where that is not asked."""
    least = floors.get(graph.moments[0].bar, 0)
    first = graph.layers[0]
    return (stretch_difficulty(first.shapes) >= least)[first.shape] if least else None


def _carried(
    graph: ChoiceGraph,
    costs: Costs,
    floors: dict[int, int],
    ahead: list[Both],
    first: Cost,
    recalled: Recalled,
) -> dict[int, int]:
    """Along the first of the cheapest ways: the moment at which each bar becomes hard enough."""
    moments = graph.moments
    node = int(np.flatnonzero(first == first.min())[0])
    left = int(first[node])
    hard = _hard_at_first(graph, floors)
    been = hard is not None and bool(hard[node])
    at = {0: floors[moments[0].bar]} if been else {}
    for index, link in enumerate(costs.links):
        left -= int((costs.nodes[index] if index else costs.first)[node])
        least = floors.get(moments[index + 1].bar, 0)
        if moments[index + 1].bar != moments[index].bar:
            been = False
        still, has_been = ahead[index + 1]
        if not least or been:
            node, left = _step(link, node, has_been if been else still, left)
            continue
        easy = _step(link, node, still, left)
        becomes = _step(_hard_only(link, least, recalled), node, has_been, left)
        # the first node of the two; from one node either way leads to the same cost
        if becomes[0] >= 0 and (easy[0] < 0 or becomes[0] <= easy[0]):
            node, left = becomes
            been = True
            at[index + 1] = least
        else:
            node, left = easy
    return at


def _step(link: LinkCost, node: int, on: Cost, left: int) -> tuple[int, int]:
    """The first node that a step leads to from which the way on costs just what is left, and what
    is left there; -1 where none does."""
    close = link.close(np.array([node]), np.zeros(1, np.int64), link.ahead(on), np.int64(left))
    head = link.link.fan.node[close.entry]
    exact = (close.move + link.line[close.entry] + on[head]) == left
    if not exact.any():
        return -1, 0
    first = int(head[exact].min())
    return first, int(on[first])


def _held(graph: ChoiceGraph, costs: Costs, at: dict[int, int], recalled: Recalled) -> Costs:
    """The costs with nothing easier at those moments."""
    links = list(costs.links)
    for moment, least in at.items():
        if moment:
            links[moment - 1] = _hard_only(links[moment - 1], least, recalled)
    held = replace(costs, links=tuple(links))
    if 0 not in at:
        return held
    hard = _hard_at_first(graph, {graph.moments[0].bar: at[0]})
    return held.allowed([hard, *[None] * len(graph.links)])
