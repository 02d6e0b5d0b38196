"""What was asked of the whole tune, in JSON, both ways.

Frets are printed fret numbers counted from the nut; prices are ms. What a pin fixes or forbids is
written as a player types it (``solver.conditions.pin_text``). Nothing asked is not written.

Public: conditions_out, conditions_in.
"""

from typing import Any

from fretboard.frets import fret_label
from fretboard.hand import FINGERS
from fretboard.instrument import Instrument
from solver.conditions import Conditions
from solver.conditions.alike import Alike
from solver.conditions.bars import Bars
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import FewShapes, LearnedShape
from solver.conditions.limits import BarLimit, Limits
from solver.conditions.near import Near, Placed
from solver.conditions.pin_text import read_pinned
from solver.conditions.pins import Pin
from solver.conditions.quota import Quota
from solver.conditions.wording import SILENT
from tune.time import quarters
from undersong.sheet.json_node import Node
from undersong.sheet.json_settings import fret_in
from undersong.wording import many

_SELDOM = ("near", "limits")
"""Keys that are left out where nothing is asked."""


def conditions_out(asked: Conditions) -> dict[str, Any]:
    alike, shapes, costliest = asked.alike, asked.shapes, asked.costliest
    return {
        "alike": {"what": alike.what, "price": alike.price} if alike else None,
        "shapes": _shapes_out(shapes) if shapes else None,
        "quotas": [
            {
                "what": quota.what,
                "least": quota.least,
                "most": quota.most,
                "above": quota.above,
                "bars": _bars_out(quota.bars),
                **({"each": True} if quota.each else {}),
            }
            for quota in asked.quotas
        ],
        "pins": [
            {
                "bars": _bars_out(pin.bars),
                "beat": pin.beat,
                "pinned": str(pin.pinned),
                "forbid": pin.forbid,
            }
            for pin in asked.pins
        ],
        "costliest": {"weight": costliest.weight} if costliest else None,
        **({"near": _near_out(asked.near)} if asked.near else {}),
        **({"limits": _limits_out(asked.limits)} if asked.limits else {}),
    }


def conditions_in(node: Node, instrument: Instrument) -> Conditions:
    """What was asked; instrument: the one that the pins speak of."""
    near, limits = (isinstance(node.value, dict) and key in node.value for key in _SELDOM)
    seldom = [*["near"] * near, *["limits"] * limits]
    node.object("alike", "shapes", "quotas", "pins", "costliest", *seldom)
    parts: dict[str, Any] = {
        "alike": node["alike"].maybe(_alike_in),
        "shapes": node["shapes"].maybe(_shapes_in),
        "quotas": tuple(_quota_in(quota) for quota in node["quotas"].items()),
        "pins": tuple(_pin_in(pin, instrument) for pin in node["pins"].items()),
        "costliest": node["costliest"].maybe(_costliest_in),
        "near": node["near"].maybe(_near_in) if near else None,
        "limits": node["limits"].maybe(_limits_in) if limits else None,
    }
    return node.made(lambda: Conditions(**parts))


def _alike_in(node: Node) -> Alike:
    node.object("what", "price")
    what, price = node["what"].text(), node["price"].maybe(Node.whole)
    return node.made(lambda: Alike(what, price))


def _shapes_out(shapes: FewShapes) -> dict[str, Any]:
    known = None if shapes.known is None else [_learned_out(shape) for shape in shapes.known]
    return {"most": shapes.most, "known": known, "price": shapes.price}


def _shapes_in(node: Node) -> FewShapes:
    node.object("most", "known", "price")
    parts: dict[str, Any] = {
        "most": node["most"].maybe(Node.whole),
        "known": node["known"].maybe(lambda list_: tuple(map(_learned_in, list_.items()))),
        "price": node["price"].maybe(Node.whole),
    }
    return node.made(lambda: FewShapes(**parts))


def _learned_out(shape: LearnedShape) -> dict[str, Any]:
    fingers = shape.fingers
    return {
        "frets": [None if fret is None else fret_label(fret) for fret in shape.frets],
        "fingers": None
        if fingers is None
        else [None if f is None else FINGERS[f] for f in fingers],
    }


