"""JSON: what is written is what is read, and what the published schema describes."""

import json
from dataclasses import fields, replace
from fractions import Fraction
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings

import corpus
import undersong
from fretboard.frets import fret_semitones
from fretboard.hand import Hand, Movement
from fretboard.instrument import Course, Instrument
from fretboard.presets import hand, hands, instrument, instruments
from scoring.moment import ROLES
from scoring.weights import DEFAULTS, Weights
from solver.errors import ArrangeError
from solver.result import PROVEN, UNPROVEN, Arrangement, Proof, Taught
from solver.righthand import STRINGS, RightHand, Stroke, right_hand, right_hands
from solver.style import Style
from tests.undersong.arranged import arrangements, bundled, chart, found
from tests.undersong.melodious import drone
from tune.chord import QUALITIES
from tune.key import MODES
from tune.tune import Bar, Note, Tune
from undersong.sheet.document import from_json, schema, to_json
from undersong.sheet.errors import SheetError

CORPUS = [name for name in corpus.names() if name != "the-vicars-piano"]


def validate(text: str) -> dict[str, Any]:
    """The document, held against the schema."""
    document: dict[str, Any] = json.loads(text)
    jsonschema.validate(document, schema(), jsonschema.Draft202012Validator)
    return document


def test_the_schema_is_one_itself() -> None:
    """JSON Schema draft 2020-12, by the package jsonschema."""
    jsonschema.Draft202012Validator.check_schema(schema())
    assert schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("name", CORPUS)
def test_a_bundled_tune_comes_back_as_it_was(name: str) -> None:
    arrangement = bundled(name)
    text = to_json(arrangement)
    validate(text)
    again = from_json(text)
    assert again == arrangement
    assert again.tune.notices == arrangement.tune.notices
    assert to_json(again) == text


@settings(max_examples=15, deadline=None)
@given(arrangements())
def test_any_arrangement_comes_back_as_it_was(arrangement: Arrangement) -> None:
    text = to_json(arrangement)
    validate(text)
    assert text.isascii()
    assert text.endswith("}\n")
    assert from_json(text) == arrangement


def settled(**changes: Any) -> Arrangement:
    """A short tune with other settings than it was arranged for, hence no longer proven."""
    tune = chart("key: D\nmetre: 4/4\n| D . A7 . | D/F# | N.C. | D |")
    return replace(found(tune), proof=Proof(UNPROVEN, 0, 0), **changes)


def test_what_is_called_proven_is_checked_again() -> None:
    claimed = replace(settled(hand=hand("beginner")), proof=Proof(PROVEN, 0, 0))
    with pytest.raises(SheetError, match="are called proven and cannot be played: bar"):
        from_json(to_json(claimed))


@pytest.mark.parametrize("info", hands(), ids=lambda info: info.name)
def test_every_hand_comes_back(info: Any) -> None:
    arrangement = settled(hand=info.hand)
    if info.hand.noter:  # which has one finger, and drones only
        played = drone()
        arrangement = undersong.arrange(played.tune, hand=info.hand, style=played.style)
    assert from_json(to_json(arrangement)) == arrangement


def test_a_noter_comes_back_as_it_was_counted() -> None:
    """Its slide in one movement, or in two, as in documents written before that was known."""
    whole = hand("noter")
    parts = replace(whole, movement=replace(whole.movement, slide_a=None, slide_b=None))
    style = Style(manner="held", texture="drone")
    costs = []
    for stick, keys in ((whole, {"slide_a", "slide_b"}), (parts, set())):
        arrangement = undersong.arrange("wet-boots-in-the-porch", hand=stick, style=style)
        document = validate(to_json(arrangement))
        written = document["hand"]["movement"]
        assert {key for key in written if key.startswith("slide")} == keys
        assert from_json(json.dumps(document)) == arrangement
        costs.append(arrangement.cost)
    assert costs[0] < costs[1]
    document["hand"]["movement"]["slide_a"] = 20
    with pytest.raises(SheetError, match="slide_b"):
        from_json(json.dumps(document))


