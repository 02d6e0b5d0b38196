"""The search: a tune and what is asked of it go in, the best answer comes out.

A ``Search`` is one tune on one instrument in one hand, solved as often as weights, conditions and
pins change. Everything that did not change is kept: the graph of choices, and of its costs what
the weights that moved do not touch.

Public: Search, Answer, search.
"""

import logging
import time
from collections import deque
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NoReturn

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.evaluate import evaluate
from scoring.moment import Moment
from scoring.weights import Weights
from solver.arrays import FAR
from solver.conditions import NONE, Conditions
from solver.conditions.limits import Limits
from solver.costliest import CostliestFirst
from solver.errors import NotPlayable, Unfulfillable
from solver.floors import floored, shift_caps
from solver.graph import ChoiceGraph, build_graph
from solver.grips import Grips
from solver.held import Held
from solver.keeping import EVERY_SHAPE, Keeping
from solver.kinds import Kinds
from solver.limiting import limited
from solver.moments import moments_of
from solver.near_ways import BestWay, NearWays, worth_while
from solver.nearness import check_near, near_prices
from solver.passes import Costs, Outlook, furthest, outlook
from solver.passing import Passing
from solver.pinning import manners_of, masks_of
from solver.proof import prove
from solver.question import Apart, Found, Question
from solver.recalled import Recalled
from solver.refusal import refuse_link
from solver.refuse_limits import refuse_limits
from solver.style import Style
from solver.watch import Standing, Watch
from tune.tune import Tune

ANSWERS_KEPT = 4
"""Of how many questions that ``cheapest`` was asked last the answer is kept for ``solve``."""

log = logging.getLogger("undersong.solver")


@dataclass(frozen=True)
class Answer:
    """What the search found.

    moments, choices: in order; cost, bound: ms asked of the answer (owed prices included), and
    below which none can be; optimal: CP-SAT said OPTIMAL and its optimum lies within what was
    kept; free: what the easiest way costs that pins and limits leave, before anything over the
    tune is asked; seconds: spent on building and searching, the clock's own word; by_pass: the
    exact pass alone found it, and CP-SAT was not asked.
    """

    moments: tuple[Moment, ...]
    choices: tuple[Choice, ...]
    cost: int
    bound: int
    optimal: bool
    free: int
    seconds: float
    by_pass: bool = False


