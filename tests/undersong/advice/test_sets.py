"""Sets against every order and every choice of tunings, added up here from the arrangements."""

import json
from dataclasses import replace
from itertools import pairwise, permutations, product
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from fretboard.instrument import Instrument
from scoring.evaluate import evaluate
from scoring.set_order import JOIN_TERMS, SetPrices, relation
from solver.errors import ArrangeError, NotPlayable, Unfulfillable
from solver.result import UNPROVEN, Arrangement, Proof
from solver.watch import OutOfTime, Stopped, Watch
from tests.undersong.advice.evenings import on, set_of
from undersong.advice import set_check, sets
from undersong.advice.retuning import retuned
from undersong.advice.set_check import faults
from undersong.advice.set_document import set_json, set_schema
from undersong.advice.set_text import join_words, set_text
from undersong.advice.sets import SetAsked, SetTune, TuneSet, join_of, make_set
from undersong.session import WrongAnswer

D_A_D, D_A_A, D_G_D = on("D-A-d"), on("D-A-A"), on("D-G-d")


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


@pytest.fixture(scope="module")
def evening(tmp_path_factory: pytest.TempPathFactory) -> TuneSet:
    """Four tunes, some in either of two tunings, one medley, sat down to in D-A-A."""
    return make_set(
        set_of(
            tmp_path_factory.mktemp("tunes"),
            ("gate", (D_A_D, D_A_A), "m"),
            ("coats", (D_A_D, D_G_D), ""),
            ("urn", (D_A_D, on("D-A-d", 1)), ""),
            ("door", (D_A_A, D_A_D), "m"),
            start=D_A_A,
        )
    )


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


def test_too_few_in_a_row_says_the_least_that_works(tmp_path: Path) -> None:
    lines = [(name, (D_A_D,), "") for name in ("gate", "door", "raffle", "coats")]
    with pytest.raises(Unfulfillable, match=r"3 of 4 tunes are in D major; the least .* is 2"):
        make_set(set_of(tmp_path, *lines, in_a_row=1, arranged=False))
    assert make_set(set_of(tmp_path, *lines, in_a_row=2, arranged=False)).proven
    with pytest.raises(Unfulfillable, match=r"Coats on Hooks is first; the least .* is 3"):
        make_set(set_of(tmp_path, *lines, in_a_row=2, first=3, arranged=False))


def test_what_cannot_be_asked(tmp_path: Path) -> None:
    lines = [(name, (D_A_D,), "m") for name in ("gate", "door")]
    with pytest.raises(ArrangeError, match="both first and last"):
        set_of(tmp_path, *lines, first=1, last=1)
    with pytest.raises(ArrangeError, match="joins of a medley"):
        set_of(tmp_path, *lines, arranged=False)
    with pytest.raises(ArrangeError, match="at least one"):
        set_of(tmp_path)
    parted = set_of(tmp_path, *lines, ("urn", (D_A_D,), ""), first=0, last=1)
    with pytest.raises(Unfulfillable, match="Gate Left Open cannot be first and Mind the Door"):
        make_set(parted)


def test_a_way_that_cannot_be_played_is_told_and_the_other_taken(tmp_path: Path) -> None:
    bad = on("C#3 G#3 C#4")
    made = make_set(set_of(tmp_path, ("gate", (bad, D_A_D), ""), ("door", (D_A_D,), "")))
    assert [place.instrument for place in made.places] == [D_A_D, D_A_D]
    (left_out,) = made.left_out
    assert left_out.instrument == bad
    assert left_out.why in " ".join(set_text(made, width=400).split())
    with pytest.raises(NotPlayable, match="Gate Left Open cannot be played as asked: bar 1"):
        make_set(set_of(tmp_path, ("gate", (bad,), "")))


