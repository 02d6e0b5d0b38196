"""The proof: the cheapest way that holds every condition, by multipliers, pruning and CP-SAT.

1. ``explore``: every way within some width of the cheapest. Conditions only ever cost, so an
   answer that costs no more than the bundle covers is in the bundle.
2. ``ascend``: multipliers that raise the bound over the bundle (only where there are conditions).
3. Gap deepening: only steps whose cheapest charged way lies within a gap of the bound are kept, and
   CP-SAT solves what is left with reduced costs. An optimum within the gap is the best of all.
4. Where the bundle covers too little, the multipliers go back to the whole graph, which is
   explored again under them, so that it grows where it matters.

Public: prove, FIRST_WIDTH.
"""

import logging
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

import numpy as np

from solver.arrays import FAR, Cost
from solver.ascent import ascend, asked, charged
from solver.constraints import one_way
from solver.errors import NotFound, Unfulfillable
from solver.family import Family, Values
from solver.first_answer import first_answer
from solver.impossible import proven_impossible
from solver.laid_out import lay_out
from solver.model import Adds, Draft, Solved, draft_model, hold_to, lowest_number, solve_model
from solver.passes import Outlook, TooWide, explore, outlook
from solver.prune import kept_graph
from solver.question import Found, Question
from solver.settle import first_allowed, first_best
from solver.sums import charged_costs
from solver.watch import OutOfTime, Standing, Stopped, Watch
from solver.ways import SCALE, Swept, Way, Ways

GAPS = (20, 60, 200, 600, 2_000, 6_000, 20_000)
"""How far above the bound (ms) steps are kept, in turn."""

FIRST_WIDTH = 300
"""How far above the cheapest charged way (ms) the graph is explored at first."""

NARROW_WIDTHS = (20, 40, 80)
"""The same before that, where only a distance from other answers is asked for: that seldom costs
more, and a bundle of few steps needs no multipliers."""

FEW_STEPS = 3_000
"""Steps up to which a narrow bundle is given to CP-SAT as it is, and a narrow gap before there is
any answer to begin with."""

FEW_SECONDS = 5.0
"""How long CP-SAT may take over that."""

EVERYTHING = 1 << 50
"""More ms than any way costs."""

ASCENT_STEPS = 250

NEAR = 60
"""An answer this close to the bound (ms) is good enough for CP-SAT to begin with."""

MOST_STEPS = 1_500_000
"""Steps that a bundle may have; a wider one is not explored."""

SMALL = 200_000
"""Pairs of shapes up to which a graph may be explored as a whole."""

log = logging.getLogger("undersong.solver")


@dataclass
class _Laid:
    """A bundle under its best multipliers, ready to be pruned. start: the bound (scaled); adds:
    what CP-SAT is given; without: how many steps are known to hold no answer, -1 for none (kept
    graphs are nested, so fewer hold none either)."""

    ways: Ways
    families: list[Family]
    values: list[Values]
    swept: Swept
    start: int
    adds: list[Adds]
    surcharges: list[Sequence[Cost]]
    without: int = -1

    @classmethod
    def of(cls, ways: Ways, families: list[Family], values: list[Values]) -> "_Laid":
        pairs = list(zip(families, values, strict=True))
        swept = Swept(ways, charged(families, values, ways))
        start = swept.least + sum(family.given(own) for family, own in pairs)
        extras = [family.surcharge(own) for family, own in pairs]
        return cls(
            ways, families, values, swept, start,
            [partial(family.add, values=own) for family, own in pairs],
            [extra for extra in extras if extra is not None],
        )  # fmt: skip


def prove(question: Question, watch: Watch, workers: int = 1, seed: int = 1) -> Found:
    """The cheapest way, proven, or where time runs short the best so far with its bound.

    Raises Unfulfillable where it is proven that no way holds the conditions, NotFound where none
    was found as far as was looked, OutOfTime and Stopped where the watch ended the search before
    there was any.
    """
    watch.look(Standing("weighing", 0, question.moments[-1].bar))
    ahead = question.ahead or outlook(question.graph, question.costs)
    if ahead.bound >= FAR:
        raise Unfulfillable("no way leads through the tune as asked")
    search = _Search(question, watch, workers, seed, ahead.bound, ahead.bound)
    try:
        search.run(ahead)
    except (OutOfTime, Stopped):
        if search.best is None:
            raise
    if search.best is not None:
        cost, nodes = search.best
        bound = cost if search.proven else min(cost, search.bound)
        return Found(nodes, cost, bound, search.proven, search.free)
    if search.none:
        raise Unfulfillable("no arrangement holds all that is asked of the tune")
    raise NotFound(
        "no arrangement was found that holds all that is asked, nor is it proven that there is "
        f"none; one would cost at least {search.bound - search.free} ms more than the easiest "
        "without it; ask for less"
    )


