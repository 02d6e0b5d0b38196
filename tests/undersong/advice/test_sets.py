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
from solver.conditions import Conditions
from solver.conditions.few_shapes import FewShapes
from solver.conditions.pins import Pin
from solver.errors import ArrangeError, NotPlayable, Unfulfillable
from solver.result import UNPROVEN, Arrangement, Proof
from solver.set_order import SetOrder, SetQuestion
from solver.style import Style
from solver.watch import OutOfTime, Stopped, Watch
from tests.undersong.advice.evenings import on, set_of
from undersong.advice import set_check, set_ways, sets
from undersong.advice.retuning import retuned
from undersong.advice.set_asked import SetAsked, SetTune
from undersong.advice.set_check import faults
from undersong.advice.set_document import set_json, set_schema
from undersong.advice.set_text import join_words, set_text
from undersong.advice.set_ways import Ways
from undersong.advice.sets import TuneSet, join_of, make_set
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


BAD, WORSE = on("C#3 G#3 C#4"), on("B2 F#3 B3")


def test_tunes_that_cannot_be_played_are_all_told_and_the_others_put_in_order(
    tmp_path: Path,
) -> None:
    lines = [("gate", (BAD, WORSE), ""), ("door", (D_A_D,), ""), ("raffle", (BAD,), "m"),
             ("coats", (D_A_D,), "m")]  # fmt: skip
    made = make_set(set_of(tmp_path, *lines, last=3))
    assert [place.tune.piece.name for place in made.places] == ["door", "coats"]
    assert made.proven
    assert [(each.title, each.instrument) for each in made.not_played] == [
        ("Gate Left Open", BAD), ("Gate Left Open", WORSE), ("Raffle Tickets", BAD)
    ]  # fmt: skip
    assert faults(made) == ()
    page = " ".join(set_text(made, width=400).split())
    for each in made.not_played:
        assert f"{each.title} in {each.where}: {each.why}" in page
    assert max(map(len, set_text(made, width=40).splitlines())) <= 40
    assert "Within a medley" not in page  # its other tune is gone
    document = json.loads(set_json(made))
    Draft202012Validator(set_schema()).validate(document)
    assert [each["title"] for each in document["not_played"]] == [
        "Gate Left Open", "Gate Left Open", "Raffle Tickets"
    ]  # fmt: skip
    assert faults(replace(made, not_played=())) == ("a tune is missing or played twice",)


def test_nothing_is_left_to_order_or_an_end_is_gone(tmp_path: Path) -> None:
    lines = [("gate", (BAD,), ""), ("raffle", (BAD, WORSE), "")]
    with pytest.raises(Unfulfillable) as none:
        make_set(set_of(tmp_path, *lines))
    told = str(none.value)
    assert told.startswith("no tune of the set can be played as asked: Gate Left Open (in C#3-")
    assert "; in B2-F#3-B3, bar 1" in told
    assert told.endswith("give them another tuning, capo or key, or leave them out of the set")
    assert not hasattr(none.value, "bar")  # none of its bars is the reason for all of them
    with pytest.raises(Unfulfillable, match=r"Gate Left Open cannot be first, .* Raffle Tickets"):
        make_set(set_of(tmp_path, *lines, ("door", (D_A_D,), ""), first=0))


def test_no_time_to_see_what_would_do_leaves_the_refusal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def late(*_: object) -> int:
        raise OutOfTime("there was no time to see what can be")

    monkeypatch.setattr(sets, "least_in_a_row", late)
    lines = [(name, (D_A_D,), "") for name in ("gate", "door")]
    with pytest.raises(Unfulfillable, match=r"no order .* there was no time to see what"):
        make_set(set_of(tmp_path, *lines, in_a_row=1, arranged=False))


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


def test_one_tune_is_told_as_one(tmp_path: Path) -> None:
    alone = set_text(make_set(set_of(tmp_path, ("gate", (D_A_D,), ""))), width=400)
    assert "no other answer costs less." in alone
    for word in ("Between", "order", "tunes"):
        assert word not in alone
    two = make_set(set_of(tmp_path, ("gate", (D_A_D, D_A_A), ""), start=D_A_A))
    assert "Before the tune: " in set_text(two)
    assert "none of the tunings and capos named costs less." in set_text(two, width=400)


def test_what_has_no_column_stands_below_its_tune(evening: TuneSet, tmp_path: Path) -> None:
    assert set_text(evening, width=400).count("of the medley m") == 2
    for width in (40, 50, 60, 70, 80, 120):
        page = " ".join(set_text(evening, width=width).split())
        for place in evening.places:
            assert f"{place.amounts['work']} ms" in page
            assert place.follows in page
    asked = set_of(tmp_path, ("gate", (D_A_D,), ""), arranged=False)
    (one,) = asked.tunes
    solo = replace(one.piece, style=lambda _: Style(texture="bass", manner="alternating"))
    moved = replace(asked, tunes=(replace(one, piece=solo, transposed=-5),))
    page = set_text(make_set(moved))
    assert "    texture bass; 5 semitones down from where it is written\n" in page
    (told,) = json.loads(set_json(make_set(moved)))["tunes"]
    assert (told["texture"], told["transposed"]) == ("bass", -5)


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


def test_sums_are_counted_anew(evening: TuneSet) -> None:
    first, *rest = evening.places
    cheaper = replace(first, cost=first.cost - 1)
    wrong = faults(replace(evening, places=(cheaper, *rest)))
    assert any("added up wrongly" in each for each in wrong)


def test_the_strings_that_are_tuned_are_those_that_are_played_on(evening: TuneSet) -> None:
    at, place = next((at, p) for at, p in enumerate(evening.places) if at and p.retuning)
    other = replace(place, retuning=retuned(place.instrument, place.instrument))
    places = (*evening.places[:at], other, *evening.places[at + 1 :])
    wrong = faults(replace(evening, places=places))
    told = f"before {place.tune.title} other strings are tuned than it is played on"
    assert (told in wrong) == (evening.places[at - 1].instrument != place.instrument)
    on_bad = replace(place, retuning=retuned(D_A_A, D_G_D))
    places = (*evening.places[:at], on_bad, *evening.places[at + 1 :])
    assert told in faults(replace(evening, places=places))


def test_what_is_played_as_one_follows_from_what_is_asked(evening: TuneSet) -> None:
    at = next(at for at, place in enumerate(evening.places) if place.joined)
    apart = [replace(each, joined=False) for each in evening.places]
    assert faults(replace(evening, places=tuple(apart))) == (
        f"{apart[at].tune.title} is not joined to the tune before it",
    )


def test_a_tune_that_takes_more_than_its_share_of_time_is_told_with_that_share(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def late(*_: object) -> None:
        raise OutOfTime("no time")

    monkeypatch.setattr(set_ways, "_arranged", late)
    asked = set_of(tmp_path, ("gate", (D_A_D,), ""), ("door", (D_A_D,), ""))
    with pytest.raises(OutOfTime, match=r"^50 s, a share of 100 s, were not enough .* 1 of 2\)"):
        make_set(asked, Watch(seconds=100))


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


def test_a_medley_says_what_other_answers_of_its_tunes_may_save(evening: TuneSet) -> None:
    """The best answers alone are not the best medley: of two tunes another answer of the first can
    lead to the second by a cheaper way."""
    joins = [place.amounts["join"] for place in evening.places if place.joined]
    assert joins
    works = sum(place.amounts["work"] for place in evening.places)
    assert works <= evening.whatever_answers <= evening.bound - sum(joins)
    told = " ".join(set_text(evening).split())
    assert f"no set costs less than {evening.whatever_answers} ms" in told