@pytest.mark.parametrize("info", instruments(), ids=lambda info: info.name)
def test_every_instrument_comes_back(info: Any) -> None:
    from random import Random

    from tests.undersong.arranged import by_chance

    tune = chart("key: D\nmetre: 4/4\n| D | A | D |")
    arrangement = by_chance(tune, Style(), info.instrument, Random(2))
    text = to_json(arrangement)
    validate(text)
    assert from_json(text) == arrangement


@pytest.mark.parametrize("hand", right_hands(), ids=lambda hand: hand.name)
def test_every_right_hand_comes_back(hand: RightHand) -> None:
    tune = chart("key: D\nmetre: 4/4\n| D | D |")
    arrangement = found(tune, Style(manner="roots", right_hand=hand))
    assert from_json(to_json(arrangement)) == arrangement


def test_a_hand_and_weights_of_ones_own_come_back() -> None:
    hand = Hand("mine", 187, "IM", "P", Movement(61, 99, 7, 44, 20, 33), {(0, 1): 900}, {})
    weights = Weights.of({"high-bass": 99, "parallel-fifths": 3})
    arrangement = settled(hand=hand, weights=weights)
    again = from_json(to_json(arrangement))
    assert again == arrangement
    assert again.weights["high-bass"] == 99
    assert again.cost == arrangement.cost


def test_the_fields_have_the_published_names_and_units() -> None:
    """Field names as fixed for the format; pitches by the trade's fret table (TRADE.md)."""
    arrangement = bundled("wet-boots-in-the-porch", "walking", "damped-bass-then-strum")
    document = validate(to_json(arrangement))
    assert document["format"] == "undersong arrangement"
    assert document["version"] == 3
    assert document["proof"] == {"status": "proven best", "bound": arrangement.cost, "gap": 0}
    assert document["cost"]["total"] == arrangement.cost == sum(document["cost"]["terms"].values())
    for name, cost in document["cost"]["terms"].items():
        assert cost == document["cost"]["amounts"][name] * document["weights"][name]
    played = arrangement.tune.played
    at = Fraction(0)
    opens = [string["midi"] for string in document["instrument"]["strings"]]
    for item, moment, choice in zip(
        document["moments"], arrangement.moments, arrangement.choices, strict=True
    ):
        start = Fraction(played[item["bar"] - 1].start, 10080)
        assert start + Fraction(item["offset"]) == at
        at += Fraction(item["length"])
        assert item["written_bar"] == arrangement.tune.bars[moment.written].number
        assert item["chord"] == (moment.chord.symbol if moment.chord else None)
        assert item["bass_role"] == choice.role
        for course, string in enumerate(item["strings"]):
            assert string["struck"] == choice.struck[course]
            if string["fret"] is None:
                assert string["midi"] is None
                assert not string["ringing"]
            else:
                assert string["midi"] == opens[course] + fret_semitones(string["fret"])
                assert string["ringing"] == (course > 0), "the palm damps every bass note"
    assert at == Fraction(played[-1].start + arrangement.tune.bars[-1].length, 10080)


def test_the_document_has_a_line_for_every_string_and_no_clock() -> None:
    text = to_json(bundled("harrow-lane"))
    assert '{"fret": "0", "finger": null, "struck": true, "ringing": true, "midi": 50}' in text
    assert max(map(len, text.split("\n"))) <= 110
    assert "seconds" not in text


def test_everything_that_an_arrangement_holds_is_written() -> None:
    """A field added to one of these must be written and read too, or equality is lost."""
    assert {f.name for f in fields(Arrangement)} == {
        "tune", "instrument", "hand", "style", "weights", "moments", "choices", "proof",
        "conditions", "level",
    }  # fmt: skip
    written = json.loads(to_json(bundled("harrow-lane")))
    assert {f.name for f in fields(Style)} == set(written["style"])
    assert {f.name for f in fields(RightHand)} == set(written["style"]["right_hand"])
    assert {f.name for f in fields(Hand)} == {*written["hand"], "thumb_on_bass"}
    off = to_json(undersong.arrange("mending-weather", hand=Hand(thumb_on_bass=False)))
    assert json.loads(off)["hand"]["thumb_on_bass"] is False
    assert from_json(off).hand == Hand(thumb_on_bass=False)
    slide = {"slide_a", "slide_b"}  # of a noter
    assert {f.name for f in fields(Movement)} - slide == set(written["hand"]["movement"])
    assert {f.name for f in fields(Tune)} - {"chords_are"} == set(written["tune"])  # if not given
    tick = {"tick": "offset"}
    assert {f.name for f in fields(Bar)} == set(written["tune"]["bars"][0])
    names = {tick.get(f.name, f.name) for f in fields(Note)}
    assert names == set(written["tune"]["bars"][0]["notes"][0])
    assert {f.name for f in fields(Stroke)} == {"tick", "strings"}
    assert {f.name for f in fields(Course)} == {"open", "frets", "doubled"}
    how_it_is_told = {"from_capo"}
    assert {f.name for f in fields(Instrument)} - how_it_is_told == {
        "name", "courses", "scale_mm", "spacing_mm", "capo",
    }  # fmt: skip


