"""Clashes between conditions over the whole tune, found by solving without each of them.

Public: clash_over_tune, Reached.
"""

from collections.abc import Sequence
from dataclasses import replace

from scoring.weights import Weights
from solver.clash import Clash
from solver.conditions import Conditions
from solver.conditions.words import Part, parts_of
from solver.demands import Wanted
from solver.errors import NotFound, NotPlayable, Unfulfillable
from solver.graph import ChoiceGraph, build_graph
from solver.impossible import proven_impossible
from solver.moments import moments_of
from solver.passes import Costs
from solver.pinning import manners_of, masks_of
from solver.question import Question
from solver.search import Search
from solver.watch import OutOfTime, Standing, Watch

ANSWER, NONE_AT_ALL, UNKNOWN = "answer", "none", "unknown"

SECONDS = 8.0
"""What one question may take."""


def clash_over_tune(search: Search, wanted: Wanted, weights: Weights, watch: Watch) -> Clash | None:
    """Which conditions cannot all be held, though every bar can be played; None where they can.

    Raises OutOfTime and Stopped.
    """
    conditions = replace(wanted.conditions, hardest=None)
    parts = parts_of(conditions)
    asked = _Asked(search, wanted, weights, watch)
    standing, why = asked(conditions)
    if standing == ANSWER:
        return None
    if len(parts) == 1 and standing == NONE_AT_ALL:
        return Clash((parts[0].words,), reason=why)
    for part in parts:
        alone, because = asked(part.alone)
        if alone == NONE_AT_ALL:
            return Clash((part.words,), reason=because)
    kept, proven, sure = parts, standing == NONE_AT_ALL, True
    for part in parts:
        without = tuple(other for other in kept if other is not part)
        if not without:
            break
        found, because = asked(_together(without))
        if found == NONE_AT_ALL:
            kept, proven, why = without, True, because
        sure = sure and found != UNKNOWN
    told = tuple(part.words for part in kept)
    return Clash(told, irreducible=proven and sure, proven=proven, reason=why)


def _together(parts: Sequence[Part]) -> Conditions:
    some = [part.alone for part in parts]
    return Conditions(
        alike=next((one.alike for one in some if one.alike), None),
        shapes=next((one.shapes for one in some if one.shapes), None),
        quotas=tuple(quota for one in some for quota in one.quotas),
        pins=tuple(pin for one in some for pin in one.pins),
    )


class Reached:
    """The graph under some conditions' pins, for proofs that need no search."""

    def __init__(self, wanted: Wanted, weights: Weights) -> None:
        self.wanted, self.weights = wanted, weights
        self._graphs: dict[tuple[tuple[int, str], ...], tuple[ChoiceGraph, Costs]] = {}

    def question(self, conditions: Conditions) -> Question:
        """Raises NotPlayable where a moment has nothing left."""
        wanted = self.wanted
        manners = manners_of(wanted.tune, conditions.pins)
        key = tuple(sorted(manners.items()))
        if key not in self._graphs:
            courses = len(wanted.instrument.courses)
            moments = moments_of(wanted.tune, wanted.style, courses, manners)
            graph = build_graph(
                moments, wanted.instrument, wanted.hand, wanted.style, tune=wanted.tune
            )
            self._graphs[key] = graph, Costs.of(graph, self.weights)
        graph, costs = self._graphs[key]
        masks = masks_of(
            graph, wanted.tune, conditions, wanted.instrument, wanted.hand, wanted.style
        )
        return Question(wanted.tune, graph.moments, graph, costs.allowed(masks), conditions)


class _Asked:
    """Whether conditions can be held."""

    def __init__(self, search: Search, wanted: Wanted, weights: Weights, watch: Watch) -> None:
        self.search, self.weights, self.watch = search, weights, watch
        self.reached = Reached(wanted, weights)

    def __call__(self, conditions: Conditions) -> tuple[str, str]:
        """ANSWER, NONE_AT_ALL or UNKNOWN, and the proof in words where there is one in words."""
        watch = self.watch
        watch.look(Standing("looking for what clashes", 0, 0))
        try:
            why = proven_impossible(self.reached.question(conditions))
            if why is not None:
                return NONE_AT_ALL, why
            some = Watch(seconds=min(watch.left, SECONDS), tell=watch.tell, stop=watch.stop)
            self.search.solve(self.weights, conditions, watch=some)
        except (NotPlayable, Unfulfillable):
            return NONE_AT_ALL, ""
        except (NotFound, OutOfTime):
            return UNKNOWN, ""
        return ANSWER, ""
