"""Each condition family against its promises (``solver.family``), over every way of small bundles.

What a way owes, and whether it holds what is asked, comes from ``brute.Page``, which judges whole
sequences by the conditions' words and shares no code with the families.
"""

from collections.abc import Sequence
from dataclasses import replace

import networkx as nx
import numpy as np
import pytest
from ortools.sat.python import cp_model

from solver.ascent import asked, charged
from solver.conditions import Conditions
from solver.conditions.few_shapes import FewShapes
from solver.constraints import one_way
from solver.constraints.alike import AlikeFamily
from solver.constraints.few_shapes import FewShapesFamily
from solver.family import Family, Values, taken_over
from solver.model import draft_model
from solver.passes import explore, outlook
from solver.prune import START, kept_graph
from solver.sums import charged_costs
from solver.ways import SCALE, Swept, Ways
from tests.solver.bundled import EVERYTHING, charged_on, every_way, laid_out, question_of, work_of
from tests.solver.judged import QUICK, SLOW, Judged, cases, given_of, judged, lawful
from tests.solver.made import case_of

FIRST = [pytest.param(first, 18) for first in QUICK]
FIRST += [pytest.param(first, 100, marks=pytest.mark.slow) for first in SLOW]
many = pytest.mark.parametrize(("first", "count"), FIRST)
RARE = [pytest.param(first, 144) for first in QUICK]
RARE += [pytest.param(first, 1000, marks=pytest.mark.slow) for first in SLOW[::10]]
rarely = pytest.mark.parametrize(("first", "count"), RARE)
"""As many cases in fewer heaps, for what about one in a hundred has."""


@many
def test_every_way_owes_what_the_conditions_say(first: int, count: int) -> None:
    """And no way that holds them is lost when they are laid out."""
    kinds: set[str] = set()
    broken = 0
    for case in cases(first, count):
        ways, families = case.laid
        there = set()
        for way in every_way(ways):
            true = case.true(ways, way)
            assert asked(families, ways, way) == true, case.seed
            there.add(case.key(ways, way))
            broken += true is None
        assert {key for key, true in case.truth.items() if true is not None} <= there, case.seed
        kinds |= {type(family).__name__ for family in families}
    assert kinds == {"AlikeFamily", "FewShapesFamily", "QuotaFamily"}
    assert broken


@many
def test_charges_and_what_is_given_never_exceed_what_is_owed(first: int, count: int) -> None:
    """Whatever the multipliers: so the cheapest charged way and what is given are a bound."""
    dice = np.random.default_rng(first)
    tight = 0
    for case in cases(first, count):
        ways, families = case.laid
        for _ in range(3):
            values = lawful(families, dice)
            for family, own in zip(families, values, strict=True):
                prices, given = family.prices(own), family.given(own)
                for way in every_way(ways):
                    owed = family.owed(way)
                    if owed is not None:
                        assert charged_on(prices, way) + given <= owed * SCALE, case.seed
            if not len(ways.first):
                continue
            bound = Swept(ways, charged(families, values, ways)).least + given_of(families, values)
            if case.best is not None:
                assert bound <= case.best * SCALE, case.seed
                tight += bound == case.best * SCALE
    assert tight


@many
def test_lawful_values_stay_as_they_are(first: int, count: int) -> None:
    dice = np.random.default_rng(first)
    for case in cases(first, count):
        _, families = case.laid
        for family, own in zip(families, lawful(families, dice), strict=True):
            assert (family.lawful(own) == own).all(), case.seed
            zero = np.zeros(family.size, np.int64)
            assert (family.lawful(zero) == zero).all()
            carried = family.carried(own)
            assert (carried % SCALE == 0).all()
            assert (family.lawful(carried) == carried).all(), case.seed


@rarely
def test_surcharges_are_had_on_every_answer_through_a_node(first: int, count: int) -> None:
    dice = np.random.default_rng(first)
    seen = 0
    for case in cases(first, count):
        ways, families = case.laid
        if not len(ways.first):
            continue
        values = lawful(families, dice)
        swept = Swept(ways, charged(families, values, ways))
        given = given_of(families, values)
        for family, own in zip(families, values, strict=True):
            surcharges = family.surcharge(own)
            if surcharges is None:
                continue
            for way in every_way(ways):
                true = case.true(ways, way)
                if true is None:
                    continue
                for moment, position in enumerate(way.positions):
                    through = swept.to[moment][position] + swept.on[moment][position]
                    through -= swept.prices.nodes[moment][position]
                    extra = int(surcharges[moment][position])
                    assert int(through) + given + extra <= true * SCALE, case.seed
                    seen += extra > 0
    assert seen


