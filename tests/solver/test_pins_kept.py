"""Bars left as they are, and manners of their own: hands and strokes against those of an
arrangement by chance."""

import random

import pytest

from solver.conditions import Conditions
from solver.conditions.bars import WHOLE, Bars
from solver.conditions.pinned import Hands, Kept, Shape
from solver.conditions.pins import Pin, kept_bars, manners_of
from solver.errors import ConditionError, NotPlayable
from solver.graph import ChoiceGraph, build_graph
from solver.held import Held
from solver.moments import moments_of
from solver.pinning import masks, masks_of
from solver.result import UNPROVEN, Arrangement, Proof
from solver.style import Style
from tests.solver.instances import Instance
from tests.solver.laid_out import bar, tune
from tests.solver.made import case_of, graph_of
from tests.solver.plain_pins import fast_masks, slow_masks


def by_chance(seed: int, made: Instance, graph: ChoiceGraph) -> Arrangement:
    """Any choices at all, one for each moment."""
    dice = random.Random(f"kept {seed}")
    choices = tuple(layer.choice(dice.randrange(len(layer))) for layer in graph.layers)
    return Arrangement(*made.asked, graph.moments, choices, Proof(UNPROVEN, 0, 0))


@pytest.mark.parametrize("seed", range(20))
def test_a_bar_left_as_it_is_has_its_hands_and_strokes(seed: int) -> None:
    case = case_of("D", "G", "A", "D")
    repeated = tune("4/4", bar(1, "4/4", "D G@2", repeat_start=True),
                    bar(2, "4/4", "A", repeat_times=2), "D")  # fmt: skip
    case = Instance(repeated, case.instrument, case.hand, Style("free", bass_ceiling=7, highest=5),
                    case.weights)  # fmt: skip
    graph = graph_of(case)
    before = by_chance(seed, case, graph)
    pins = kept_bars(before, Bars(1, 2))
    assert [str(pin.bars) for pin in pins] == ["bar 1", "bar 2"]
    found = masks(graph, case.tune, pins)
    for moment, layer, choice, mask in zip(
        graph.moments, graph.layers, before.choices, found, strict=True
    ):
        left = [layer.choice(n) for n in range(len(layer)) if mask is None or mask[n]]
        if moment.written > 1:
            assert mask is None
            continue
        assert choice in left
        for other in left:
            assert (other.grip.frets, other.grip.fingers, other.struck) == (
                choice.grip.frets, choice.grip.fingers, choice.struck,
            )  # fmt: skip
    typed = [pin for kept in pins for pin in Pin.parse(kept.text, False, case.instrument)]
    assert tuple(typed) == pins
    assert fast_masks(case, graph, pins) == slow_masks(case, graph, pins)


def test_bars_of_one_number_cannot_be_kept_by_it() -> None:
    song = tune("4/4", bar(1, "4/4", "D"), bar(1, "4/4", "D"))
    case = case_of("D")
    case = Instance(song, case.instrument, case.hand, case.style, case.weights)
    with pytest.raises(ConditionError, match=r"more than one bar 1.* leave it out, and fix what"):
        kept_bars(by_chance(0, case, graph_of(case)), WHOLE)


def test_bars_of_one_number_are_refused_with_those_that_can_be_kept() -> None:
    """Bars 1, 2, 3, 3, 4: whoever wants all of them keeps 1 and 2, then 4."""
    song = tune("4/4", *(bar(number, "4/4", "D") for number in (1, 2, 3, 3, 4)))
    case = case_of("D")
    case = Instance(song, case.instrument, case.hand, case.style, case.weights)
    answer = by_chance(0, case, graph_of(case))
    told = r"more than one bar 3.*; keep the others \(1-2, then 4; --keep may be given again\)"
    with pytest.raises(ConditionError, match=told):
        kept_bars(answer, WHOLE)
    assert len(kept_bars(answer, Bars(1, 2))) == 2
    assert len(kept_bars(answer, Bars(4, 4))) == 1


def test_a_bar_cannot_be_kept_in_another_manner() -> None:
    case = case_of("D", "D")
    graph = graph_of(case)
    pins = (*kept_bars(by_chance(0, case, graph), Bars(1, 1)),
            *Pin.parse("1: manner walking", False, case.instrument))  # fmt: skip
    moments = moments_of(case.tune, case.style, 3, manners_of(case.tune, pins))
    walking = build_graph(moments, Held(case.instrument, case.hand, case.style))
    assert len(walking.layers) == len(graph.layers)  # four strokes, others
    with pytest.raises(NotPlayable, match="the right hand strikes other strings here"):
        masks_of(walking, case.tune, Conditions(pins=pins), *case.asked[1:4])
    fewer = Pin(Bars(1, 1), Kept(((Hands(Shape((0, -1, -1))),),)))
    with pytest.raises(ConditionError, match="4 strokes and 1 is kept"):
        masks(graph, case.tune, [fewer])


def test_two_manners_for_one_bar() -> None:
    case = case_of("D", "G", "D")
    pins = Pin.parse("1-2: manner walking", False, case.instrument)
    pins += Pin.parse("2-3: manner held", False, case.instrument)
    with pytest.raises(ConditionError, match="bar 2 cannot have two manners"):
        manners_of(case.tune, pins)
