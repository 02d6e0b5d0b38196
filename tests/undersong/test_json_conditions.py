"""What was asked of the whole tune, in JSON: what is written is what is read."""

import json
from dataclasses import fields, replace
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.conditions import NONE, Conditions
from solver.conditions.alike import COMES_AGAIN, Alike
from solver.conditions.bars import Bars
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import FewShapes, LearnedShape
from solver.conditions.limits import BarLimit, Limits
from solver.conditions.near import Near, Placed
from solver.conditions.pinned import (
    Barred,
    BassManner,
    BassNote,
    BassRole,
    FingerDown,
    Hands,
    Kept,
    OneString,
    Shape,
)
from solver.conditions.pins import Pin
from solver.conditions.quota import COUNTED, Quota
from solver.result import UNPROVEN, Arrangement, Proof
from solver.style import Style
from tests.undersong.arranged import arrangements, chart, found
from tests.undersong.test_json import validate
from undersong.sheet.document import from_json, schema, to_json
from undersong.sheet.errors import SheetError
from undersong.sheet.json_conditions import conditions_in, conditions_out
from undersong.sheet.json_node import parse

PRICES = st.none() | st.integers(0, 1_000_000)
NAMES = st.sampled_from(["A", "b", "5", "Verse “x”", "the end"])


@st.composite
def bars(draw: st.DrawFn) -> Bars:
    if draw(st.booleans()):
        return Bars(section=draw(st.just("") | NAMES))
    first = draw(st.integers(0, 300))
    return Bars(first, first + draw(st.integers(0, 9)))


@st.composite
def learned_shapes(draw: st.DrawFn) -> LearnedShape:
    frets = draw(st.tuples(*[st.none() | st.integers(0, 24)] * 3))
    if draw(st.booleans()):
        return LearnedShape(frets)
    return LearnedShape(frets, tuple(None if f is None else draw(st.integers(0, 4)) for f in frets))


@st.composite
def few_shapes(draw: st.DrawFn) -> FewShapes:
    most = draw(st.none() | st.integers(0, 30))
    if most is not None and draw(st.booleans()):
        return FewShapes(most)
    known = tuple(draw(st.lists(learned_shapes(), max_size=3)))
    return FewShapes(most, known, draw(PRICES))


@st.composite
def quotas(draw: st.DrawFn) -> Quota:
    what = draw(st.sampled_from(list(COUNTED)))
    least = draw(st.none() | st.integers(0, 40))
    most = draw(st.integers(least or 0, 10_000) if least is None else st.none())
    above = draw(st.integers(0, 1000)) if what == "hard" else None
    return Quota(what, least, most, above, draw(bars()), draw(st.booleans()))


SILENT_OR_FRET = st.sampled_from((None, -1, 0, 2, 4, 5, 7))


@st.composite
def pins(draw: st.DrawFn) -> Pin:
    frets = tuple(draw(SILENT_OR_FRET) for _ in range(3))
    fingers = tuple(
        None if fret is None else draw(st.integers(0, 4)) if fret > 0 else -1 for fret in frets
    )
    shape = Shape((4, *frets[1:]), (draw(st.integers(0, 4)), *fingers[1:]))
    exact = Shape((4, 7, -1), (0, draw(st.integers(0, 4)), -1))
    strokes = draw(st.none() | st.tuples(*[st.booleans()] * 3))
    forbid, beat = draw(st.booleans()), draw(st.none() | st.integers(1, 12))
    free = (
        Shape(shape.frets), shape, OneString(0, 3, draw(st.sampled_from((-1, 0, 5)))),
        OneString(2, 3, None, 1), OneString(1, 3, 7, 0), BassNote("F#"), BassNote("D3"),
        BassRole("alternate fourth"), BassRole("passing"),
    )  # fmt: skip
    fixed = (BassManner("walking"), Kept(((Hands(exact, strokes),) * 2, (Hands(exact),))))
    kind = draw(st.sampled_from(("free", "fixed", "forbidden")))
    if kind == "fixed":
        return Pin(draw(bars()), draw(st.sampled_from(fixed)))
    if kind == "forbidden":
        return Pin(draw(bars()), draw(st.sampled_from((FingerDown(4), Barred()))), True, beat)
    return Pin(draw(bars()), draw(st.sampled_from(free)), forbid, beat)


@st.composite
def nears(draw: st.DrawFn) -> Near:
    places = draw(st.sets(st.tuples(st.integers(1, 99), st.integers(0, 999)), min_size=1))
    frets = st.tuples(*[st.none() | st.integers(-1, 24)] * 3)
    rows = tuple(Placed(bar, 2520 * part, draw(frets)) for bar, part in places)
    return Near(rows, draw(st.integers(0, 1_000_000)))


