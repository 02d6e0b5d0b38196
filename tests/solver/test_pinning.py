"""Pins filter the graph: against a slow restatement in words of one moment, node by node."""

import random
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fretboard.grip import Grip
from fretboard.hand import Hand
from scoring.choice import Choice
from scoring.moment import ROLES, Moment
from solver.conditions import Conditions
from solver.conditions.bars import WHOLE, Bars
from solver.conditions.few_shapes import FewShapes, LearnedShape, known_shapes, learned
from solver.conditions.pinned import (
    Barred,
    BassNote,
    BassRole,
    FingerDown,
    Hands,
    Kept,
    OneString,
    Pinned,
    Shape,
)
from solver.conditions.pins import Pin, kept_bars, manners_of
from solver.conditions.wording import SILENT
from solver.errors import ConditionError, NotPlayable
from solver.graph import ChoiceGraph, build_graph
from solver.held import Held
from solver.moments import moments_of
from solver.pinning import masks, masks_of
from solver.result import UNPROVEN, Arrangement, Proof
from solver.style import Style
from tests.solver.instances import Instance, small, tiny
from tests.solver.laid_out import bar, tune
from tests.solver.made import case_of, graph_of
from tune.time import QUARTER
from tune.tune import Tune

NOTES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


# The slow restatement: one choice, one moment, plain Python.


def string_is(choice: Choice, course: int, fret: int | None, finger: int | None) -> bool:
    """A string has exactly that fret and that finger, where either is named."""
    return fret in (None, choice.grip.frets[course]) and finger in (
        None,
        choice.grip.fingers[course],
    )


def fixed(choice: Choice, moment: Moment, shape: Shape | OneString) -> bool:
    for course, fret in enumerate(shape.frets):
        finger = None if shape.fingers is None else shape.fingers[course]
        sounds = choice.grip.frets[course] >= 0
        if fret == SILENT and sounds:
            return False
        if fret is not None and fret >= 0:
            if sounds and choice.grip.frets[course] != fret:
                return False
            if not sounds and moment.strikes[0][course]:
                return False
        stopped = choice.grip.fingers[course] >= 0
        if finger is not None and finger >= 0 and stopped and choice.grip.fingers[course] != finger:
            return False
    return True


def there(choice: Choice, shape: Shape | OneString, capo: int) -> bool:
    """The whole shape, an open string of a stopped shape heard or not."""
    stopped = [fret is not None and fret > capo for fret in shape.frets]
    for course, fret in enumerate(shape.frets):
        finger = None if shape.fingers is None else shape.fingers[course]
        wanted = None if finger == -1 else finger
        silent_is_open = any(stopped) and fret == capo and choice.grip.frets[course] < 0
        if not string_is(choice, course, None if silent_is_open else fret, wanted):
            return False
    return True


def exactly(choice: Choice, hands: Hands) -> bool:
    if hands.struck is not None and choice.struck != hands.struck:
        return False
    fingers = hands.shape.fingers or (None,) * len(hands.shape.frets)
    return all(
        string_is(choice, course, fret, None if finger == -1 else finger)
        for course, (fret, finger) in enumerate(zip(hands.shape.frets, fingers, strict=True))
    )


def pinned_holds(choice: Choice, moment: Moment, pinned: Pinned | Hands, case: Instance) -> bool:
    """Whether what is pinned is there; for shapes and strings, whether it is so when fixed."""
    match pinned:
        case Shape() | OneString():
            return fixed(choice, moment, pinned)
        case Hands():
            return exactly(choice, pinned)
        case FingerDown(finger):
            return finger in choice.grip.fingers
        case Barred():
            down = [finger for finger in choice.grip.fingers if finger >= 0]
            return len(down) > len(set(down))
        case BassNote(name):
            pitch = case.instrument.pitch(0, choice.grip.frets[0])
            if not name[-1].isdigit():
                return NOTES[pitch % 12] == name
            return f"{NOTES[pitch % 12]}{pitch // 12 - 1}" == name
        case BassRole(role):
            return choice.role == role
    raise AssertionError(pinned)