def _learned_in(node: Node) -> LearnedShape:
    node.object("frets", "fingers")
    frets = tuple(fret.maybe(fret_in) for fret in node["frets"].items())
    fingers = node["fingers"].maybe(
        lambda list_: tuple(finger.maybe(_finger_in) for finger in list_.items())
    )
    if fingers is not None and len(fingers) != len(frets):
        node["fingers"].fail(
            f"{many(len(frets), 'string')} here, and {many(len(fingers), 'place')} for fingers"
        )
    return node.made(lambda: LearnedShape(frets, fingers))


def _finger_in(node: Node) -> int:
    if node.text() not in FINGERS or len(node.text()) != 1:
        node.wrong("null or one of " + ", ".join(FINGERS))
    return FINGERS.index(node.text())


def _quota_in(node: Node) -> Quota:
    each = isinstance(node.value, dict) and "each" in node.value
    node.object("what", "least", "most", "above", "bars", *["each"] * each)
    parts: dict[str, Any] = {
        "what": node["what"].text(),
        **{name: node[name].maybe(Node.whole) for name in ("least", "most", "above")},
        "bars": _bars_in(node["bars"]),
        "each": each and node["each"].flag(),
    }
    return node.made(lambda: Quota(**parts))


def _pin_in(node: Node, instrument: Instrument) -> Pin:
    node.object("bars", "beat", "pinned", "forbid")
    bars, beat = _bars_in(node["bars"]), node["beat"].maybe(Node.whole)
    text, forbid = node["pinned"].text(), node["forbid"].flag()
    pinned = node["pinned"].made(lambda: read_pinned(text, instrument))
    return node.made(lambda: Pin(bars, pinned, forbid, beat))


def _costliest_in(node: Node) -> Costliest:
    node.object("weight")
    weight = node["weight"].maybe(Node.whole)
    return node.made(lambda: Costliest(weight))


def _near_out(near: Near) -> dict[str, Any]:
    rows = [
        {
            "bar": row.bar,
            "offset": str(quarters(row.offset)),
            "frets": [_fret_out(fret) for fret in row.frets],
        }
        for row in near.rows
    ]
    return {"price": near.price, "rows": rows}


def _fret_out(fret: int | None) -> str | None:
    """x for a silent string, null where nothing is said."""
    if fret is None:
        return None
    return "x" if fret == SILENT else fret_label(fret)


def _near_in(node: Node) -> Near:
    node.object("price", "rows")
    price = node["price"].whole()
    rows = tuple(_placed_in(row) for row in node["rows"].items())
    return node.made(lambda: Near(rows, price))


def _placed_in(node: Node) -> Placed:
    node.object("bar", "offset", "frets")
    bar, offset = node["bar"].whole(1), node["offset"].ticks()
    frets = tuple(fret.maybe(_named_fret_in) for fret in node["frets"].items())
    return node.made(lambda: Placed(bar, offset, frets))


def _named_fret_in(node: Node) -> int:
    return SILENT if node.value == "x" else fret_in(node)


def _limits_out(limits: Limits) -> dict[str, Any]:
    return {
        "fingers": limits.fingers,
        "reach": limits.reach,
        "time": limits.time,
        "fret": None if limits.fret is None else fret_label(limits.fret),
        "barred": limits.barred,
        "bars": [
            {"bar": limit.bar, "most": limit.most, "least": limit.least} for limit in limits.bars
        ],
    }


def _limits_in(node: Node) -> Limits:
    node.object("fingers", "reach", "time", "fret", "barred", "bars")
    parts: dict[str, Any] = {
        **{name: node[name].maybe(Node.whole) for name in ("fingers", "reach", "time")},
        "fret": node["fret"].maybe(fret_in),
        "barred": node["barred"].flag(),
        "bars": tuple(_bar_limit_in(limit) for limit in node["bars"].items()),
    }
    return node.made(lambda: Limits(**parts))


def _bar_limit_in(node: Node) -> BarLimit:
    node.object("bar", "most", "least")
    bar, most, least = (node[name].whole() for name in ("bar", "most", "least"))
    return node.made(lambda: BarLimit(bar, most, least))


def _bars_out(bars: Bars) -> dict[str, Any]:
    return {"first": bars.first, "last": bars.last, "section": bars.section}


def _bars_in(node: Node) -> Bars:
    node.object("first", "last", "section")
    first, last = node["first"].maybe(Node.whole), node["last"].maybe(Node.whole)
    section = node["section"].text()
    return node.made(lambda: Bars(first, last, section))