@dataclass
class _Search:
    """free: ms of the cheapest way without conditions over the tune; bound: no answer costs less;
    best: (ms, layer nodes) of the cheapest met; none: it is proven that there is no answer."""

    question: Question
    watch: Watch
    workers: int
    seed: int
    free: int
    bound: int
    best: tuple[int, tuple[int, ...]] | None = None
    way: tuple[Ways, Way] | None = None
    proven: bool = False
    none: bool = False
    covered: int = 0
    steps: int = 0
    begun: int = 0
    values: list[Values] = field(default_factory=list)

    def run(self, ahead: Outlook) -> None:
        """Rounds of exploring, ascent and deepening until something is proven, or the bundle
        would become too large."""
        question = self.question
        before: list[tuple[Family, Values]] = []
        costs = question.costs
        given = 0
        for width in self._widths():
            self._look("exploring")
            everything = width >= EVERYTHING
            limit = EVERYTHING if everything else ahead.bound + width
            try:
                explored = explore(question.graph, costs, ahead, limit, MOST_STEPS)
            except TooWide:
                return
            covers = self.covered = limit + given
            self.steps = sum(map(len, explored.tail))
            ways = Ways.of(question.graph.layers, explored, covers)
            ways, families = lay_out(ways, question)
            log.debug("width %d: %d steps, covers %d", width, len(ways), covers)
            if before:
                values = [f.resume(*known) for f, known in zip(families, before, strict=True)]
            else:
                values = [np.zeros(family.size, np.int64) for family in families]
            plain = families and width < FIRST_WIDTH and len(ways) <= FEW_STEPS
            self._round(ways, families, values, everything, 0 if plain else ASCENT_STEPS)
            if self.proven or self.none or everything or not families:
                return
            whole = [f.carried(v) for f, v in zip(families, self.values, strict=True)]
            given = sum(f.given(v) for f, v in zip(families, whole, strict=True)) // SCALE
            costs = charged_costs(question, families, whole)
            before = list(zip(families, self.values, strict=True))
            ahead = outlook(question.graph, costs)

    def _widths(self) -> Iterator[int]:
        """Widths (ms) in turn: the same again while the multipliers raise the bound to all that
        the bundle covers, and that rises well; else twice as wide; a small graph soon as a whole.
        """
        small = self.question.graph.size[1] <= SMALL
        width = GAPS[0] if self.question.chain_only else FIRST_WIDTH
        if self.question.apart and not self.question.conditions.reach_over_the_tune:
            yield from NARROW_WIDTHS
        before, steps = self.free, -1
        while True:
            yield width
            wider = self.bound < self.covered or self.covered - before < width // 8
            if small or (wider and self.steps == steps):  # twice as wide, and nothing more there
                width = EVERYTHING
            elif wider:
                width, steps = 2 * width, self.steps
            before = self.covered

    def _round(
        self,
        ways: Ways,
        families: list[Family],
        values: list[Values],
        everything: bool,
        steps: int,
    ) -> None:
        """Ascent, in so many steps, and deepening over one bundle; everything: no way at all lies
        outside it."""
        self.values = values
        if len(ways.first):
            enough = ways.covers + 1

            def tell(bound: int, best: int | None) -> None:
                self._pricing(min(bound, enough), best)

            found = ascend(ways, families, values, steps=steps, enough=enough * SCALE, tell=tell)
            self.values = found.values
            if found.best is not None:
                self._offer(found.best[0], ways, found.best[1])
            self._raise(min(-(-found.bound // SCALE), ways.covers + 1))
            laid = _Laid.of(ways, families, found.values)
            empty = bool(families) and not self._close and self._deepen(laid, FEW_STEPS)
            if not self.proven:
                self._begin(laid)
                empty = empty or self._deepen(laid)
        else:
            self._raise(ways.covers + 1)
            empty = True
        self.none = empty and everything

    def _begin(self, laid: "_Laid") -> None:
        """A first answer, where none was met yet, or one far above the bound."""
        self.begun += 1
        its_turn = self.begun & (self.begun - 1) == 0  # in rounds 1, 2, 4, 8 …
        if not laid.families or self._close or not its_turn:
            return
        self._look("looking for a first answer")
        way = laid.ways.cheapest(laid.swept.prices, laid.swept.on)[1]
        first = first_answer(self.question, laid.families, laid.values, way, self._going)
        if first is not None and (self.best is None or first[0] < self.best[0]):
            log.debug("a first answer at %d", first[0])
            self.best, self.way = first, None
        if self.best is None and self.begun == 1:
            why = proven_impossible(self.question)
            if why is not None:
                raise Unfulfillable(why)

    def _going(self) -> bool:
        """Whether the watch lets the search go on."""
        return self.watch.left > 0 and not self.watch.stop.stopped

    @property
    def _close(self) -> bool:
        """Whether the best answer met is good enough for CP-SAT to begin with."""
        return self.best is not None and self.best[0] - self.bound <= NEAR

    def _deepen(self, laid: "_Laid", few: int | None = None) -> bool:
        """Gap after gap, until the best within reach of the bundle is proven, or a gap keeps more
        than ``few`` steps; whether the bundle was found to hold no answer at all."""
        ways, start = laid.ways, laid.start
        reach = ways.covers * SCALE - start
        if reach < 0:
            return False
        for gap in self._gaps(start, reach):
            self._look("proving")
            kept = kept_graph(laid.swept, gap, laid.surcharges)
            if few is not None and kept.number_of_edges() > few:
                return False
            if kept.number_of_edges() <= laid.without and gap != reach:
                continue  # no more steps than those of which it is known that they hold no answer
            log.debug("gap %.1f keeps %d steps", gap / SCALE, kept.number_of_edges())
            if kept.number_of_edges() == len(ways.first) + len(ways):
                gap = reach  # nothing is left out
            draft = draft_model(kept, len(ways.nodes) - 1, [one_way.add, *laid.adds])
            seconds = self.watch.left if few is None else min(self.watch.left, FEW_SECONDS)
            solved = solve_model(
                draft, seconds, self.workers, self.seed, self._hint(ways), self.watch.stop
            )
            within = (start + gap) // SCALE + 1  # what is left out costs at least that much
            if solved.status == "INFEASIBLE":
                self._raise(min(within, ways.covers + 1))
                if gap == reach:
                    return True
                laid.without = kept.number_of_edges()
                continue
            if solved.positions:
                way = ways.way_of(solved.positions)
                counted = asked(laid.families, ways, way)
                if counted is None:
                    raise RuntimeError("the solver's answer breaks a condition that it was given")
                cost = counted
                self._offer(cost, ways, way)
            if solved.status != "OPTIMAL":
                least = -(-(start + solved.bound) // SCALE)
                self._raise(min(least, within, ways.covers + 1))
                self.watch.look()
                return False
            self._raise(min(cost, within, ways.covers + 1))
            if solved.excess <= gap and cost <= ways.covers:
                self._settle(draft, solved, cost, laid.swept)
                return False
        return False

    def _gaps(self, start: int, reach: int) -> list[int]:
        """Gaps (scaled) to try: up to what the best answer met needs, or else up to ``reach``."""
        need = reach
        if self.best is not None:
            need = min(reach, max(0, self.best[0] * SCALE - start))
            if need <= GAPS[1] * SCALE:
                return [need]
        return [gap * SCALE for gap in GAPS if gap * SCALE < need] + [need]

    def _settle(self, draft: Draft, solved: Solved, cost: int, swept: Swept) -> None:
        """Takes the first of the best answers, which cost so many ms and then are proven."""
        if self.question.chain_only:
            positions: tuple[int, ...] | None = first_best(draft.kept, draft.last)
        else:
            hold_to(draft, solved.excess)
            ranked = [sorted(draft.entering[moment]) for moment in range(draft.last + 1)]
            near = [
                (to + on - own)[positions] <= swept.least + solved.excess
                for to, on, own, positions in zip(
                    swept.to, swept.on, swept.prices.nodes, ranked, strict=True
                )
            ]
            choices = [np.array(p)[n].tolist() for p, n in zip(ranked, near, strict=True)]
            positions = first_allowed(choices, partial(self._lowest, draft))
        if positions is not None:
            nodes = tuple(
                int(nodes[position])
                for nodes, position in zip(swept.ways.nodes, positions, strict=True)
            )
            self.best, self.way, self.proven = (cost, nodes), None, True

    def _lowest(
        self,
        draft: Draft,
        choices: Mapping[int, Sequence[int]],
        weights: Mapping[int, int],
    ) -> int | None:
        number = sum(
            weights[moment] * rank * sum(draft.entering[moment][position])
            for moment, positions in choices.items()
            for rank, position in enumerate(positions)
            if rank
        )
        return lowest_number(
            draft, number, self.watch.left, self.workers, self.seed, self.watch.stop
        )

    def _offer(self, cost: int, ways: Ways, way: Way) -> None:
        if self.best is None or cost < self.best[0]:
            self.best, self.way = (cost, ways.layer_nodes(way)), (ways, way)

    def _hint(self, ways: Ways) -> tuple[int, ...]:
        """Positions of the best answer met, where it was met in this bundle."""
        if self.way is None or self.way[0] is not ways:
            return ()
        return self.way[1].positions

    def _raise(self, bound: int) -> None:
        self.bound = max(self.bound, bound)

    def _look(self, stage: str) -> None:
        self.watch.look(self._standing(stage, self.bound, self.best and self.best[0]))

    def _pricing(self, bound: int, best: int | None) -> None:
        costs = [cost for cost in (best, self.best and self.best[0]) if cost is not None]
        self.watch.look(self._standing("pricing", max(self.bound, bound), min(costs, default=None)))

    def _standing(self, stage: str, bound: int, best: int | None) -> Standing:
        count = self.question.moments[-1].bar
        known = bound if best is None else min(bound, best)
        return Standing(stage, count, count, known, best)
