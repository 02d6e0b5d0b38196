"""Pins filter the graph: against a slow restatement in words of one moment, node by node, and what
a player expects, by hand."""

import random
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fretboard.grip import Grip
from fretboard.hand import Hand
from solver.conditions import Conditions
from solver.conditions.bars import Bars
from solver.conditions.few_shapes import FewShapes, LearnedShape, known_shapes, learned
from solver.conditions.pinned import (
    OneString,
)
from solver.conditions.pins import Pin
from solver.errors import ConditionError, NotPlayable
from solver.pinning import masks, masks_of
from tests.solver.instances import Instance, small, tiny
from tests.solver.laid_out import bar, tune
from tests.solver.made import case_of, graph_of
from tests.solver.plain_pins import any_pin, fast_masks, slow_masks
from tune.time import QUARTER


def chance(seed: int, made: Instance) -> None:
    try:
        graph = graph_of(made)
    except NotPlayable:
        return
    dice = random.Random(f"pins {seed}")
    pins = [any_pin(dice, made, graph) for _ in range(dice.randint(1, 3))]
    assert fast_masks(made, graph, pins) == slow_masks(made, graph, pins), pins


@pytest.mark.parametrize("seed", range(60))
def test_tiny_graphs_are_filtered_as_the_words_say(seed: int) -> None:
    chance(seed, tiny(seed))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(400))
def test_small_graphs_are_filtered_as_the_words_say(seed: int) -> None:
    chance(seed, small(seed))


# What a player expects, by hand. D 0-0-2, G 3-1-0 and 3-3-5 are TRADE.md's shapes.


def grips(case: Instance, *pins: str, forbid: Sequence[str] = (), at: int = 1) -> set[Grip]:
    """What is left at a moment."""
    graph = graph_of(case)
    asked = [pin for text in pins for pin in Pin.parse(text, False, case.instrument)]
    asked += [pin for text in forbid for pin in Pin.parse(text, True, case.instrument)]
    mask = masks(graph, case.tune, asked)[at]
    layer = graph.layers[at]
    return {layer.choice(node).grip for node in range(len(layer)) if mask is None or mask[node]}


LONG = Hand(span_mm=240)


def test_a_shape_holds_where_its_strings_sound() -> None:
    case = case_of("G", "D", hand=LONG)
    assert {grip.frets[:2] for grip in grips(case, "1: 3-1-0", at=0)} == {(5, 2), (5, -1)}
    assert {grip.frets for grip in grips(case, "1: 3-1-0")} == {(5, 2, 0), (-1, 2, 0)}
    assert {grip.frets for grip in grips(case, "1: 3-1-x")} == {(5, 2, -1), (-1, 2, -1)}


def test_fingers_hold_where_their_strings_are_stopped() -> None:
    case = case_of("G", "D", hand=LONG)
    assert {grip.fingers for grip in grips(case, "1: 3-1-0 TI")} == {(0, 1, -1), (-1, 1, -1)}
    assert {grip.fingers for grip in grips(case, "1: 3-1-0 IT")} == {(-1, 0, -1)}  # else crossed
    bass_by_index = {grip.fingers for grip in grips(case, "1: bass I", "1: 3-1-0")}
    assert {fingers[0] for fingers in bass_by_index} == {-1, 1}


def test_a_shape_is_forbidden_as_a_whole() -> None:
    case = case_of("G", "D", hand=LONG)
    everything = grips(case)
    gone = everything - grips(case, forbid=["1: 3-1-0"])
    assert {grip.frets for grip in gone} == {(5, 2, 0), (5, 2, -1)}  # one hand, heard or not
    by_thumb = everything - grips(case, forbid=["1: 3-1-0 TI"])
    assert by_thumb == {grip for grip in gone if grip.fingers == (0, 1, -1)} != set()
    assert all(grip.frets[0] != 5 for grip in grips(case, forbid=["1: bass 3"]))


