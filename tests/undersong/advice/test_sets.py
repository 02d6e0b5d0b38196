"""Sets against every order and every choice of tunings, added up here from the arrangements."""

from dataclasses import replace
from itertools import pairwise, permutations, product
from pathlib import Path

import pytest

from fretboard.instrument import Instrument
from scoring.evaluate import evaluate
from scoring.set_order import JOIN_TERMS, SetPrices, relation
from solver.conditions import Conditions
from solver.conditions.few_shapes import FewShapes
from solver.conditions.pins import Pin
from solver.errors import NotPlayable, Unfulfillable
from solver.result import UNPROVEN, Arrangement, Proof
from solver.set_order import SetOrder, SetQuestion
from solver.watch import Watch
from tests.undersong.advice.evenings import D_A_A, D_A_D, D_G_D, set_of
from undersong.advice import sets
from undersong.advice.retuning import retuned
from undersong.advice.set_asked import SetAsked, SetTune
from undersong.advice.set_check import faults
from undersong.advice.set_text import join_words, set_text
from undersong.advice.set_ways import Ways
from undersong.advice.sets import TuneSet, join_of, make_set


def every_arrangement(asked: SetAsked) -> dict[tuple[str, int], Arrangement]:
    """(tune, number of its way) → its arrangement, where it can be played."""
    found = {}
    for one in asked.tunes:
        for way, instrument in enumerate(one.instruments):
            try:
                found[one.piece.name, way] = one.piece.session(instrument).arrange()
            except NotPlayable:
                continue
    return found


def cheapest_of_all(asked: SetAsked) -> int:
    """ms of the best of every order and choice, as ``Retuning`` counts strings."""
    there, prices = every_arrangement(asked), asked.prices
    costs = []
    for order in permutations(asked.tunes):
        ways = [[w for n, w in there if n == one.piece.name] for one in order]
        for chosen in product(*ways):
            played = [
                (one, there[one.piece.name, way]) for one, way in zip(order, chosen, strict=True)
            ]
            cost = _cost(played, asked, prices)
            if cost is not None:
                costs.append(cost)
    return min(costs)


def _cost(
    played: list[tuple[SetTune, Arrangement]], asked: SetAsked, prices: SetPrices
) -> int | None:
    total = sum(found.cost for _, found in played)
    if asked.start is not None:
        total += _changes(asked.start, played[0][1], prices)
    names = [one.medley for one, _ in played]
    for name in set(names) - {""}:
        spots = [at for at, each in enumerate(names) if each == name]
        if spots[-1] - spots[0] != len(spots) - 1:
            return None
    for (one, old), (two, new) in pairwise(played):
        done = _changes(old.instrument, new, prices)
        if one.medley and one.medley == two.medley:
            if done:
                return None
            total += _join(old, new)
        total += done + prices[relation(one.tune.key, two.tune.key)]
    return total


def _changes(before: Instrument, new: Arrangement, prices: SetPrices) -> int:
    to_do = retuned(before, new.instrument)
    strings = to_do.strings * prices["string"] + to_do.semitones * prices["semitone"]
    return strings + to_do.capo_moves * prices["capo-move"]


def _join(old: Arrangement, new: Arrangement) -> int:
    """What the two cost more as one passage than apart, in hand work."""
    pair = old.tune.title, new.tune.title, new.instrument
    if pair not in _JOINS:
        _JOINS[pair] = _counted(old, new)
    return _JOINS[pair]


_JOINS: dict[tuple[str, str, Instrument], int] = {}


def _counted(old: Arrangement, new: Arrangement) -> int:

    def work(*parts: Arrangement) -> int:
        choices = [choice for part in parts for choice in part.choices]
        moments = [moment for part in parts for moment in part.moments]
        bill = evaluate(choices, moments, new.instrument, new.hand, new.weights)
        return sum(cost for name, (_, cost) in bill.terms.items() if name in JOIN_TERMS)

    return work(old, new) - work(old) - work(new)


def test_a_set_is_the_cheapest_of_every_order_and_every_choice(evening: TuneSet) -> None:
    assert evening.proven
    assert evening.order.cost == cheapest_of_all(evening.asked)
    assert faults(evening) == ()
    assert evening.as_named is None  # a tune stands between those of the medley


def test_dear_strings_keep_her_in_the_tuning_she_sits_in(tmp_path: Path) -> None:
    lines = [(name, (D_A_D, D_A_A), "") for name in ("gate", "door", "raffle")]
    dear = set_of(tmp_path, *lines, start=D_A_A, prices=SetPrices.of({"string": 100_000}))
    made = make_set(dear)
    assert [place.instrument for place in made.places] == [D_A_A] * 3
    free = set_of(tmp_path, *lines, start=D_A_A, prices=SetPrices.of(
        {"string": 0, "semitone": 0, "capo-move": 0}))  # fmt: skip
    best = make_set(free)
    for place in best.places:
        both = [place.tune.piece.session(each).arrange().cost for each in (D_A_D, D_A_A)]
        assert place.amounts["work"] == min(both)
    assert made.order.cost == cheapest_of_all(dear)
    assert best.order.cost == cheapest_of_all(free)


