"""An arrangement as a JSON document, both ways; its schema is ``arrangement.schema.json``.

The document holds everything that an arrangement is made of, so that one read back equals the one
written, and nothing else: no clock, no machine. What follows from the rest (moments, pitches,
cost, difficulty) stands in it for those who read it, and is verified when it is read back. What
was asked of the whole tune is written where anything was; a document without it asks nothing. So is
which of several levels it is.

A document is of one version of this format. A new version is due whenever a document written
before would no longer say what it said: a cost term more, other names, another rating.

Public: to_json, json_bytes, from_json, schema, FORMAT, VERSION.
"""

import json
from typing import Any

from solver.conditions import NONE
from solver.conditions.pins import manners_of
from solver.moments import moments_of
from solver.result import PROVEN, UNPROVEN, Arrangement, Proof
from undersong.sheet.errors import SheetError
from undersong.sheet.json_conditions import conditions_in, conditions_out
from undersong.sheet.json_difficulty import check_difficulty, difficulty_out
from undersong.sheet.json_layout import laid_out
from undersong.sheet.json_moments import choice_in, moment_out
from undersong.sheet.json_node import Node, parse
from undersong.sheet.json_schema import read_schema
from undersong.sheet.json_settings import (
    hand_in,
    hand_out,
    instrument_in,
    instrument_out,
    level_in,
    level_out,
    style_in,
    style_out,
    weights_in,
    weights_out,
)
from undersong.sheet.json_tune import tune_in, tune_out
from undersong.sheet.options import SheetOptions
from undersong.wording import many

FORMAT = "undersong arrangement"
VERSION = 3
"""1: until 25 November 2026, without difficulty or with other cost terms; 2: until the
27th, without ``early-root``."""

_NAMES = (
    "format", "version", "title", "proof", "cost", "difficulty", "instrument", "capo", "hand",
    "style", "weights", "moments", "tune",
)  # fmt: skip


def to_json(arrangement: Arrangement) -> str:
    """The document, ASCII, the same bytes each time, a newline at its end.

    Raises SheetError for moments that are not the ones which tune and style ask for (they could
    not be read back).
    """
    tune, instrument = arrangement.tune, arrangement.instrument
    manners = manners_of(tune, arrangement.conditions.pins)
    asked_for = moments_of(tune, arrangement.style, len(instrument.courses), manners)
    if asked_for != arrangement.moments:
        raise SheetError(
            f"{tune.title} cannot be written as JSON: its moments are not the ones that its tune "
            "and style ask for; arrange it again"
        )
    bill, asked, level = arrangement.bill, arrangement.conditions, arrangement.level
    document = {
        "format": FORMAT,
        "version": VERSION,
        "title": tune.title,
        **({} if level is None else {"level": level_out(level)}),
        "proof": {
            "status": arrangement.proof.status,
            "bound": arrangement.proof.bound,
            "gap": arrangement.proof.gap,
        },
        "cost": {
            "total": bill.total,
            **({} if asked == NONE else {"asked": arrangement.asked_cost}),
            "terms": {name: cost for name, (_, cost) in bill.terms.items()},
            "amounts": {name: amount for name, (amount, _) in bill.terms.items()},
        },
        "difficulty": difficulty_out(arrangement.difficulty),
        "instrument": instrument_out(instrument),
        "capo": instrument.label(instrument.capo),
        "hand": hand_out(arrangement.hand),
        "style": style_out(arrangement.style),
        "weights": weights_out(arrangement.weights),
        **({} if asked == NONE else {"conditions": conditions_out(asked)}),
        "moments": [
            moment_out(moment, choice, tune, instrument, arrangement.hand)
            for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True)
        ],
        "tune": tune_out(tune),
    }
    return laid_out(document) + "\n"


def json_bytes(arrangement: Arrangement, options: SheetOptions) -> bytes:
    """The document as a file's content; how sheets are printed changes nothing in it."""
    del options
    return to_json(arrangement).encode("ascii")