@many
def test_carried_to_the_whole_graph_they_still_are_a_bound(first: int, count: int) -> None:
    """What a family learned on a narrow bundle, on ways that the bundle never had."""
    dice = np.random.default_rng(first)
    outside = charges = 0
    for case in cases(first, count):
        question = case.question
        ways, families = laid_out(question, int(dice.choice([0, 30, 200])))
        if not families or not len(ways.first):
            continue
        whole = [f.carried(v) for f, v in zip(families, lawful(families, dice), strict=True)]
        given = given_of(families, whole)
        assert given % SCALE == 0
        costs = charged_costs(question, families, whole)
        ahead = outlook(question.graph, costs)
        explored = explore(question.graph, costs, ahead, EVERYTHING)
        all_ways = Ways.of(question.graph.layers, explored)
        known = {ways.layer_nodes(way) for way in every_way(ways)}
        charged_ways = replace(
            all_ways,
            first=explored.to[0] * SCALE,
            cost=ordered_like(explored.tail, explored.head, explored.cost),
        )
        cheapest = []
        for way in every_way(all_ways):
            true, now = case.true(all_ways, way), work_of(charged_ways, way)
            cheapest.append(now)
            charges += now != work_of(all_ways, way)
            if true is not None:
                assert now + given <= true * SCALE, case.seed
                outside += all_ways.layer_nodes(way) not in known
        assert ahead.bound * SCALE == min(cheapest), case.seed
    assert outside
    assert charges


def ordered_like(tails, heads, costs) -> tuple:
    """Scaled costs in the order in which a bundle has its steps."""
    return tuple(
        cost[np.lexsort((head, tail))] * SCALE
        for tail, head, cost in zip(tails, heads, costs, strict=True)
    )


@many
def test_what_was_learned_is_taken_over_lawfully(first: int, count: int) -> None:
    """From a narrow bundle to a wide one and back."""
    dice = np.random.default_rng(first)
    kept = 0
    for case in cases(first, count):
        narrow, wide = laid_out(case.question, 30)[1], case.laid[1]
        for before, after in zip(narrow, wide, strict=True):
            for one, other in ((before, after), (after, before)):
                (own,) = lawful([one], dice)
                resumed = other.resume(one, own)
                assert len(resumed) == other.size
                assert (other.lawful(resumed) == resumed).all(), case.seed
                kept += int((resumed != 0).sum())
    assert kept


def shapes_of(most: int, slack: int) -> tuple[FewShapesFamily, list[Values]]:
    """A family for a limit over a narrow bundle of a tune that has many shapes, and values."""
    question = question_of(case_of("D", "G", "A7", "D"), Conditions(shapes=FewShapes(most)))
    (family,) = laid_out(question, slack)[1]
    assert isinstance(family, FewShapesFamily)
    dice = np.random.default_rng(most)
    return family, [dice.integers(0, great, family.size) for great in (500, 20_000, 90_000)]


@pytest.mark.parametrize("most", [1, 3, 6, 40])
def test_no_choice_of_so_many_shapes_gives_back_more_than_is_given(most: int) -> None:
    """In the whole graph, shapes that the bundle does not have among them."""
    family, drawn = shapes_of(most, 0)
    new = 0
    for values in map(family.carried, drawn):
        totals: dict[int, int] = {}
        for layer, numbers, extra in zip(
            family.ways.layers, family.numbers, family.carry(values), strict=True
        ):
            assert extra is not None
            own = dict(zip(numbers[layer.shape].tolist(), extra.tolist(), strict=True))
            for shape, charge in own.items():
                totals[shape] = totals.get(shape, 0) + charge
        assert totals.pop(-1) == 0, "no finger down is no shape"
        dearest = sorted(totals.values(), reverse=True)[:most]
        assert sum(dearest) * SCALE <= -family.given(values)
        new += sum(charge > 0 for s, charge in totals.items() if s not in family.shape_of)
    assert new or most == 40


