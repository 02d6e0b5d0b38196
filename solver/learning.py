"""Weights learned from ways that a player likes: the master problem of inverse optimisation.

Amounts are what no weight touches, so the cost of a way is linear in the weights. Given the ways
that are liked and rivals met so far, CP-SAT looks for whole weights within their limits under which
no rival is cheaper than what is liked, with the least change from the present ones; or, where there
are none, for those that leave the least distance. Whether the liked ways are then the best of all
is not for here to say: that is the search's own question, asked anew under those weights.

A change of one ms is counted in thousandths of what the weight is or is by default, whichever is
greater (``tolls``), so that halving a small weight counts as much as halving a great one. No weight
falls below a tenth of its default (or what it is, if that is less), so that calling everything free
is no way out; and where only a distance can be made least, the weights that matter are not to
become smaller together than they are.

Public: Count, Liked, Range, Learned, fit, nearest, tolls, floors.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from solver.errors import ArrangeError
from solver.watch import OutOfTime, Watch

THOUSAND = 1000
FLOOR = 10
"""No weight falls below its default divided by this."""

LEAST_SECONDS = 0.2


@dataclass(frozen=True)
class Count:
    """One way through a tune: amounts, one a term; extra: ms that its conditions charge."""

    amounts: tuple[int, ...]
    extra: int = 0

    def cost(self, weights: Sequence[int]) -> int:
        """ms under those weights."""
        return self.extra + sum(a * w for a, w in zip(self.amounts, weights, strict=True))


@dataclass(frozen=True)
class Liked:
    """ways: ways that are liked, one of which is to be no dearer than any of the rivals."""

    ways: tuple[Count, ...]
    rivals: tuple[Count, ...]

    def __post_init__(self) -> None:
        if not self.ways:
            raise ArrangeError("a like has one way at least")


@dataclass(frozen=True)
class Range:
    """present: ms that each weight is now; low, high: what it may become; toll: what a change by
    one ms counts."""

    present: tuple[int, ...]
    low: tuple[int, ...]
    high: tuple[int, ...]
    toll: tuple[int, ...]

    def __post_init__(self) -> None:
        for low, now, high in zip(self.low, self.present, self.high, strict=True):
            if not 0 <= low <= now <= high:
                raise ArrangeError(f"a weight of {now} ms does not lie within {low} to {high}")


@dataclass(frozen=True)
class Learned:
    """weights: ms, one a term; change: how much they differ from the present ones, in the tolls'
    unit; distance: ms by which liked ways are dearer than rivals, summed over the likes; optimal:
    CP-SAT proved that there is no less change (or distance, and then change)."""

    weights: tuple[int, ...]
    change: int
    distance: int
    optimal: bool


def tolls(present: Sequence[int], defaults: Sequence[int]) -> tuple[int, ...]:
    """Thousandths, counted down but 1 at least, of each weight's present or default value."""
    pairs = zip(present, defaults, strict=True)
    return tuple(max(1, THOUSAND // max(now, usual, 1)) for now, usual in pairs)


def floors(present: Sequence[int], defaults: Sequence[int]) -> tuple[int, ...]:
    """The least that each weight may become."""
    return tuple(min(now, -(-usual // FLOOR)) for now, usual in zip(present, defaults, strict=True))


def fit(
    likes: Sequence[Liked], bounds: Range, margin: int, watch: Watch, seconds: float
) -> Learned | None:
    """The least change under which, for each like, one of its ways is cheaper than every rival by
    ``margin`` ms (0: no dearer); a rival of the same amounts and extra is none. None where no
    weights do that, by proof. Raises OutOfTime where neither was found in so many seconds.
    """
    master = _Master(likes, bounds)
    for index in range(len(likes)):
        master.hold(index, margin)
    master.model.minimize(master.change)
    return master.solve(watch, seconds)


def nearest(likes: Sequence[Liked], bounds: Range, watch: Watch, seconds: float) -> Learned:
    """The least distance that is left, and of those the least change. Raises OutOfTime."""
    master = _Master(likes, bounds)
    left = [master.allow(index) for index in range(len(likes))]
    master.keep_size()
    master.model.minimize(sum(left))
    first = master.solve(watch, seconds)
    assert first is not None, "a distance can always be allowed"
    master.model.add(sum(left) <= first.distance)
    master.model.minimize(master.change)
    second = master.solve(watch, seconds, first)
    assert second is not None
    return Learned(second.weights, second.change, second.distance, first.optimal and second.optimal)


class _Master:
    def __init__(self, likes: Sequence[Liked], bounds: Range) -> None:
        self.likes, self.bounds = likes, bounds
        self.model = cp_model.CpModel()
        self.matters = [
            any(
                way.amounts[term] != rival.amounts[term]
                for like in likes
                for way in like.ways
                for rival in like.rivals
            )
            for term in range(len(bounds.present))
        ]
        self.weight = [
            self.model.new_int_var(low if moves else now, high if moves else now, "")
            for low, now, high, moves in zip(
                bounds.low, bounds.present, bounds.high, self.matters, strict=True
            )
        ]
        self.way = [[self.model.new_bool_var("") for _ in like.ways] for like in likes]
        for chosen in self.way:
            self.model.add_exactly_one(chosen)
        self.change = sum(
            toll * self._away(term) for term, toll in enumerate(bounds.toll) if self.matters[term]
        )

    def _away(self, term: int) -> cp_model.IntVar:
        now, low, high = (
            part[term] for part in (self.bounds.present, self.bounds.low, self.bounds.high)
        )
        away = self.model.new_int_var(0, max(now - low, high - now), "")
        self.model.add(away >= self.weight[term] - now)
        self.model.add(away >= now - self.weight[term])
        return away

    def _dearer(self, way: Count, rival: Count) -> cp_model.LinearExprT:
        """ms that the way costs more than the rival."""
        total: cp_model.LinearExprT = way.extra - rival.extra
        pairs = zip(self.weight, way.amounts, rival.amounts, strict=True)
        return total + sum((mine - its) * weight for weight, mine, its in pairs if mine != its)

    def hold(self, index: int, margin: int) -> None:
        like = self.likes[index]
        for way, chosen in zip(like.ways, self.way[index], strict=True):
            for rival in like.rivals:
                if rival != way:
                    dearer = self._dearer(way, rival)
                    self.model.add(dearer <= -margin).only_enforce_if(chosen)

    def allow(self, index: int) -> cp_model.IntVar:
        """What the like's way may be dearer than its rivals at most."""
        like = self.likes[index]
        most = max(
            (
                abs(way.extra - rival.extra)
                + sum(
                    abs(mine - its) * high
                    for mine, its, high in zip(
                        way.amounts, rival.amounts, self.bounds.high, strict=True
                    )
                )
                for way in like.ways
                for rival in like.rivals
            ),
            default=0,
        )
        left = self.model.new_int_var(0, most, "")
        for way, chosen in zip(like.ways, self.way[index], strict=True):
            for rival in like.rivals:
                dearer = self._dearer(way, rival)
                self.model.add(dearer <= left).only_enforce_if(chosen)
        return left

    def keep_size(self) -> None:
        """The weights that matter are together no smaller than now, each by its toll."""
        terms = [term for term, moves in enumerate(self.matters) if moves]
        toll, now = self.bounds.toll, self.bounds.present
        size = sum(toll[term] * now[term] for term in terms)
        self.model.add(sum(toll[term] * self.weight[term] for term in terms) >= size)

    def solve(self, watch: Watch, seconds: float, known: Learned | None = None) -> Learned | None:
        """The answer; ``known``: one to fall back on where the time is up."""
        solver = _solver(min(seconds, watch.left), 1)
        status = self._run(solver, watch)
        if status == cp_model.INFEASIBLE:
            again = _solver(max(LEAST_SECONDS, min(seconds, watch.left)), 2)
            again.parameters.cp_model_presolve = False
            if self._run(again, watch) == cp_model.INFEASIBLE:
                return None
            raise OutOfTime("there was no time to be sure that no weights do; allow more")
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            if known is not None:
                return Learned(known.weights, known.change, known.distance, False)
            raise OutOfTime("there was no time to find weights; allow more")
        weights = tuple(solver.value(weight) for weight in self.weight)
        change = sum(
            toll * abs(new - now)
            for toll, new, now in zip(self.bounds.toll, weights, self.bounds.present, strict=True)
        )
        distance = sum(self._left(index, weights) for index in range(len(self.likes)))
        return Learned(weights, change, distance, status == cp_model.OPTIMAL)

    def _left(self, index: int, weights: tuple[int, ...]) -> int:
        """ms by which the cheapest liked way is dearer than the cheapest rival."""
        like = self.likes[index]
        liked = min(way.cost(weights) for way in like.ways)
        return max(0, liked - min((r.cost(weights) for r in like.rivals), default=liked))

    def _run(self, solver: cp_model.CpSolver, watch: Watch) -> cp_model.CpSolverStatus:
        watch.stop.watch(solver)
        try:
            watch.look()
            return solver.solve(self.model)
        finally:
            watch.stop.watch(None)


def _solver(seconds: float, seed: int) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.linearization_level = 2  # without it a dozen rivals take hundreds of times
    solver.parameters.catch_sigint_signal = False
    return solver