def from_json(text: str, file: str = "") -> Arrangement:
    """The arrangement of a document; SheetError, one sentence with file and path, otherwise."""
    node = parse(text, file)
    if not isinstance(node.value, dict) or node.value.get("format") != FORMAT:
        node.fail(f'this is no arrangement: it does not say "format": "{FORMAT}"')
    if "version" in node.value:
        _check_version(node["version"])
    asks, one_of_several = "conditions" in node.value, "level" in node.value
    node.object(*_NAMES, *["conditions"] * asks, *["level"] * one_of_several)
    tune = tune_in(node["tune"])
    if node["title"].text() != tune.title:
        node["title"].wrong(f"the tune's title, {json.dumps(tune.title)}")
    instrument = instrument_in(node["instrument"], node["capo"])
    hand, style = hand_in(node["hand"]), style_in(node["style"])
    weights = weights_in(node["weights"])
    conditions = conditions_in(node["conditions"], instrument) if asks else NONE
    pins = node["conditions"]["pins"] if asks else node
    manners = pins.made(lambda: manners_of(tune, conditions.pins))
    moments = node.made(lambda: moments_of(tune, style, len(instrument.courses), manners))
    written = node["moments"].items()
    if len(written) != len(moments):
        node["moments"].fail(
            f"{many(len(written), 'moment')} here, but the tune and the style ask for "
            f"{len(moments)}"
        )
    choices = tuple(
        choice_in(item, moment, tune, instrument, hand)
        for item, moment in zip(written, moments, strict=True)
    )
    proof = _proof_in(node["proof"])
    level = level_in(node["level"]) if one_of_several else None
    arrangement = Arrangement(
        tune, instrument, hand, style, weights, moments, choices, proof, conditions, level
    )
    _check_cost(node["cost"], arrangement)
    check_difficulty(node["difficulty"], arrangement.difficulty)
    _check_rules(node, arrangement)
    return arrangement


def _check_version(node: Node) -> None:
    """Refuses a document of another version, before anything else in it is complained of."""
    version = node.whole(1)
    if version < VERSION:
        node.fail(
            f"an older Undersong wrote this document (version {version}; this one reads "
            f"{VERSION}); arrange the tune again"
        )
    if version > VERSION:
        node.fail(
            f"a newer Undersong wrote this document (version {version}; this one reads "
            f"{VERSION}); update this program to open it"
        )


def _check_rules(node: Node, arrangement: Arrangement) -> None:
    """Refuses to call proven what the independent check faults, whoever wrote the document."""
    from undersong.check import check

    faults = check(arrangement) if arrangement.proof.status == PROVEN else ()
    if faults:
        node["moments"].fail(f"these choices are called proven and cannot be played: {faults[0]}")


def schema() -> dict[str, Any]:
    """The published JSON Schema (draft 2020-12) of these documents."""
    return read_schema("undersong.sheet", "arrangement.schema.json")


def _proof_in(node: Node) -> Proof:
    node.object("status", "bound", "gap")
    if node["status"].text() not in (PROVEN, UNPROVEN):
        node["status"].wrong(f'"{PROVEN}" or "{UNPROVEN}"')
    status, bound, gap = node["status"].text(), node["bound"].whole(), node["gap"].whole()
    return node.made(lambda: Proof(status, bound, gap))


def _check_cost(node: Node, arrangement: Arrangement) -> None:
    """Refuses a cost that is not what the choices cost."""
    asks = arrangement.conditions != NONE
    node.object("total", *["asked"] * asks, "terms", "amounts")
    bill = arrangement.bill
    node["terms"].object(*bill.terms)
    node["amounts"].object(*bill.terms)
    for name, (amount, cost) in bill.terms.items():
        if node["amounts"][name].whole() != amount:
            node["amounts"][name].wrong(f"{amount}, which is what these choices amount to")
        if node["terms"][name].whole() != cost:
            node["terms"][name].wrong(f"{cost}, which is what these choices cost")
    if node["total"].whole() != bill.total:
        node["total"].wrong(f"{bill.total}, which is what these choices cost")
    if asks and node["asked"].whole() != arrangement.asked_cost:
        node["asked"].wrong(
            f"{arrangement.asked_cost}, which is the cost with all that was asked at a price"
        )