def test_a_forbidden_finger_is_nowhere_and_no_bar_is_laid() -> None:
    case = case_of("G", "D")
    assert all(2 not in grip.fingers for grip in grips(case, forbid=["all: finger M"]))
    left = grips(case, forbid=["all: barred"])
    assert any(len(grip.down) < sum(f >= 0 for f in grip.fingers) for grip in grips(case))
    assert all(len(grip.down) == sum(f >= 0 for f in grip.fingers) for grip in left)


def test_a_pickup_is_counted_as_the_end_of_a_bar() -> None:
    song = tune("4/4", bar(0, "4/4", "D", length=1), bar(1, "4/4", "G"), "D")
    case = case_of("D")
    case = Instance(song, case.instrument, case.hand, case.style, case.weights)
    graph = graph_of(case)
    pin = Pin(Bars(0, 0), OneString(0, 3, 0), beat=4)
    assert fast_masks(case, graph, [pin]) == slow_masks(case, graph, [pin])
    with pytest.raises(ConditionError, match="nothing is struck on beat 1 there"):
        masks(graph, song, [Pin(Bars(0, 0), OneString(0, 3, 0), beat=1)])


def test_rests_have_nothing_to_pin() -> None:
    case = case_of("D", "N.C.", "D")
    graph = graph_of(case)
    pins = Pin.parse("2: bass 3", False, case.instrument)
    assert masks(graph, case.tune, pins) == (None,) * len(graph.layers)


def test_shared_layers_have_shared_masks() -> None:
    case = case_of("D", "G", "D", "G", "D", "G", "D")
    graph = graph_of(case)
    found = masks(graph, case.tune, Pin.parse("1-4: bass 3, melody 0", False, case.instrument))
    where = [i for i, m in enumerate(graph.moments) if m.bar in (2, 4)]
    assert {id(found[i]) for i in where[: len(where) // 2]} == {
        id(found[i]) for i in where[len(where) // 2 :]
    }


def test_only_known_shapes_are_left() -> None:
    case = case_of("G", "D")
    graph = graph_of(case)
    known = known_shapes("3-1-0, 3-0-0 M, 0-1-0 I, 0-0-2", case.instrument)
    for layer, mask in zip(graph.layers, masks(graph, case.tune, (), known), strict=True):
        for node in range(len(layer)):
            shape = learned(layer.choice(node).grip)
            fits = shape is None or any(
                k.frets == shape.frets and k.fingers in (None, shape.fingers) for k in known
            )
            assert fits == (mask is None or bool(mask[node]))


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 10**6))
def test_more_pins_never_leave_more(seed: int) -> None:
    case = tiny(seed % 200)
    try:
        graph = graph_of(case)
    except NotPlayable:
        return
    dice = random.Random(f"more {seed}")
    pins = [any_pin(dice, case, graph) for _ in range(3)]
    fewer, more = fast_masks(case, graph, pins[:2]), fast_masks(case, graph, pins)
    for few, many in zip(fewer, more, strict=True):
        assert all(a or not b for a, b in zip(few, many, strict=True))


def test_beats_are_felt_beats() -> None:
    """In 6/8 the second beat is the fourth eighth."""
    case = case_of("D", "D", metre="6/8")
    graph = graph_of(case)
    pin = Pin(Bars(1, 1), OneString(0, 3, 7), beat=2)
    found = masks(graph, case.tune, [pin])
    touched = [m.offset for m, mask in zip(graph.moments, found, strict=True) if mask is not None]
    assert touched
    assert all(offset >= QUARTER * 3 // 2 for offset in touched)


def test_a_list_with_a_price_leaves_everything() -> None:
    case = case_of("G", "D")
    graph = graph_of(case)
    known = (LearnedShape((5, 2, None)),)
    priced = Conditions(shapes=FewShapes(known=known, price=100))
    assert masks_of(graph, case.tune, priced, *case.asked[1:4]) == (None,) * len(graph.layers)
    with pytest.raises(NotPlayable, match="none of the shapes that are known serves for"):
        masks_of(graph, case.tune, Conditions(shapes=FewShapes(known=())), *case.asked[1:4])
