"""What priced conditions add to the cost of a finished answer, in ms. No solver.

Hands are frets, fingers and strokes; the place where a hand waits is not looked at, nor, in the
class of the tune's first moment, strings that are not struck.

Public: extra_cost, differing_bars, other_shapes.
"""

from collections.abc import Sequence

from scoring.choice import Choice
from scoring.evaluate import Bill
from scoring.moment import Moment
from solver.conditions import Conditions
from solver.conditions.alike import classes_of
from solver.conditions.few_shapes import FewShapes, LearnedShape, learned
from solver.conditions.near import strings_apart
from tune.tune import Tune


def extra_cost(
    conditions: Conditions,
    tune: Tune,
    moments: Sequence[Moment],
    choices: Sequence[Choice],
    bill: Bill,
) -> int:
    """ms beyond the work itself: bars that differ, shapes that are not known, strings that have
    other frets than they should be near to, and the costliest moment where it has a weight;
    conditions without a price add nothing."""
    total = 0
    alike, shapes = conditions.alike, conditions.shapes
    costliest, near = conditions.costliest, conditions.near
    if alike and alike.price:
        total += alike.price * len(differing_bars(tune, moments, choices, alike.what))
    if shapes and shapes.price:
        total += shapes.price * len(other_shapes(shapes, choices))
    if near:
        total += near.price * len(strings_apart(near, moments, choices))
    if costliest and costliest.weight:
        total += costliest.weight * max(map(bill.at, range(len(moments))), default=0)
    return total


def differing_bars(
    tune: Tune, moments: Sequence[Moment], choices: Sequence[Choice], what: str
) -> tuple[int, ...]:
    """Numbers of the played bars with a moment that has other hands than the first of its class."""
    first: dict[int, tuple[object, ...]] = {}
    found: dict[int, None] = {}
    classes = classes_of(tune, moments, what)
    for number, moment, choice in zip(classes, moments, choices, strict=True):
        hands = _hands(choice, struck_only=number == 0)
        if first.setdefault(number, hands) != hands:
            found[moment.bar] = None
    return tuple(found)


def _hands(choice: Choice, struck_only: bool) -> tuple[object, ...]:
    strings = zip(choice.grip.frets, choice.grip.fingers, choice.struck, strict=True)
    return tuple(string if string[2] or not struck_only else None for string in strings)


def other_shapes(shapes: FewShapes, choices: Sequence[Choice]) -> tuple[LearnedShape, ...]:
    """The different shapes that are not known, in order of first appearance."""
    used = dict.fromkeys(learned(choice.grip) for choice in choices)
    return tuple(shape for shape in used if shape is not None and not shapes.knows(shape))
