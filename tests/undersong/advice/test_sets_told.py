"""Sets checked and told: sums counted anew, orders spoilt on purpose, the page in any width, and
the document against its schema."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from solver.style import Style
from tests.undersong.advice.evenings import D_A_A, D_A_D, D_G_D, on, set_of
from undersong.advice import set_check
from undersong.advice.retuning import retuned
from undersong.advice.set_check import faults
from undersong.advice.set_document import set_json, set_schema
from undersong.advice.set_text import set_text
from undersong.advice.sets import TuneSet, make_set
from undersong.session import WrongAnswer


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


def test_a_medley_says_what_other_answers_of_its_tunes_may_save(evening: TuneSet) -> None:
    """The best answers alone are not the best medley: of two tunes another answer of the first can
    lead to the second by a cheaper way."""
    joins = [place.amounts["join"] for place in evening.places if place.joined]
    assert joins
    works = sum(place.amounts["work"] for place in evening.places)
    assert works <= evening.whatever_answers <= evening.bound - sum(joins)
    told = " ".join(set_text(evening).split())
    assert f"no set costs less than {evening.whatever_answers} ms" in told