@st.composite
def limits(draw: st.DrawFn) -> Limits:
    percents = st.none() | st.integers(0, 1000)
    most = draw(st.dictionaries(st.integers(1, 99), st.integers(0, 1000), max_size=3))
    bars = {bar: (percent, draw(st.integers(0, percent))) for bar, percent in most.items()}
    made = Limits.of(
        draw(st.none() | st.integers(0, 5)),
        draw(percents),
        draw(percents),
        draw(st.none() | st.sampled_from((0, 2, 3, 11, 24))),
        draw(st.booleans()),
        tuple(BarLimit(bar, *percents) for bar, percents in bars.items()),
    )
    return Limits(fingers=2) if made is None else made


@st.composite
def asked(draw: st.DrawFn) -> Conditions:
    """Conditions by chance; nobody would ask for them."""
    return Conditions(
        draw(st.none() | st.builds(Alike, st.sampled_from(list(COMES_AGAIN)), PRICES)),
        draw(st.none() | few_shapes()),
        tuple(draw(st.lists(quotas(), max_size=3))),
        tuple(draw(st.lists(pins(), max_size=2))),
        draw(st.none() | st.builds(Costliest, st.none() | st.integers(1, 1000))),
        draw(st.none() | nears()),
        draw(st.none() | limits()),
    )


def short() -> Arrangement:
    return found(chart("key: D\nmetre: 4/4\n| D . A7 . | D | D |"))


def with_conditions(arrangement: Arrangement, conditions: Conditions) -> Arrangement:
    """Manners are left out: they would ask for other moments."""
    pins = tuple(pin for pin in conditions.pins if not isinstance(pin.pinned, BassManner))
    conditions = replace(conditions, pins=pins)
    return with_proof(replace(arrangement, conditions=conditions))


def with_proof(made: Arrangement) -> Arrangement:
    return replace(made, proof=Proof(UNPROVEN, 0, made.asked_cost))


@settings(max_examples=100, deadline=None)
@given(asked())
def test_any_conditions_come_back_as_they_were(conditions: Conditions) -> None:
    written = json.dumps(conditions_out(conditions))
    assert conditions_in(parse(written), SHORT.instrument) == conditions
    assert written.isascii()


@settings(max_examples=10, deadline=None)
@given(asked())
def test_a_document_comes_back_with_its_conditions(conditions: Conditions) -> None:
    made = with_conditions(SHORT, conditions)
    text = to_json(made)
    validate(text)
    assert text.isascii()
    again = from_json(text)
    assert again == made
    assert again.conditions == made.conditions
    assert to_json(again) == text


@settings(max_examples=4, deadline=None)
@given(arrangements(), asked())
def test_any_arrangement_comes_back_with_its_conditions(
    arrangement: Arrangement, conditions: Conditions
) -> None:
    """Pins speak of one instrument's frets, and are left out here."""
    made = with_conditions(arrangement, replace(conditions, pins=()))
    text = to_json(made)
    validate(text)
    assert from_json(text) == made


SHORT = short()


def test_nothing_asked_is_not_written() -> None:
    """Documents from before there were conditions read as they did."""
    document = json.loads(to_json(SHORT))
    assert "conditions" not in document
    assert "asked" not in document["cost"]
    assert from_json(json.dumps(document)).conditions == NONE
    document["conditions"] = {
        "alike": None, "shapes": None, "quotas": [], "pins": [], "costliest": None,
    }  # fmt: skip
    assert from_json(json.dumps(document)) == SHORT


def test_a_manner_of_its_own_asks_for_other_moments() -> None:
    walked = found(SHORT.tune, Style(manner="walking"))
    pinned = Conditions(pins=(Pin(Bars(), BassManner("walking")),))
    made = with_proof(replace(walked, style=SHORT.style, conditions=pinned))
    assert made.moments != SHORT.moments
    text = to_json(made)
    validate(text)
    assert from_json(text) == made
    with pytest.raises(SheetError, match="its moments are not the ones"):
        to_json(replace(made, conditions=NONE))
    document = json.loads(text)
    document["conditions"]["pins"].append(
        document["conditions"]["pins"][0] | {"pinned": "manner held"}
    )
    with pytest.raises(SheetError, match=r"conditions\.pins: bar 1 cannot have two manners"):
        from_json(json.dumps(document))


def document_with(path: str, value: Any) -> str:
    """A document with everything asked and another value at a path such as ``alike what``."""
    everything = Conditions(
        Alike("bars", 5),
        FewShapes(3, (LearnedShape((None, 4, 2), (None, 1, 2)),), 20),
        (Quota("hard", 0, 2, 150, Bars(1, 2)),),
        (Pin(Bars(2, 2), BassRole("root")),),
        Costliest(2),
        Near((Placed(1, 0, (0, None, -1)),), 40),
    )
    document = json.loads(to_json(with_conditions(SHORT, everything)))
    place: Any = document
    *steps, last = [int(step) if step.isdigit() else step for step in path.split(" ")]
    for step in steps:
        place = place[step]
    if value == "del":
        del place[last]
    else:
        place[last] = value
    return json.dumps(document)