def test_an_unproven_answer_that_was_not_chosen_is_no_proof(
    evening: TuneSet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A tune may cost 500 ms less in the tuning that was not taken: no order is proven best, and
    none is said to be above a bound that leaves that out."""
    assert (evening.certain, evening.doubt) == (True, 0)
    asked = set_of(tmp_path, ("gate", (D_A_D, D_A_A), ""), ("door", (D_A_D,), ""))
    known = make_set(asked)
    chosen = [place.instrument for place in known.places]
    found = sets._ways

    def ways(*given: object) -> tuple[object, object]:
        real, left_out = found(*given)  # type: ignore[arg-type]
        doubted = []
        for way in real:
            if way.instrument not in chosen:
                arrangement = way.arrangement
                gap = Proof(UNPROVEN, arrangement.asked_cost - 500, 500)
                way = replace(way, arrangement=replace(arrangement, proof=gap))
            doubted.append(way)
        return doubted, left_out

    monkeypatch.setattr(sets, "_ways", ways)
    made = make_set(asked)
    assert [place.instrument for place in made.places] == chosen
    assert known.proven
    assert not made.proven
    assert made.bound == known.bound - 500
    dear = make_set(replace(asked, prices=SetPrices.of({"work": 2})))
    assert dear.doubt == 1000
    assert "not all are proven best" in " ".join(set_text(made).split())


def test_sums_are_counted_anew(evening: TuneSet) -> None:
    first, *rest = evening.places
    cheaper = replace(first, cost=first.cost - 1)
    wrong = faults(replace(evening, places=(cheaper, *rest)))
    assert any("added up wrongly" in each for each in wrong)


def test_an_order_that_fails_its_check_is_thrown_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(set_check, "faults", lambda made: ("a tune is missing",))
    with pytest.raises(WrongAnswer, match="a tune is missing"):
        make_set(set_of(tmp_path, ("gate", (D_A_D,), ""), arranged=False))


def test_the_order_named_is_told_where_it_costs_more(tmp_path: Path) -> None:
    asked = set_of(
        tmp_path, ("gate", (D_A_D,), ""), ("coats", (D_G_D,), ""), ("door", (D_A_D,), ""),
        arranged=False,
    )  # fmt: skip
    made = make_set(asked)
    # twice a string by two semitones, G after D and D after G; the best leaves one of the two
    assert made.as_named == 2 * (2000 + 2 * 500) + 100 + 150
    assert made.order.cost == 2000 + 2 * 500 + 100
    assert [place.tune.piece.name for place in made.places] == ["gate", "door", "coats"]
    assert "In the order named, in the best tunings for that: 3150 ms more." in set_text(made)


def test_the_document_follows_its_schema_and_says_what_the_page_says(evening: TuneSet) -> None:
    text = set_json(evening, "An evening")
    document = json.loads(text)
    Draft202012Validator.check_schema(set_schema())
    Draft202012Validator(set_schema()).validate(document)
    assert text == set_json(evening, "An evening")
    assert document["cost"] == sum(tune["cost"] for tune in document["tunes"])
    for tune in document["tunes"]:
        prices = document["prices"]
        assert tune["cost"] == sum(prices[name] * much for name, much in tune["amounts"].items())
        for words in tune["before"] if not tune["join"] else []:
            assert words in " ".join(set_text(evening, width=400).split())


def test_far_up_is_cautioned_even_before_the_first(tmp_path: Path) -> None:
    made = make_set(set_of(tmp_path, ("gate", (on("F3 A3 D4"),), ""), arranged=False))
    assert "caution: more than about a whole tone up: the bass string" in set_text(made, width=400)


def test_no_time_and_stopped(tmp_path: Path) -> None:
    asked = set_of(tmp_path, ("gate", (D_A_D,), ""), ("door", (D_A_D,), ""))
    with pytest.raises(OutOfTime):
        make_set(asked, Watch(seconds=0))
    watch = Watch()
    watch.stop.now()
    with pytest.raises(Stopped):
        make_set(asked, watch)