def test_which_level_it_is_comes_back() -> None:
    text = to_json(replace(bundled("harrow-lane"), level=Taught(2, "The root alone.")))
    assert validate(text)["level"] == {"number": 2, "teaches": "The root alone."}
    assert from_json(text).level == Taught(2, "The root alone.")
    assert "level" not in json.loads(to_json(bundled("harrow-lane")))
    for wrong, said in (("0", "number"), ('"2"', "number"), ("null", "number")):
        with pytest.raises(SheetError, match=said):
            from_json(text.replace('"level": {"number": 2', f'"level": {{"number": {wrong}'))
    with pytest.raises(SheetError, match=r"level\.teaches: .*one line"):
        from_json(text.replace("The root alone.", "The root\\nalone."))
    for number, teaches in ((0, "Roots."), (1, ""), (1, "Two  blanks.")):
        with pytest.raises(ArrangeError):
            Taught(number, teaches)


def test_the_schema_knows_every_word_of_the_program() -> None:
    defs = schema()["$defs"]
    assert defs["moment"]["properties"]["bass_role"]["enum"] == [*ROLES, None]
    assert defs["key"]["properties"]["mode"]["enum"] == list(MODES)
    bars = defs["style"]["properties"]["right_hand"]["properties"]["bars"]
    stroke = bars["items"]["properties"]["strokes"]["items"]
    assert stroke["properties"]["strings"]["enum"] == list(STRINGS)
    for quality in QUALITIES:
        jsonschema.validate(f"F#{quality}/Bb", {**defs["chord"]})


def test_the_schema_refuses_what_is_no_arrangement() -> None:
    """It is no schema that everything passes."""
    document = json.loads(to_json(bundled("harrow-lane")))
    silent = {"fret": None, "finger": "T", "struck": False, "ringing": False, "midi": None}
    for path, value in (
        (("version",), 1),
        (("moments",), []),
        (("moments", 0, "offset"), 0),
        (("moments", 0, "bass_role"), "tenor"),
        (("moments", 0, "strings", 1), silent),
        (("weights", "high-bass"), -1),
        (("tune", "bars", 0, "chords", 0, "chord"), "H"),
        (("proof", "status"), "good"),
    ):
        broken = json.loads(json.dumps(document))
        place = broken
        for step in path[:-1]:
            place = place[step]
        place[path[-1]] = value
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(broken, schema(), jsonschema.Draft202012Validator)


def test_weights_left_out_have_their_defaults() -> None:
    text = to_json(settled())
    document = json.loads(text)
    document["weights"] = {}
    assert dict(from_json(json.dumps(document)).weights.items()) == dict(DEFAULTS)


def test_moments_that_tune_and_style_do_not_ask_for_cannot_be_written() -> None:
    arrangement = settled()
    moments = (replace(arrangement.moments[0], judged=True), *arrangement.moments[1:])
    assert moments != arrangement.moments
    with pytest.raises(SheetError, match="Exercise cannot be written as JSON: its moments"):
        to_json(replace(arrangement, moments=moments))


def test_other_strings_and_a_capo_come_back() -> None:
    strung = instrument("four-equidistant", tuning="D-A-d-d", capo=1)
    tune = chart("key: E minor\nmetre: 6/8\n| Em | Bm | Em |")
    arrangement = found(tune, Style(right_hand=right_hand("full-strum")), strung)
    document = validate(to_json(arrangement))
    assert document["capo"] == "1"
    assert len(document["moments"][0]["strings"]) == 4
    assert from_json(to_json(arrangement)) == arrangement