def test_a_join_is_what_two_tunes_cost_more_as_one(evening: TuneSet) -> None:
    joined = next(at for at, place in enumerate(evening.places) if place.joined)
    old, new = evening.places[joined - 1], evening.places[joined]
    assert old.arrangement is not None
    assert new.arrangement is not None
    assert new.amounts["join"] == _join(old.arrangement, new.arrangement)
    assert new.amounts["join"] == join_of(old.arrangement, new.arrangement)
    assert join_words(old, new).endswith(f", {new.amounts['join']} ms")
    assert f"play on: {join_words(old, new)}" in set_text(evening)


def test_strings_stay_within_a_medley(tmp_path: Path) -> None:
    asked = set_of(tmp_path, ("gate", (D_A_D,), "m"), ("coats", (D_G_D,), "m"))
    with pytest.raises(Unfulfillable, match=r"cannot be changed within a medley.*Gate Left Open, "):
        make_set(asked)
    apart = set_of(tmp_path, ("gate", (D_A_D,), ""), ("coats", (D_G_D,), ""))
    assert make_set(apart).amount("string") == 1


def test_the_order_named_is_where_the_search_begins(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Four tunes in two tunings each: the order named, in its best ways, and what it costs."""
    asked = set_of(
        tmp_path, *[(name, (D_A_D, D_G_D), "") for name in ("coats", "gate", "urn", "door")],
        arranged=False, start=D_A_A,
    )  # fmt: skip
    known = []
    solve = sets.order_set

    def told(question: SetQuestion, watch: Watch, named: tuple[int, ...]) -> SetOrder:
        known.append((question, named))
        return solve(question, watch, named)

    monkeypatch.setattr(sets, "order_set", told)
    made = make_set(asked)
    ((question, named),) = known
    assert [question.tune[way] for way in named] == [0, 1, 2, 3]
    every = [question.cost(ways) for ways in product((0, 1), (2, 3), (4, 5), (6, 7))]
    assert made.as_named == question.cost(named) == min(cost for cost in every if cost is not None)


def test_pins_hold_in_a_set_and_what_conditions_charge_counts(tmp_path: Path) -> None:
    asked = set_of(tmp_path, ("gate", (D_A_D,), ""), ("door", (D_A_D,), ""))
    one, other = asked.tunes
    free = one.piece.session(D_A_D).arrange()
    used = free.choices[1].grip.frets
    away = Conditions(pins=Pin.parse(f"1: middle {D_A_D.label(used[1])}", True, D_A_D))
    made = make_set(replace(asked, tunes=(replace(one, piece=replace(one.piece, conditions=away)),
                                          other)))  # fmt: skip
    place = next(each for each in made.places if each.tune.piece.name == "gate")
    assert place.arrangement is not None
    assert place.arrangement.choices[1].grip.frets[1] != used[1]
    assert place.amounts["work"] == place.arrangement.asked_cost
    dear = Conditions(shapes=FewShapes(None, (), 100))
    piece = replace(one.piece, conditions=dear)
    charged = make_set(replace(asked, tunes=(replace(one, piece=piece),)))
    found = charged.places[0].arrangement
    assert found is not None
    assert charged.order.cost == found.asked_cost > found.cost


def test_an_unproven_answer_that_was_not_chosen_is_no_proof(
    evening: TuneSet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A tune may cost 500 ms less in the tuning that was not taken: no order is proven best, and
    none is said to be above a bound that leaves that out."""
    assert (evening.certain, evening.doubt) == (True, 0)
    asked = set_of(tmp_path, ("gate", (D_A_D, D_A_A), ""), ("door", (D_A_D,), ""))
    known = make_set(asked)
    chosen = [place.instrument for place in known.places]
    found = sets.ways_of

    def ways(*given: object) -> Ways:
        real = found(*given)  # type: ignore[arg-type]
        doubted = []
        for way in real.ways:
            if way.instrument not in chosen:
                arrangement = way.arrangement
                assert arrangement is not None
                gap = Proof(UNPROVEN, arrangement.asked_cost - 500, 500)
                way = replace(way, arrangement=replace(arrangement, proof=gap))
            doubted.append(way)
        return replace(real, ways=tuple(doubted))

    monkeypatch.setattr(sets, "ways_of", ways)
    made = make_set(asked)
    assert [place.instrument for place in made.places] == chosen
    assert known.proven
    assert not made.proven
    assert made.bound == known.bound - 500
    dear = make_set(replace(asked, prices=SetPrices.of({"work": 2})))
    assert dear.doubt == 1000
    assert "not all are proven best" in " ".join(set_text(made).split())