@pytest.mark.parametrize("most", [1, 3, 6, 40])
def test_a_surcharge_is_what_using_the_shape_must_lose(most: int) -> None:
    """Against the best choice of so many shapes, and the best that has this one in it."""
    family, drawn = shapes_of(most, 60)
    lost = 0
    for values in drawn:
        back = [int(values[family.shape_of == s].sum()) for s in range(len(family.shapes))]
        for seen, extra in zip(family.seen, family.surcharge(values), strict=True):
            for shape, own in set(zip(seen.tolist(), extra.tolist(), strict=True)):
                if shape < 0:
                    assert own == 0
                    continue
                others = sorted((b for s, b in enumerate(back) if s != shape), reverse=True)
                with_it = back[shape] + sum(b for b in others[: most - 1] if b > 0)
                assert own == -family.given(values) - with_it
                lost += own > 0
    assert lost or most == 40


def test_values_are_taken_over_by_key() -> None:
    before, values = np.array([2, 5, 9]), np.array([20, 50, 90])
    assert taken_over(before, values, np.array([0, 2, 5, 7, 9, 11])).tolist() == [
        0, 20, 50, 0, 90, 0,
    ]  # fmt: skip
    assert taken_over(np.zeros(0, np.intp), np.zeros(0, np.int64), before).tolist() == [0, 0, 0]


def status_on(draft, way: Sequence[int]) -> tuple[str, int]:
    """The solver's word, and the objective, when the steps of that way are taken."""
    model = draft.model.clone()
    on_it = set(nx.utils.pairwise([START, *enumerate(way)]))
    assert on_it <= set(draft.step)
    for edge, variable in draft.step.items():
        model.add(model.get_bool_var_from_proto_index(variable.index) == (edge in on_it))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    feasible = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return solver.status_name(status), round(solver.objective_value) if feasible else 0


def modelled(first: int, count: int, each: int) -> tuple[int, int]:
    """Compares the model with the truth on some ways of each case; (allowed, not allowed)."""
    dice = np.random.default_rng(first)
    allowed = forbidden = 0
    for case in cases(first, count):
        ways, families = case.laid
        if not len(ways.first):
            continue
        values = lawful(families, dice)
        swept = Swept(ways, charged(families, values, ways))
        start = swept.least + given_of(families, values)
        adds = [
            lambda draft, f=family, v=own: f.add(draft, v)
            for family, own in zip(families, values, strict=True)
        ]
        kept = kept_graph(swept, EVERYTHING * SCALE)
        draft = draft_model(kept, len(ways.nodes) - 1, [one_way.add, *adds])
        there = list(every_way(ways))
        for number in dice.permutation(len(there))[:each].tolist():
            true = case.true(ways, there[number])
            status, excess = status_on(draft, there[number].positions)
            if true is None:
                assert status == "INFEASIBLE", case.seed
                forbidden += 1
            else:
                assert status == "OPTIMAL", case.seed
                assert start + excess == true * SCALE, case.seed
                allowed += 1
    return allowed, forbidden


def test_the_model_costs_every_way_truly_and_forbids_what_is_not_allowed() -> None:
    allowed, forbidden = modelled(20_000, 18, 5)
    assert allowed > 20
    assert forbidden > 20


@pytest.mark.slow
@pytest.mark.parametrize("part", range(10))
def test_the_model_costs_thousands_of_ways_truly(part: int) -> None:
    allowed, forbidden = modelled(500_000 + 1_000 * part, 60, 10)
    assert min(allowed, forbidden) > 50


def with_family(kind: type, first: int) -> tuple[Judged, Family]:
    for case in cases(first, 1_000):
        for family in case.laid[1]:
            if isinstance(family, kind) and family.size > 3 and len(case.laid[0].first):
                return case, family
    raise AssertionError(kind)


def test_the_price_of_a_bar_bounds_what_hands_never_met_may_be_charged() -> None:
    """Hands that another bundle has are charged nothing, and that is against all others too."""
    for seed in range(20_000, 20_200):
        case = judged(seed)
        if case is None:
            continue
        for family in case.laid[1]:
            if isinstance(family, AlikeFamily) and family.price is not None and family.size:
                same = family.lawful(np.full(family.size, 10**9))
                assert same.max() <= family.price * SCALE
                return
    raise AssertionError("no case has a price for bars that differ")


def test_unused_shapes_are_guessed_away() -> None:
    case, family = with_family(FewShapesFamily, 20_000)
    assert isinstance(family, FewShapesFamily)
    ways = case.laid[0]
    zero = np.zeros(family.size, np.int64)
    masks = family.guess(zero)
    for mask, numbers, position in zip(masks, family.seen, ways.nodes, strict=True):
        assert len(mask) == len(position)
        assert (mask == (numbers < 0)).all(), "no shape is worth using where none is charged"
