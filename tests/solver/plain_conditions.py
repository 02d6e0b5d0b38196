"""Conditions on the whole tune, stated for the plain model as they are meant.

A Boolean for each shape that is used, each bar that differs, each bar that is hard; hands of one
class equal node by node; what is counted is a sum over nodes or steps. The words of the conditions
are read with the checker's code, moves are counted by ``scoring``; nothing of the search is used.

Public: asked_of, plain_conditioned_best.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable
from functools import partial
from typing import Any

import numpy as np

from scoring.choice import Choice, Shapes
from scoring.difficulty import step_difficulty, stretch_difficulty
from scoring.moment import Moment
from scoring.move import Move
from solver.conditions import Conditions
from solver.conditions.alike import Alike
from solver.conditions.few_shapes import FewShapes
from solver.conditions.limits import Limits
from solver.conditions.near import Near
from solver.conditions.pins import Pin
from solver.conditions.quota import Quota
from solver.graph import build_graph
from solver.held import Held
from solver.passes import Costs
from tests.solver.brute import moments_asked
from tests.solver.full_graph import explicit_graph
from tests.solver.instances import Instance
from tests.solver.plain_model import Place, Plain, plain_best
from undersong.check.conditions import (
    frets_off,
    hands,
    known_shape,
    lies_across_anew,
    places_again,
    pupil_shape,
)
from undersong.check.limits import held_faults, times_needed
from undersong.check.manners import bars_meant
from undersong.check.pins import holds as pin_holds
from undersong.check.pins import pinned_at


def plain_conditioned_best(
    case: Instance, conditions: Conditions, most_steps: int, seconds: float = 60.0
) -> int | None:
    """ms, asked prices included, of the best way through the whole choice graph, None where no way
    holds what is asked. OverflowError for more than ``most_steps``, NotPlayable as the search."""
    moments = moments_asked(case, conditions)
    graph = build_graph(moments, Held(case.instrument, case.hand, case.style))
    full = explicit_graph(graph, Costs.of(graph, case.weights))
    if full.number_of_edges() > most_steps:
        raise OverflowError(f"{full.number_of_edges()} steps")
    choices = {
        (index, node): layer.choice(node)
        for index, layer in enumerate(graph.layers)
        for node in range(len(layer))
    }
    asked = asked_of(case, conditions, moments, choices)
    return plain_best(full, len(moments), seconds, asked)


def asked_of(
    case: Instance,
    conditions: Conditions,
    moments: tuple[Moment, ...],
    choices: dict[Place, Choice],
) -> Callable[[Plain], None]:
    """States the conditions; choices: what is done in each node (moment, number)."""
    return _Asked(case, conditions, moments, choices).state


def _off(frets: tuple[int | None, ...], choice: Choice) -> int:
    return frets_off(frets, choice.grip.frets)


class _Asked:
    def __init__(
        self,
        case: Instance,
        conditions: Conditions,
        moments: tuple[Moment, ...],
        choices: dict[Place, Choice],
    ) -> None:
        self.case, self.conditions = case, conditions
        self.moments, self.choices = moments, choices

    def state(self, plain: Plain) -> None:
        asked = self.conditions
        if asked.alike:
            self._alike(plain, asked.alike)
        if asked.shapes:
            self._shapes(plain, asked.shapes)
        for quota in asked.quotas:
            meant = bars_meant(self.case.tune, quota.bars)
            there = dict.fromkeys(m.bar for m in self.moments if m.written in meant)
            for bar in there if quota.each else (None,):
                count = self._count(plain, quota, bar)
                if quota.least is not None:
                    plain.model.add(count >= quota.least)
                if quota.most is not None:
                    plain.model.add(count <= quota.most)
        for pin in asked.pins:
            self._pin(plain, pin)
        if asked.limits:
            self._limited(plain, asked.limits)
        if asked.near:
            self._near(plain, asked.near)
        if asked.costliest:
            self._costliest(plain, asked.costliest.weight)

    def _nodes(self, plain: Plain, index: int) -> list[Place]:
        return [node for node in plain.full if node in self.choices and node[0] == index]

    def _by(
        self, plain: Plain, index: int, key: Callable[[Choice], Hashable]
    ) -> dict[Hashable, Any]:
        """Each key of the moment's nodes → 1 where the way passes through one of them."""
        found: dict[Hashable, list[Any]] = defaultdict(list)
        for node in self._nodes(plain, index):
            found[key(self.choices[node])].append(plain.passes(node))
        return {name: sum(passes) for name, passes in found.items()}

    def _alike(self, plain: Plain, alike: Alike) -> None:
        differs: dict[int, Any] = {}
        for index, like in enumerate(places_again(self.case.tune, self.moments, alike.what)):
            if index == like:
                continue
            key = partial(hands, like=like)
            here, there = self._by(plain, index, key), self._by(plain, like, key)
            for name in {*here, *there}:
                if alike.price is None:
                    plain.model.add(here.get(name, 0) == there.get(name, 0))
                    continue
                bar = self.moments[index].bar
                if bar not in differs:
                    differs[bar] = plain.model.new_bool_var("")
                plain.model.add(here.get(name, 0) - there.get(name, 0) <= differs[bar])
        plain.extra += [(alike.price or 0) * other for other in differs.values()]

    def _limited(self, plain: Plain, limits: Limits) -> None:
        """No step that leads where a limit is passed, or passes one itself."""
        most = {limit.bar: limit.most for limit in limits.bars}
        for bar, least in limits.floors.items():
            plain.model.add(self._count(plain, Quota("hard", 1, above=least - 1), bar) >= 1)
        for index, moment in enumerate(self.moments):
            heads = self._nodes(plain, index)
            for node in heads:
                grip = self.choices[node].grip
                if any(held_faults(grip, limits, self.case.instrument, self.case.hand)):
                    plain.model.add(plain.passes(node) == 0)
            percent = most.get(moment.bar, 1000)
            edges = list(plain.full.in_edges(heads))
            if not edges:
                continue
            tails, heads = (list(part) for part in zip(*edges, strict=True))
            if not index:
                hard = stretch_difficulty(self._made(tuple(heads))) > percent
            else:
                before = self.moments[index - 1]
                shapes = self._made(tuple(tails)), self._made(tuple(heads))
                move = Move(*shapes, before.ms, before.damped)
                hard = step_difficulty(move) > percent
                if limits.time is not None:
                    hard = hard | (np.array(times_needed(move)) > limits.time)
            for edge, banned in zip(edges, hard.tolist(), strict=True):
                if banned:
                    plain.model.add(plain.step[edge] == 0)

    def _near(self, plain: Plain, near: Near) -> None:
        named = {(row.bar, row.offset): row.frets for row in near.rows}
        for index, moment in enumerate(self.moments):
            frets = named.get((moment.bar, moment.offset))
            if frets is None or (moment.chord is None and moment.melody is None):
                continue
            key = partial(_off, frets)
            for many, passes in self._by(plain, index, key).items():
                plain.extra.append(near.price * many * passes)  # type: ignore[operator]

    def _shapes(self, plain: Plain, shapes: FewShapes) -> None:
        used: dict[Hashable, Any] = {}
        for index in range(len(self.moments)):
            by = self._by(plain, index, lambda choice: pupil_shape(choice.grip))
            for shape, passes in by.items():
                if shape != ():
                    if shape not in used:
                        used[shape] = plain.model.new_bool_var("")
                    plain.model.add(passes <= used[shape])
        if shapes.most is not None:
            plain.model.add(sum(used.values()) <= shapes.most)
        for shape, one in used.items():
            if known_shape(shapes, shape):  # type: ignore[arg-type]
                continue
            if shapes.price is None:
                plain.model.add(one == 0)
            else:
                plain.extra.append(shapes.price * one)

    def _count(self, plain: Plain, quota: Quota, bar: int | None) -> Any:
        meant = bars_meant(self.case.tune, quota.bars)
        total: Any = 0
        hard: dict[int, list[Any]] = defaultdict(list)
        for index, moment in enumerate(self.moments):
            if moment.written not in meant or bar not in (None, moment.bar):
                continue
            if quota.what == "hard":
                hard[moment.bar].append(self._passing_steps(plain, quota, index))
            elif quota.what == "passing":
                by = self._by(plain, index, lambda choice: choice.role == "passing")
                total += by.get(True, 0)
            else:
                total += self._passing_steps(plain, quota, index)
        for there in hard.values():
            one = plain.model.new_bool_var("")
            for passes in there:
                plain.model.add(passes <= one)
            plain.model.add(one <= sum(there))
            total += one
        return total

    def _passing_steps(self, plain: Plain, quota: Quota, index: int) -> Any:
        """1 where the way arrives at the moment by a step that counts."""
        heads = self._nodes(plain, index)
        edges = list(plain.full.in_edges(heads))
        if not edges:
            return 0
        flags = self._first(quota, edges) if not index else self._flags(quota, index, edges)
        return sum(plain.step[edge] for edge, counts in zip(edges, flags, strict=True) if counts)

    def _flags(self, quota: Quota, index: int, edges: list[tuple[Place, Place]]) -> list[bool]:
        if quota.what == "barred":
            pairs = [(self.choices[tail].grip, self.choices[head].grip) for tail, head in edges]
            return [lies_across_anew(one, other) for one, other in pairs]
        before = self.moments[index - 1]
        tails, heads = zip(*edges, strict=True)
        move = Move(self._made(tails), self._made(heads), before.ms, before.damped)
        flags = (
            move.whole.ms > 0
            if quota.what == "shifts"
            else step_difficulty(move) > (quota.above or 0)
        )
        return list(np.asarray(flags).tolist())

    def _first(self, quota: Quota, edges: list[tuple[Place, Place]]) -> list[bool]:
        """The same at the first moment, which is reached for free."""
        heads = [head for _, head in edges]
        if quota.what == "barred":
            return [lies_across_anew(None, self.choices[head].grip) for head in heads]
        if quota.what == "shifts":
            return [False] * len(heads)
        flags = stretch_difficulty(self._made(tuple(heads))) > (quota.above or 0)
        return list(np.asarray(flags).tolist())

    def _made(self, nodes: tuple[Place, ...]) -> Shapes:
        rows = [(self.choices[node].grip, self.choices[node].struck) for node in nodes]
        return Shapes.of(rows, self.case.instrument, self.case.hand)

    def _pin(self, plain: Plain, pin: Pin) -> None:
        for index, asked in pinned_at(self.case.tune, self.moments, pin):
            assert asked is not None, f"{pin} keeps another number of strokes"
            for node in self._nodes(plain, index):
                choice, instrument = self.choices[node], self.case.instrument
                if not pin_holds(asked, pin.forbid, self.moments[index], choice, instrument):
                    plain.model.add(plain.passes(node) == 0)

    def _costliest(self, plain: Plain, weight: int | None) -> None:
        """A step's weight is the cost of the moment that it arrives at."""
        most = max(cost for *_, cost in plain.full.edges(data="weight"))
        worst = plain.model.new_int_var(0, most, "")
        into: dict[int, list[Any]] = defaultdict(list)
        for tail, head, cost in plain.full.edges(data="weight"):
            into[head[0]].append(cost * plain.step[tail, head])
        for costs in into.values():
            plain.model.add(worst >= sum(costs))
        if weight is None:
            plain.first = worst
        else:
            plain.extra.append(weight * worst)
