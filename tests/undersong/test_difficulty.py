"""Difficulty on answers: a property of theirs, words on the page, figures in the document."""

import json
import re
from dataclasses import replace
from statistics import median_low

import pytest
from jsonschema import Draft202012Validator

from scoring.difficulty import BarRating, Parts
from scoring.weights import Weights
from tests.scoring.plain_difficulty import plain_bars
from tests.undersong.arranged import bundled
from undersong.sheet.document import from_json, schema, to_json
from undersong.sheet.errors import SheetError
from undersong.sheet.text import text_tab
from undersong.sheet.text_difficulty import bar_words, parts_words


def test_an_answers_rating_is_counted_move_by_move_and_no_weight_touches_it() -> None:
    made = bundled("kettle-on-at-nine")
    plain = plain_bars(made.choices, made.moments, made.instrument, made.hand)
    assert made.difficulty.by_bar == plain
    assert made.difficulty.hardest == max(plain.values())
    assert made.difficulty.median == median_low(plain.values())
    other = replace(made, weights=Weights.of({"finger-down": 900}))
    assert other.cost != made.cost
    assert other.difficulty == made.difficulty


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        (Parts(300, 400, 92), "a reach of 92 % of your greatest, and 0.40 s to make it"),
        (Parts(0, 400, 92), "a reach of 92 % of your greatest, held on from the moment before"),
        (Parts(0, 0, 50), "a reach of 50 % of your greatest, made before the tune begins"),
        (
            Parts(1240, 1500, 50, True, True, 2),
            "1.2 s of movement, and 1.5 s to make it (83 %, and 24 more for a shift of the hand, a "
            "finger laid across strings and 2 fingers put down)",
        ),
        (
            Parts(9, 3, fingers=1),
            "0.009 s of movement, and 0.003 s to make it (300 %, and 2 more for 1 finger put down)",
        ),
        (
            Parts(300, 400, 92, fingers=1),
            "a reach of 92 % of your greatest, and 0.40 s to make it (and 2 more for 1 finger put "
            "down)",
        ),
        (Parts(laid=True, time=500), "a finger laid across strings"),
        (Parts(), "nothing to move or to stretch"),
    ],
)
def test_words_are_made_from_the_numbers(parts: Parts, words: str) -> None:
    assert parts_words(parts, noter=False) == words


def test_a_noter_is_no_finger() -> None:
    assert parts_words(Parts(9, 30, shift=True, fingers=1), noter=True) == (
        "0.009 s of movement, and 0.03 s to make it (30 %, and 12 more for a shift of the "
        "hand and the noter moved)"
    )


def test_bars_are_named_as_they_are_printed() -> None:
    tune = bundled("kettle-on-at-nine").tune
    again = [b for b in tune.played if b.turn == 2]
    number = tune.bars[again[0].written].number
    words = bar_words(BarRating(again[0].number, Parts()), tune, noter=False)
    assert words == f"bar {number} (2nd time): nothing to move or to stretch"


def test_the_page_tells_the_hardest_bar_and_the_median() -> None:
    made = bundled("kettle-on-at-nine")
    page = " ".join(text_tab(made).split())
    found = re.search(
        r"Difficulty: hardest (\d+) %, median (\d+) % .* Hardest is (bar [^:]+):", page
    )
    assert found is not None
    plain = plain_bars(made.choices, made.moments, made.instrument, made.hand)
    assert found.group(1, 2) == (str(max(plain.values())), str(median_low(plain.values())))
    assert bar_words(made.difficulty.hardest_bar, made.tune, False).startswith(found.group(3) + ":")


def test_the_document_has_it_and_its_schema_asks_for_whole_numbers() -> None:
    made = bundled("kettle-on-at-nine")
    document = json.loads(to_json(made))
    Draft202012Validator(schema()).validate(document)
    rated = document["difficulty"]
    plain = plain_bars(made.choices, made.moments, made.instrument, made.hand)
    assert {bar["bar"]: bar["rating"] for bar in rated["bars"]} == plain
    assert (rated["hardest"], rated["median"]) == (max(plain.values()), median_low(plain.values()))
    assert all(type(value) is int for bar in rated["bars"] for value in bar.values())
    assert from_json(to_json(made)) == made


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        (("hardest",), 1, "difficulty.hardest: this must be "),
        (("median",), "easy", "difficulty.median: this must be a whole number"),
        (("bars",), [], "difficulty.bars: 0 bars here, and something begins in "),
        (("bars", 0, "rating"), 999, "difficulty.bars[0].rating: this must be "),
        (("bars", 0, "shift"), True, "difficulty.bars[0].shift: this must be a whole number"),
        (("bars", 0), {"bar": 1}, 'difficulty.bars[0]: "rating" is missing here'),
        (("level",), 1, 'difficulty: "level" is unknown here'),
    ],
)
def test_a_document_that_disagrees_is_refused(
    path: tuple[str | int, ...], value: object, says: str
) -> None:
    document = json.loads(to_json(bundled("harrow-lane")))
    inside = document["difficulty"]
    for key in path[:-1]:
        inside = inside[key]
    inside[path[-1]] = value
    with pytest.raises(SheetError) as caught:
        from_json(json.dumps(document), "tune.json")
    assert says in str(caught.value)
    assert str(caught.value).startswith("tune.json")
    assert "\n" not in str(caught.value)