class Search:
    """What is asked stays open until ``solve``: weights, conditions, time.

    grips: those that other searches made for the same hand on the same fretboard, in whatever
    tuning and style.
    """

    def __init__(
        self,
        tune: Tune,
        instrument: Instrument,
        hand: Hand,
        style: Style,
        grips: Grips | None = None,
    ) -> None:
        self.tune, self.instrument, self.hand, self.style = tune, instrument, hand, style
        self.grips = Grips(instrument, hand) if grips is None else grips
        self._graphs: dict[tuple[tuple[tuple[int, str], ...], Keeping], ChoiceGraph] = {}
        self._moments: dict[tuple[tuple[int, str], ...], tuple[Moment, ...]] = {}
        self._costs: dict[int, tuple[Weights, Costs]] = {}
        self._ahead: tuple[Costs, Outlook] | None = None
        self._ways: NearWays | None = None
        self._cheapest: deque[tuple[Weights, Conditions, ChoiceGraph, BestWay]] = deque(
            maxlen=ANSWERS_KEPT
        )
        self._made: dict[tuple[int, int], Choice] = {}
        self.recalled = Recalled()

    def solve(
        self,
        weights: Weights,
        conditions: Conditions = NONE,
        *,
        apart: Sequence[Apart] = (),
        watch: Watch | None = None,
        workers: int = 1,
        seed: int = 1,
        explain: bool = True,
    ) -> Answer:
        """The cheapest way to play the tune that holds the conditions, at a distance from other
        answers.

        workers, seed: CP-SAT's threads and seed, which cannot change a proven answer; explain: name
        the limits that leave no way, where they do, for which they are looked for; without it only
        shapes within the limits are laid out, which is faster.

        Raises ArrangeError for a tune without chords, StyleError for a metre that the right hand
        does not know, NotPlayable where a bar cannot be played as asked, ConditionError for
        conditions that speak of what is not there, Unfulfillable and NotFound where no arrangement
        holds them, OutOfTime and Stopped where the watch ended the search before there was any.
        """
        begun = time.perf_counter()
        watch = Watch() if watch is None else watch
        if not explain and not apart:
            graph, best = self._best_way(weights, conditions, watch)
            if best is not None:
                found = prove(self._question_of(best, conditions), watch, workers, seed)
                found = replace(found, nodes=best.own(found.nodes))
                return self._answer(graph, found, time.perf_counter() - begun)
        whole = self.question(weights, conditions, apart, watch, lean=not explain)
        graph, costs = whole.graph, whole.costs
        ahead = self._outlook(graph, costs)
        if ahead.bound >= FAR:
            if not explain:
                raise Unfulfillable("no way leads through the tune as asked")
            if conditions.limits is not None:
                free = self.question(weights, replace(conditions, limits=None), (), watch)
                refuse_limits(graph, free.costs, conditions.limits, self.tune)
            refuse_link(graph.moments, furthest(graph, costs), self.tune)
        question = replace(whole, ahead=ahead)
        answered = CostliestFirst(
            lambda asked: prove(asked, watch, workers, seed),
            lambda nodes: self._worst_of(graph, nodes, weights),
        )
        found = answered(question)
        if conditions.costliest is not None:
            found = replace(found, free=ahead.bound)
        spent = time.perf_counter() - begun
        log.info("%d moments, %d nodes, %d steps, %.2f s", len(graph.moments), *graph.size, spent)
        return self._answer(graph, found, spent)

    def cheapest(
        self, weights: Weights, conditions: Conditions = NONE, watch: Watch | None = None
    ) -> Answer:
        """The answer that ``solve`` gives without explaining, and what it raises then; but where
        one way through is all that is asked, the exact pass alone finds it, which is faster. It is
        not called optimal then, since CP-SAT has not said so."""
        begun = time.perf_counter()
        watch = Watch() if watch is None else watch
        graph, best = self._best_way(weights, conditions, watch)
        if best is None:
            asked = self.question(weights, conditions, (), watch, lean=True)
            if not asked.chain_only or conditions.costliest is not None:
                return self.solve(weights, conditions, watch=watch, explain=False)
            best = BestWay(asked.graph, asked.costs, self._outlook(asked.graph, asked.costs))
        if best.cost >= FAR:
            raise Unfulfillable("no way leads through the tune as asked")
        self._cheapest.append((weights, conditions, graph, best))
        found = Found(best.nodes, best.cost, best.cost, optimal=False, free=best.cost)
        return replace(self._answer(graph, found, time.perf_counter() - begun), by_pass=True)

    def _question_of(self, best: BestWay, conditions: Conditions) -> Question:
        """What is to be proven of it: its costs hold all that was asked already."""
        left = replace(conditions.without_floors, quotas=())
        moments = best.graph.moments
        return Question(self.tune, moments, best.graph, best.costs, left, ahead=best.ahead)

    def take_over(
        self,
        passing: Passing,
        kinds: Kinds,
        semitones: int,
        looked: Callable[[int], None] | None = None,
    ) -> None:
        """What a pass over the tune, ``semitones`` away from where its ``kinds`` are, has laid out
        on the same strings already; looked: as in ``Passing.least``. Raises NotPlayable where a bar
        cannot be played, ValueError for a pass with another hand, style or instrument, or where
        something was asked before."""
        own = self.instrument, self.hand, self.style
        if own != (passing.instrument, passing.hand, passing.style):
            raise ValueError("a pass on other strings, by another hand or in another style")
        if self._graphs:
            raise ValueError("something was asked before, which would be kept beside it")
        moments = self._moments_of({})
        graph, costs = passing.graph(kinds, semitones, moments, self.tune, looked)
        self._graphs[(), EVERY_SHAPE] = graph
        self._costs[id(graph)] = passing.weights, costs
        self.recalled = passing.recalled

    def refuse(
        self, weights: Weights, conditions: Conditions, limits: Limits, watch: Watch | None = None
    ) -> NoReturn:
        """Raises NotPlayable, or what ``question`` raises: why there is no way within the limits,
        none of them a floor, where ``least`` has found that. What ``solve`` would say, but sooner:
        how far a way leads is seen in the lean graph."""
        free = self.question(weights, replace(conditions, limits=None), (), watch)
        try:
            lean = self.question(weights, replace(conditions, quotas=()), (), watch, lean=True)
        except NotPlayable:
            reached = None
        else:
            reached = furthest(lean.graph, lean.costs)
        refuse_limits(free.graph, free.costs, limits, self.tune, reached)

    def least(self, weights: Weights, conditions: Conditions, watch: Watch | None = None) -> int:
        """ms that an answer costs at least, nothing over the tune looked at; FAR where no way
        leads through. Raises what ``question`` raises."""
        best = self._best_way(weights, conditions, watch)[1]
        if best is not None:
            return best.cost
        asked = self.question(weights, conditions, watch=watch, lean=True)
        return self._outlook(asked.graph, asked.costs).bound

    def _best_way(
        self, weights: Weights, conditions: Conditions, watch: Watch | None
    ) -> tuple[ChoiceGraph, BestWay | None]:
        """The lean graph, and the best way where it is near the cheapest, or was found lately; None
        where what is asked has to be asked of the whole graph. Raises what ``question`` raises."""
        for known, asked, graph, best in self._cheapest:
            if (known, asked) == (weights, conditions):
                return graph, best
        watch = Watch() if watch is None else watch
        keeping = Keeping.of(conditions)
        graph = self._graph(manners_of(self.tune, conditions.pins), watch, keeping)
        caps = shift_caps(conditions.quotas, self.tune, graph.moments)
        if (
            not worth_while(graph)
            or not conditions.bars_alone
            or conditions.near is not None
            or caps is None
        ):
            return graph, None
        watch.look(Standing("weighing", 0, graph.moments[-1].bar))
        costs = self._weighed(graph, weights)
        left = keeping.without(conditions)
        masks = masks_of(graph, self.tune, left, self.instrument, self.hand, self.style)
        if self._ways is None or self._ways.costs is not costs:
            ahead = outlook(graph, costs, self.recalled)
            self._ways = NearWays(graph, costs, ahead, self.recalled)
        return graph, self._ways.ask(masks, left.limits, left.floors, caps)

    def question(
        self,
        weights: Weights,
        conditions: Conditions,
        apart: Sequence[Apart] = (),
        watch: Watch | None = None,
        lean: bool = False,
        keeping: Keeping | None = None,
        settle: bool = True,
    ) -> Question:
        """What ``solve`` would have to prove: the graph with its costs, pins applied; lean: without
        shapes that what is asked of every shape rules out, and with caps on the shifts of single
        bars settled beforehand where nothing reaches further; keeping: the shapes that are laid
        out, where those are others; settle: whether the costs hold to where the cheapest way keeps
        the floors of bars, which is enough for the best answer; else floors stay conditions.

        Raises what ``solve`` raises but for what only proving tells.
        """
        watch = Watch() if watch is None else watch
        if keeping is None:
            keeping = Keeping.of(conditions) if lean else EVERY_SHAPE
        graph = self._graph(manners_of(self.tune, conditions.pins), watch, keeping)
        watch.look(Standing("weighing", 0, graph.moments[-1].bar))
        costs = self._weighed(graph, weights)
        if conditions.near is not None:
            check_near(conditions.near, self.instrument, graph.moments)
            costs = costs.wished(near_prices(graph, conditions.near))
        left = keeping.without(conditions)
        masks = masks_of(graph, self.tune, left, self.instrument, self.hand, self.style)
        costs = costs.allowed(masks)
        if left.limits is not None:
            costs = limited(costs, graph, left.limits, self.recalled)
        caps = shift_caps(conditions.quotas, self.tune, graph.moments) if lean else None
        alone = conditions.floors_alone if caps is None else conditions.bars_alone
        if settle and alone and not apart and (conditions.floors or caps):
            costs = floored(graph, costs, conditions.floors, self.recalled, caps)[1]
            conditions = conditions.without_floors
            conditions = conditions if caps is None else replace(conditions, quotas=())
        return Question(self.tune, graph.moments, graph, costs, conditions, tuple(apart))

    def _graph(
        self, manners: Mapping[int, str], watch: Watch, keeping: Keeping = EVERY_SHAPE
    ) -> ChoiceGraph:
        key = tuple(sorted(manners.items())), keeping
        if key not in self._graphs:
            moments = self._moments_of(manners)
            bars = moments[-1].bar

            def told(stage: str, done: int, _: int) -> None:
                watch.look(Standing(stage, moments[done].bar - 1, bars))

            held = Held(self.instrument, self.hand, self.style, keeping, self.grips)
            graph = build_graph(moments, held, told, self.tune)
            self._graphs[key] = graph
        return self._graphs[key]

    def moments(self, conditions: Conditions = NONE) -> tuple[Moment, ...]:
        """What is asked moment by moment, in the manners that are pinned. Raises what ``question``
        raises for a tune that lacks what the texture needs."""
        return self._moments_of(manners_of(self.tune, conditions.pins))

    def _moments_of(self, manners: Mapping[int, str]) -> tuple[Moment, ...]:
        key = tuple(sorted(manners.items()))
        if key not in self._moments:
            courses = len(self.instrument.courses)
            self._moments[key] = moments_of(self.tune, self.style, courses, manners)
        return self._moments[key]

    def _worst_of(self, graph: ChoiceGraph, nodes: tuple[int, ...], weights: Weights) -> int:
        """ms of the costliest moment along the layers' nodes, counted by the scoring room."""
        bill = evaluate(
            self._choices(graph, nodes), graph.moments, self.instrument, self.hand, weights
        )
        return max(bill.at(moment) for moment in range(len(nodes)))

    def _outlook(self, graph: ChoiceGraph, costs: Costs) -> Outlook:
        """The outlook over the costs, kept until there are others."""
        if self._ahead is None or self._ahead[0] is not costs:
            self._ahead = costs, outlook(graph, costs, self.recalled)
        return self._ahead[1]

    def _weighed(self, graph: ChoiceGraph, weights: Weights) -> Costs:
        known = self._costs.get(id(graph))
        if known is None:
            costs = Costs.of(graph, weights)
        elif known[0] == weights:
            return known[1]
        else:
            costs = Costs.of(graph, weights, known[1])
        self._costs[id(graph)] = weights, costs
        return costs

    def _choices(self, graph: ChoiceGraph, nodes: tuple[int, ...]) -> tuple[Choice, ...]:
        """What the nodes are, one a moment; the same objects for the same nodes."""
        made = self._made
        for layer, node in zip(graph.layers, nodes, strict=True):
            if (id(layer), node) not in made:
                made[id(layer), node] = layer.choice(node)
        return tuple(made[id(layer), node] for layer, node in zip(graph.layers, nodes, strict=True))

    def _answer(self, graph: ChoiceGraph, found: Found, seconds: float) -> Answer:
        return Answer(
            graph.moments,
            self._choices(graph, found.nodes),
            found.cost,
            found.bound,
            found.optimal,
            found.free,
            seconds,
        )


def search(
    tune: Tune,
    instrument: Instrument,
    hand: Hand,
    style: Style,
    weights: Weights,
    conditions: Conditions = NONE,
    *,
    watch: Watch | None = None,
    workers: int = 1,
    seed: int = 1,
) -> Answer:
    """The cheapest way to play the tune that holds the conditions, once; see ``Search.solve``."""
    asked = Search(tune, instrument, hand, style)
    return asked.solve(weights, conditions, watch=watch, workers=workers, seed=seed)