BROKEN = [
    ("conditions alike what", "verses", "conditions.alike: nothing called 'verses' can be alike"),
    ("conditions alike price", -1, "conditions.alike.price: this must be a whole number from 0"),
    ("conditions alike", 3, "conditions.alike: this must be an object, not 3"),
    ("conditions shapes most", "4", "conditions.shapes.most: this must be a whole number"),
    ("conditions shapes known", None, "conditions.shapes: a price for other shapes needs a list"),
    ("conditions shapes known 0 frets 1", "H", "conditions.shapes.known[0].frets[1]: "),
    ("conditions shapes known 0 fingers 1", "IM", "known[0].fingers[1]: this must be null or one"),
    ("conditions shapes known 0 fingers 1", None, "a shape names a finger for every string"),
    ("conditions shapes known 0 fingers", ["I"], "3 strings here, and 1 place for fingers"),
    ("conditions quotas 0 what", "jumps", "conditions.quotas[0]: nobody counts 'jumps'"),
    ("conditions quotas 0 least", 3, "conditions.quotas[0]: hard: at least 3 and at most 2"),
    ("conditions quotas 0 above", None, "hard bars, and only they, need the difficulty"),
    ("conditions quotas 0 bars last", None, "conditions.quotas[0].bars: a range of bars has a"),
    ("conditions quotas 0 bars section", "A", "bars are named by number or by section, not both"),
    ("conditions quotas", None, "conditions.quotas: this must be a list, not null"),
    ("conditions pins 0 forbid", "no", "conditions.pins[0].forbid: this must be true or false"),
    ("conditions pins 0 pinned", "tenor 3", "pins[0].pinned: 'tenor 3' cannot be pinned"),
    ("conditions pins 0 pinned", "bass 1+", "there is no fret 1+ under the bass string"),
    ("conditions pins 0 pinned", "barred", "conditions.pins[0]: barred: this can only be"),
    ("conditions pins 0 beat", 0, "conditions.pins[0]: beats are counted from 1"),
    ("conditions costliest weight", 0, "conditions.costliest: the costliest moment can weigh 1 to"),
    ("conditions costliest", "del", 'conditions: "costliest" is missing here'),
    ("conditions near price", 1_000_001, "conditions.near: near: the price of a string that"),
    ("conditions near rows", [], "conditions.near: near: name some frets to be near to"),
    ("conditions near rows 0 frets 0", "H", "conditions.near.rows[0].frets[0]: "),
    ("conditions near rows 0 offset", 1, "conditions.near.rows[0].offset: this must be quarter"),
    ("conditions near rows 0 bar", 0, "near.rows[0].bar: this must be a whole number from 1"),
    ("conditions wish", 1, 'conditions: "wish" is unknown here'),
    ("conditions", None, "conditions: this must be an object, not null"),
    ("conditions", "del", 'cost: "asked" is unknown here'),
    ("cost asked", "del", 'cost: "asked" is missing here'),
    ("cost asked", 1, "which is the cost with all that was asked at a price"),
]


@pytest.mark.parametrize(("path", "value", "says"), BROKEN)
def test_conditions_that_cannot_be(path: str, value: Any, says: str) -> None:
    with pytest.raises(SheetError) as caught:
        from_json(document_with(path, value), "mine.json")
    assert str(caught.value).startswith("mine.json: ")
    assert says in str(caught.value)


def test_the_schema_knows_every_condition() -> None:
    defs = schema()["$defs"]
    properties = defs["conditions"]["properties"]
    assert list(properties) == [field.name for field in fields(Conditions)]
    assert properties["alike"]["properties"]["what"]["enum"] == list(COMES_AGAIN)
    assert defs["quota"]["properties"]["what"]["enum"] == list(COUNTED)
    for name, kind in (("quota", Quota), ("pin", Pin), ("shape", LearnedShape), ("bars", Bars)):
        assert set(defs[name]["properties"]) == {field.name for field in fields(kind)}


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("conditions alike what", "verses"),
        ("conditions costliest weight", 0),
        ("conditions quotas 0 what", "jumps"),
        ("conditions shapes price", -1),
        ("conditions shapes known 0 fingers 1", "X"),
        ("conditions pins 0 bars", "del"),
        ("conditions near price", -1),
        ("conditions near rows 0 frets 0", "-"),
        ("conditions wish", 1),
    ],
)
def test_the_schema_refuses_conditions_that_cannot_be(path: str, value: Any) -> None:
    with pytest.raises(jsonschema.ValidationError):
        validate(document_with(path, value))
