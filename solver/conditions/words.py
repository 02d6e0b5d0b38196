"""Conditions one by one, in a player's words, each by itself and with what is asked without it.

Public: Part, parts_of.
"""

from dataclasses import dataclass, replace

from fretboard.frets import fret_label
from solver.conditions import NONE, Conditions
from solver.conditions.alike import Alike
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import FewShapes
from solver.conditions.wording import Written, counted


@dataclass(frozen=True)
class Part:
    """words: one condition as a player would say it; alone: it and no other; without: all the
    others."""

    words: str
    alone: Conditions
    without: Conditions


def parts_of(conditions: Conditions, written: Written = fret_label) -> tuple[Part, ...]:
    """Every condition by itself, in a fixed order, frets as ``written`` has them."""
    parts: list[Part] = []

    def add(words: str, alone: Conditions, without: Conditions) -> None:
        parts.append(Part(words, alone, without))

    alike, shapes, costliest = conditions.alike, conditions.shapes, conditions.costliest
    if alike is not None:
        add(_alike(alike), replace(NONE, alike=alike), replace(conditions, alike=None))
    if shapes is not None:
        add(_shapes(shapes), replace(NONE, shapes=shapes), replace(conditions, shapes=None))
    for index, quota in enumerate(conditions.quotas):
        rest = conditions.quotas[:index] + conditions.quotas[index + 1 :]
        add(str(quota), replace(NONE, quotas=(quota,)), replace(conditions, quotas=rest))
    for index, pin in enumerate(conditions.pins):
        others = conditions.pins[:index] + conditions.pins[index + 1 :]
        add(pin.shown(written), replace(NONE, pins=(pin,)), replace(conditions, pins=others))
    if costliest is not None:
        add(
            _costliest(costliest),
            replace(NONE, costliest=costliest),
            replace(conditions, costliest=None),
        )
    if conditions.near is not None:
        near = conditions.near
        add(str(near), replace(NONE, near=near), replace(conditions, near=None))
    limits = conditions.limits
    for limit in limits.groups if limits is not None else ():
        rest_of = None if limits is None else limits.without(limit)
        add(limit.shown(written), replace(NONE, limits=limit), replace(conditions, limits=rest_of))
    return tuple(parts)


def _alike(alike: Alike) -> str:
    words = {
        "repeats": "repeats alike",
        "sections": "repeats and sections of one name alike",
        "bars": "bars with the same chords and melody alike",
    }[alike.what]
    return words if alike.price is None else f"{words}, or {alike.price} ms for each that differs"


def _shapes(shapes: FewShapes) -> str:
    parts = [] if shapes.most is None else [f"at most {counted(shapes.most, 'shape')}"]
    if shapes.known is not None and shapes.price is None:
        those = len(shapes.known)
        only = "shape that is" if those == 1 else f"{those} shapes that are"
        parts.append(f"only the {only} known")
    elif shapes.known is not None:
        parts.append(f"{shapes.price} ms for each shape beyond the {len(shapes.known)} known")
    return " and ".join(parts)


def _costliest(costliest: Costliest) -> str:
    if costliest.weight is None:
        return "the costliest moment first"
    often = "once" if costliest.weight == 1 else f"{costliest.weight} times"
    return f"the costliest moment counted {often} besides"
