"""Clashes between conditions over the whole tune, found by solving without each of them.

Public: clash_over_tune.
"""

from collections.abc import Sequence
from dataclasses import replace

from scoring.weights import Weights
from solver.clash import Clash
from solver.conditions import Conditions
from solver.conditions.limits import Limits
from solver.conditions.words import Part, parts_of
from solver.demands import Wanted
from solver.errors import NotFound, NotPlayable, Unfulfillable
from solver.impossible import proven_impossible
from solver.search import Search
from solver.watch import OutOfTime, Standing, Watch

ANSWER, NONE_AT_ALL, UNKNOWN = "answer", "none", "unknown"

SECONDS = 8.0
"""What one question may take."""


def clash_over_tune(search: Search, wanted: Wanted, weights: Weights, watch: Watch) -> Clash | None:
    """Which conditions cannot all be held, though every bar can be played; None where they can.

    Raises OutOfTime and Stopped.
    """
    conditions = replace(wanted.conditions, costliest=None)
    parts = parts_of(conditions, wanted.instrument.told)
    asked = _Asked(search, weights, watch)
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
        limits=Limits.joined([one.limits for one in some if one.limits is not None]),
    )


class _Asked:
    """Whether conditions can be held."""

    def __init__(self, search: Search, weights: Weights, watch: Watch) -> None:
        self.search, self.weights, self.watch = search, weights, watch

    def __call__(self, conditions: Conditions) -> tuple[str, str]:
        """ANSWER, NONE_AT_ALL or UNKNOWN, and the proof in words where there is one in words."""
        watch = self.watch
        watch.look(Standing("looking for what clashes", 0, 0))
        try:
            why = proven_impossible(
                self.search.question(self.weights, conditions, watch=watch, settle=False)
            )
            if why is not None:
                return NONE_AT_ALL, why
            self.search.solve(self.weights, conditions, watch=watch.within(SECONDS))
        except (NotPlayable, Unfulfillable):
            return NONE_AT_ALL, ""
        except (NotFound, OutOfTime):
            return UNKNOWN, ""
        return ANSWER, ""
