"""Costliest moment first: the worst moment's cost before the sum, or weighed into it.

First: the least that the worst moment can cost is found by a pass of its own (``passes.worst``);
steps that cost more are forbidden, and the sum decides among what is left. Sum marginals would
prove nothing about the worst moment.

Weighed: total = sum + weight × worst. The ceiling on single steps comes down from what the answer
without a ceiling needs; each ceiling's cheapest way is solved, and the descent ends where even the
least worst moment could not make up for the growing sum.

Public: CostliestFirst.
"""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace

from solver.errors import NotFound, Unfulfillable
from solver.passes import worst
from solver.question import Found, Question
from solver.watch import OutOfTime, Stopped


@dataclass(frozen=True)
class CostliestFirst:
    """prove: answers a question that says nothing of the costliest moment; worst_of: ms of the
    costliest moment along the layers' nodes."""

    prove: Callable[[Question], Found]
    worst_of: Callable[[tuple[int, ...]], int]

    def __call__(self, question: Question) -> Found:
        """The answer to the question with its wish about the costliest moment."""
        costliest = question.conditions.costliest
        if costliest is None:
            return self.prove(question)
        least = worst(question.graph, question.costs)
        if costliest.weight is None:
            return self._first(question, least)
        return self._weighed(question, least, costliest.weight)

    def _first(self, question: Question, least: int) -> Found:
        """The least ceiling under which there is an answer, and the best answer under it."""
        unsure = False
        low, high, best = least, None, None
        ceiling: int | None = least
        best_ceiling: int | None = None
        while True:
            try:
                best = self.prove(_under(question, ceiling))
                high, best_ceiling = self.worst_of(best.nodes), ceiling
            except (Unfulfillable, NotFound) as error:
                if ceiling is None:
                    raise
                unsure = unsure or isinstance(error, NotFound)
                low = ceiling + 1
            except (OutOfTime, Stopped):
                if best is None:
                    raise
                return replace(best, optimal=False)
            if high is not None and low >= high:
                break
            ceiling = None if high is None else (low + high) // 2
        assert best is not None, "without a ceiling there is an answer"
        if not best.optimal and high != best_ceiling:
            best = self._again(question, best, high)
        return replace(best, optimal=best.optimal and not unsure)

    def _again(self, question: Question, best: Found, ceiling: int) -> Found:
        """The cheaper of an answer met under a higher ceiling and what is found under its own."""
        with suppress(OutOfTime, Stopped, NotFound):
            found = self.prove(_under(question, ceiling))
            bound = max(best.bound, found.bound)
            cheaper = min(found, best, key=lambda each: (each.cost, not each.optimal))
            return replace(cheaper, bound=min(bound, cheaper.cost))
        return best

    def _weighed(self, question: Question, least: int, weight: int) -> Found:
        """The ceiling comes down until a lower one cannot pay any more."""
        best: Found | None = None
        bound, sure, free = 0, True, None
        ceiling: int | None = None
        while True:
            try:
                found = self.prove(_under(question, ceiling))
            except (Unfulfillable, NotFound) as error:
                if best is None:
                    raise
                sure = sure and isinstance(error, Unfulfillable)
                break
            except (OutOfTime, Stopped):
                if best is None:
                    raise
                sure = False
                break
            high = self.worst_of(found.nodes)
            total = found.cost + weight * high
            sure = sure and found.optimal
            if free is None:
                free, bound = found.free, found.bound + weight * least
            if best is None or (total, found.nodes) < (best.cost, best.nodes):
                best = replace(found, cost=total)
            ceiling = high - 1
            if ceiling < least or found.bound + weight * least > best.cost:
                break
        return replace(best, bound=best.cost if sure else min(bound, best.cost), optimal=sure)


def _under(question: Question, ceiling: int | None) -> Question:
    return replace(question, costs=question.costs.capped(ceiling), ahead=None)
