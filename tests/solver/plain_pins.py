"""Pins restated slowly in words of one moment, node by node, in plain Python; and pins by chance.

Public: slow_masks, fast_masks, any_pin.
"""

import random
from collections.abc import Sequence

from scoring.choice import Choice
from scoring.moment import ROLES, Moment
from solver.conditions.bars import WHOLE, Bars
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
from solver.conditions.pins import Pin
from solver.conditions.wording import SILENT
from solver.graph import ChoiceGraph
from solver.pinning import masks
from tests.solver.instances import Instance
from tune.tune import Tune

NOTES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


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