def allowed(
    choice: Choice, moment: Moment, pin: Pin, pinned: Pinned | Hands, case: Instance
) -> bool:
    if moment.chord is None:
        return True
    if isinstance(pinned, BassNote | BassRole) and not choice.struck[0]:
        return True
    if pin.forbid and isinstance(pinned, Shape | OneString):
        return not there(choice, pinned, case.instrument.capo)
    return pinned_holds(choice, moment, pinned, case) != pin.forbid


def speaks_of(pin: Pin, moment: Moment, song: Tune) -> bool:
    """Bars by number or section, beats counted back from the end of the bar."""
    written = song.bars[moment.written]
    if pin.bars.first is not None and pin.bars.last is not None:
        if not pin.bars.first <= written.number <= pin.bars.last:
            return False
    elif pin.bars.section:
        names = [one.section for one in song.bars[: moment.written + 1] if one.section]
        if not names or names[-1].casefold() != pin.bars.section.casefold():
            return False
    if pin.beat is None:
        return True
    late = moment.offset + (0 if moment.written else written.metre.bar - written.length)
    return late // written.metre.beat + 1 == pin.beat


def slow_masks(case: Instance, graph: ChoiceGraph, pins: Sequence[Pin]) -> list[list[bool]]:
    """For whole-bar pins the hands are those of the place in the bar, at its time through."""
    out = []
    for moment, layer in zip(graph.moments, graph.layers, strict=True):
        rows = [True] * len(layer)
        for pin in pins:
            if not speaks_of(pin, moment, case.tune):
                continue
            pinned: Pinned | Hands = pin.pinned
            if isinstance(pinned, Kept):
                bars = [m.bar for m in graph.moments if m.written == moment.written]
                time = sorted(set(bars)).index(moment.bar)
                mine = [m for m in graph.moments if m.bar == moment.bar]
                pinned = pinned.times[min(time, len(pinned.times) - 1)][mine.index(moment)]
            rows = [
                left and allowed(layer.choice(node), moment, pin, pinned, case)
                for node, left in enumerate(rows)
            ]
        out.append(rows)
    return out


def fast_masks(case: Instance, graph: ChoiceGraph, pins: Sequence[Pin]) -> list[list[bool]]:
    return [
        [True] * len(layer) if mask is None else mask.tolist()
        for layer, mask in zip(graph.layers, masks(graph, case.tune, pins), strict=True)
    ]


def any_pin(dice: random.Random, case: Instance, graph: ChoiceGraph) -> Pin:
    """A pin that is likely to hold somewhere: it is taken from some node."""
    index = dice.randrange(len(graph.layers))
    layer = graph.layers[index]
    choice = layer.choice(dice.randrange(len(layer)))
    courses, forbid = len(case.instrument.courses), dice.random() < 0.5
    course = dice.randrange(courses)
    fret, finger = choice.grip.frets[course], choice.grip.fingers[course]
    number = case.tune.bars[graph.moments[index].written].number
    last = min(2, max(bar.number for bar in case.tune.bars))
    bars = dice.choice((WHOLE, Bars(number, number), Bars(1, last)))
    names = tuple(None if dice.random() < 0.3 else fret for fret in choice.grip.frets)
    pitch = case.instrument.pitch(0, max(choice.grip.frets[0], 0))
    some: list[Pinned] = [
        BassNote(NOTES[pitch % 12]),
        BassNote(f"{NOTES[pitch % 12]}{pitch // 12 - 1}"),
        BassRole(choice.role or dice.choice(ROLES)),
        OneString(course, courses, fret),
    ]
    if any(fret is not None for fret in names):
        named = [
            (None if fret is None else finger)
            for fret, finger in zip(names, choice.grip.fingers, strict=True)
        ]
        some += [Shape(names), Shape(names, tuple(named))] * 3
    if finger >= 0:
        some += [OneString(course, courses, dice.choice((None, fret)), finger)]
        some += [FingerDown(finger)] * forbid
    some += [Barred()] * forbid
    pinned = dice.choice(some)
    beat = None
    if dice.random() < 0.3:
        moment = graph.moments[index]
        metre, written = case.tune.bars[moment.written].metre, case.tune.bars[moment.written]
        lead = 0 if moment.written else metre.bar - written.length
        beat, bars = (moment.offset + lead) // metre.beat + 1, Bars(number, number)
    return Pin(bars, pinned, forbid, beat)


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


# A bar left as it is.


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
